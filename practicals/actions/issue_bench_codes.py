"""Give each learner of a session the code that opens it at the bench."""

from collections.abc import Collection
from datetime import datetime

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet

from practicals.access import planned_sessions
from practicals.audit import record
from practicals.calculations.bench_code import bench_code, code_digest
from practicals.models import BenchCode, Enrolment, GroupMember, Session, User, learners_of


class NothingToIssue(ValueError):
    """Nobody of those named works in the session."""


class NotIssuedYet(NothingToIssue):
    """Some of those named have no code; `missing` says who."""

    def __init__(self, missing: list[User]) -> None:
        self.missing = missing
        super().__init__("Some learners have no bench code yet. Make the slips first.")


def issue_bench_codes(
    *,
    by: User,
    session: Session,
    learners: Collection[User] | None = None,
    reissue: bool = False,
    now: datetime,
) -> list[tuple[User, str]]:
    """Learners in order of name, each with a code.

    A code stays the same however often its slip is printed, until `reissue` replaces it: the old slip
    then opens nothing. Without `learners` everybody who works in the session gets one.
    """
    if not by.has_perm("practicals.plan_session"):
        raise PermissionDenied
    with transaction.atomic():
        session = _taken(by, session)
        people = _people(session, learners)
        codes = _renewed(session, people, reissue=reissue, now=now)
        what = "replaced" if reissue else "given out"
        record(
            by=by,
            action="issue_bench_codes",
            subject=session,
            sentence=f"Bench codes were {what} for {len(people)} learners.",
            detail={"learners": [str(person.token) for person in people], "replaced": reissue},
        )
    return [(person, codes[person.pk]) for person in people]


def issued_bench_codes(
    *, by: User, session: Session, learners: Collection[User] | None = None
) -> list[tuple[User, str]]:
    """The codes that were issued, worked out again for another printing. Changes nothing.

    Raises `NotIssuedYet` when somebody's code was not.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    people = _people(session, learners)
    serials = dict(
        BenchCode.objects.filter(session=session, learner__in=people).values_list("learner_id", "serial")
    )
    missing = [person for person in people if person.pk not in serials]
    if missing:
        raise NotIssuedYet(missing)
    return [(person, _code(session, person, serials[person.pk])) for person in people]


def all_have_codes(session: Session) -> bool:
    """Whether everybody who works in the session was given a code; not so while nobody works in it."""
    codes = BenchCode.objects.filter(session=session, learner=OuterRef("pk"))
    has_one = list(_working_in(session, None).annotate(coded=Exists(codes)).values_list("coded", flat=True))
    return bool(has_one) and all(has_one)


def _people(session: Session, learners: Collection[User] | None) -> list[User]:
    if session.withdrawn_at is not None:
        raise NothingToIssue("This session was withdrawn: a bench code would open nothing.")
    if session.closed_at is not None:
        raise NothingToIssue("This session is closed: a bench code would open nothing.")
    people = list(_working_in(session, learners))
    if not people:
        raise NothingToIssue("Nobody works in this session yet. Put learners into groups first.")
    return people


def _taken(by: User, session: Session) -> Session:
    if not planned_sessions(by).filter(pk=session.pk).exists():
        raise PermissionDenied
    # Two people who print at once must not both make a first code.
    return Session.objects.select_for_update().get(pk=session.pk)


def _working_in(session: Session, learners: Collection[User] | None) -> QuerySet[User]:
    """Everybody in a group, without those who left the class; a catch-up has a class of their own."""
    enrolled = Enrolment.objects.filter(learner=OuterRef("pk"), left_at=None)
    in_class = Exists(enrolled.filter(teaching_class=session.teaching_class_id))
    catch_up = GroupMember.objects.filter(learner=OuterRef("pk"), session=session, home_session__isnull=False)
    people = learners_of(session).filter(in_class | (Exists(catch_up) & Exists(enrolled)), is_active=True)
    if learners is not None:
        people = people.filter(pk__in=[learner.pk for learner in learners])
    return people


def _renewed(session: Session, people: list[User], *, reissue: bool, now: datetime) -> dict[int, str]:
    kept = {code.learner_id: code for code in BenchCode.objects.filter(session=session, learner__in=people)}
    codes: dict[int, str] = {}
    first: list[BenchCode] = []
    replaced: list[BenchCode] = []
    for person in people:
        row = kept.get(person.pk)
        if row is None:
            row = BenchCode(session=session, learner=person, issued_at=now)
            first.append(row)
        elif reissue:
            row.serial, row.issued_at = row.serial + 1, now
            replaced.append(row)
        codes[person.pk] = _code(session, person, row.serial)
        row.digest = code_digest(_key(), codes[person.pk])
    BenchCode.objects.bulk_create(first)
    BenchCode.objects.bulk_update(replaced, ["serial", "digest", "issued_at"])
    return codes


def _code(session: Session, person: User, serial: int) -> str:
    return bench_code(_key(), session=str(session.uuid), learner=str(person.token), serial=serial)


def _key() -> bytes:
    key: str = settings.BENCH_CODE_KEY
    return key.encode()
