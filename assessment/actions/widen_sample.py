"""Widen a sample: more portfolios are drawn from the rest, and those drawn before stay."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import readable_plans
from assessment.actions.draw_sample import (
    candidates_for,
    check_seed_and_strata,
    drawn_detail,
    drawn_words,
    keep_draw,
)
from assessment.calculations.sample_size import SizeWanted
from assessment.calculations.sampling import STRATA
from assessment.models import SamplingPlan, Submission
from assessment.models.sample_chain import first_of, portfolios_of, sign_off_of
from practicals import audit
from practicals.models import User


def rest_of(by: User, plan: SamplingPlan, *, assessor: User | None = None) -> list[Submission]:
    """What could still be drawn: of everybody, or of one assessor whose work is to be looked at again."""
    works = set(portfolios_of(plan).values_list("submission__work", flat=True))
    rest = [found for found in candidates_for(by, plan.unit) if found.work_id not in works]
    return [found for found in rest if assessor is None or found.work.assessor_id == assessor.pk]


def widen_sample(
    *,
    by: User,
    plan: SamplingPlan,
    size: int | SizeWanted,
    seed: int,
    reason: str,
    now: datetime,
    assessor: User | None = None,
    strata: Collection[str] = tuple(STRATA),
) -> SamplingPlan:
    """Draw from what was not drawn before. The earlier plan and its portfolios stay as they are."""
    if not by.has_perm("assessment.draw_sample") or not readable_plans(by).filter(pk=plan.pk).exists():
        raise PermissionDenied
    if not reason.strip():
        raise ValidationError("Write why the sample is widened.")
    check_seed_and_strata(seed, strata)
    with transaction.atomic():
        # The first plan's row is the lock: two who widen at once draw one after the other.
        first = SamplingPlan.objects.select_for_update().get(pk=first_of(plan).pk)
        if sign_off_of(first):
            raise ValidationError("This sample is signed off. Draw a new one instead of widening it.")
        rest = rest_of(by, first, assessor=assessor)
        if not rest:
            raise ValidationError("Nothing is left to draw: every portfolio that you may verify is in it.")
        wider = keep_draw(
            SamplingPlan(
                unit=first.unit,
                stage=first.stage,
                seed=seed,
                widens=first,
                widened_because=reason.strip(),
                drawn_by=by,
                drawn_at=now,
            ),
            rest,
            SizeWanted("number", size) if isinstance(size, int) else size,
            strata,
        )
        audit.record(
            by=by,
            action="widen_sample",
            subject=wider,
            sentence=drawn_words(wider),
            detail=drawn_detail(wider),
        )
    return wider
