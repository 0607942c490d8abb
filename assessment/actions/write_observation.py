"""Write what one learner did in a session, and sign it. Evidence only: it decides nothing."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import works_observed
from assessment.calculations.repeated_words import LEAST_WORDS, words_of_its_own
from assessment.models import Criterion, ObservationRecord, Work
from practicals import audit
from practicals.models import BenchNote, Session, User
from reagents.models import Stale, claim_version

LONGEST_DID = 4000


@dataclass(frozen=True, slots=True)
class Observed:
    """What the form holds: `items` as code of the criterion and the item's own words."""

    did: str
    criteria: Collection[Criterion] = ()
    items: Sequence[tuple[str, str]] = ()
    notes: Collection[BenchNote] = ()


class AlreadySigned(ValidationError):
    """A signed record stays as it is."""

    def __init__(self) -> None:
        super().__init__(
            "This record is signed and stays as it was signed. To change it, withdraw it with a reason and "
            "write another."
        )


def criteria_to_observe(by: User, session: Session, learner: User) -> list[Criterion]:
    """The criteria of the briefs on which this assessor judges the learner's session."""
    works = works_observed(by, session).filter(learner=learner)
    found = Criterion.objects.filter(briefs__assignments__works__in=works).distinct()
    return list(found.order_by("unit_id", "order"))


def write_observation(
    *,
    by: User,
    session: Session,
    learner: User,
    observed: Observed,
    seen_version: int,
    sign: bool,
    now: datetime,
) -> ObservationRecord:
    """Save the draft, and sign it if asked to. A ticked item names its criterion by itself.

    `seen_version` is 0 where nothing was written before. Raises `Stale` when another tab was first.
    """
    offered = criteria_to_observe(by, session, learner) if by.has_perm("assessment.observe") else []
    if not offered:
        raise PermissionDenied
    criteria = _criteria(observed, offered)
    notes = _notes(observed, session, learner)
    did = observed.did.strip()
    if len(did) > LONGEST_DID:
        raise ValidationError(f"A record holds {LONGEST_DID} characters; yours has {len(did)}. Shorten it.")
    if sign:
        _check_before_signing(did, criteria)
    with transaction.atomic():
        _hold(by, session, learner)
        record = _record(by, session, learner, seen_version, now)
        record.did, record.written_at = did, now
        record.items = [{"code": code, "text": text} for code, text in observed.items]
        record.signed_at = now if sign else None
        record.save()
        record.criteria.set(criteria)
        record.notes.set(notes)
        audit.record(
            by=by,
            action="write_observation",
            subject=record,
            sentence="Observation record signed by its assessor." if sign else "Observation record drafted.",
            detail={"session": str(session.uuid), "learner": str(learner.token)},
        )
    return record


def _criteria(observed: Observed, offered: Sequence[Criterion]) -> list[Criterion]:
    if not {criterion.pk for criterion in observed.criteria} <= {criterion.pk for criterion in offered}:
        raise PermissionDenied
    there = {(c.code, item) for c in offered for need in c.evidence_needs() for item in need.items}
    if not set(observed.items) <= there:
        raise ValidationError("One of the items is no longer asked for. Open the page again.")
    named = {criterion.pk for criterion in observed.criteria}
    ticked = {code for code, _ in observed.items}
    return [criterion for criterion in offered if criterion.pk in named or criterion.code in ticked]


def _notes(observed: Observed, session: Session, learner: User) -> list[BenchNote]:
    notes = list(observed.notes)
    if any((note.session_id, note.learner_id) != (session.pk, learner.pk) for note in notes):
        raise PermissionDenied
    return notes


def _check_before_signing(did: str, criteria: Sequence[Criterion]) -> None:
    problems = []
    if not criteria:
        problems.append("Name at least one criterion that the record bears on.")
    copied = [criterion.text for criterion in criteria]
    copied += [criterion.code for criterion in criteria]
    copied += [item for c in criteria for need in c.evidence_needs() for item in need.items]
    if words_of_its_own(did, copied) < LEAST_WORDS:
        problems.append(
            "Ticks alone cannot be signed, and neither can the criterion's own words. Write a sentence on "
            "what this learner did."
        )
    if problems:
        raise ValidationError(problems)


def _hold(by: User, session: Session, learner: User) -> None:
    """The learner's works are the lock: of two tabs only one makes the record."""
    works = works_observed(by, session).filter(learner=learner).values("pk")
    list(Work.objects.select_for_update(of=("self",)).filter(pk__in=works).order_by("pk"))


def _record(by: User, session: Session, learner: User, seen_version: int, now: datetime) -> ObservationRecord:
    here = ObservationRecord.objects.filter(session=session, learner=learner, assessor=by)
    record: ObservationRecord | None = here.standing().first()
    if record is None:
        before = here.filter(signed_at__isnull=False, replaced_by=None).order_by("withdrawn_at").last()
        return ObservationRecord(
            session=session, learner=learner, assessor=by, written_at=now, replaces=before
        )
    if record.signed_at:
        raise AlreadySigned
    if not seen_version:
        raise Stale(record)
    claim_version(record, seen_version)
    return record
