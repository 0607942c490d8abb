"""Ask somebody who was there to say what they saw a learner do."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.db.models import QuerySet

from assessment.actions.write_observation import criteria_to_observe
from assessment.models import Criterion, WitnessStatement
from practicals import audit
from practicals.models import LessonHelper, Role, Session, User

LONGEST_ASKED_FOR = 1000


def possible_witnesses(by: User) -> QuerySet[User]:
    """Everybody with an active account but learners and the assessor."""
    able = User.objects.filter(is_active=True, erased_at=None, grants__isnull=False)
    return able.exclude(grants__role=Role.LEARNER).exclude(pk=by.pk).distinct().order_by("sort_name")


def ask_witness(
    *,
    by: User,
    session: Session,
    learner: User,
    witness: User,
    asked_for: str,
    criteria: Collection[Criterion],
    now: datetime,
) -> WitnessStatement:
    """Open one statement to the witness. They see the learner's name in it, and nothing else of theirs."""
    offered = criteria_to_observe(by, session, learner) if by.has_perm("assessment.observe") else []
    if not offered or not {one.pk for one in criteria} <= {one.pk for one in offered}:
        raise PermissionDenied
    if not criteria:
        raise ValidationError("Name at least one criterion that the witness is to say something about.")
    if not possible_witnesses(by).filter(pk=witness.pk).exists():
        raise ValidationError(
            "A witness is somebody else who was there: not a learner, not you, and with an account in use."
        )
    asked_for = asked_for.strip()
    if len(asked_for) > LONGEST_ASKED_FOR:
        raise ValidationError(f"What you ask for holds {LONGEST_ASKED_FOR} characters. Shorten it.")
    waiting = WitnessStatement.objects.standing().filter(
        session=session, learner=learner, witness=witness, signed_at=None
    )
    with transaction.atomic():
        Session.objects.select_for_update(of=("self",)).get(pk=session.pk)
        if waiting.exists():
            raise ValidationError(f"{witness.name} has been asked about this learner and has not signed yet.")
        statement = WitnessStatement.objects.create(
            session=session,
            learner=learner,
            witness=witness,
            witness_role=role_in(session, witness),
            asked_by=by,
            asked_at=now,
            asked_for=asked_for,
        )
        statement.criteria.set(criteria)
        audit.record(
            by=by,
            action="ask_witness",
            subject=statement,
            sentence="A witness statement was asked for.",
            detail={"learner": str(learner.token), "witness": str(witness.token)},
        )
    return statement


def role_in(session: Session, witness: User) -> str:
    """What the witness was in the lesson, else at the centre; they may say it better themselves."""
    helper = LessonHelper.objects.filter(lesson__session=session, user=witness).first()
    if helper:
        return str(helper.part)
    return str(witness.grants.order_by("role").values_list("role", flat=True).first() or "")
