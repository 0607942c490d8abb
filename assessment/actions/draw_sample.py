"""Draw a sample of a unit's portfolios for verification."""

from dataclasses import asdict
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_submissions
from assessment.calculations.sampling import Draw, draw
from assessment.models import SampledPortfolio, SamplingPlan, Submission, Unit
from assessment.models.samples import as_candidates, latest_attempts
from practicals import audit
from practicals.models import User

#: What a seed's column holds on every database.
LARGEST_SEED = 2**63 - 1


def candidates_for(by: User, unit: Unit) -> list[Submission]:
    """Each learner's latest decided attempt in the unit, but nothing that `by` decided."""
    return latest_attempts(verifiable_submissions(by).filter(work__assignment__brief__unit=unit))


def draw_sample(*, by: User, unit: Unit, size: int, seed: int, stage: str, now: datetime) -> SamplingPlan:
    """Draw and keep the plan with all that repeats it.

    Raises `SamplingError` when the size is not possible.
    """
    if not by.has_perm("assessment.draw_sample"):
        raise PermissionDenied
    if stage not in SamplingPlan.Stage.values:
        raise ValidationError("Choose whether the sample is interim or final.")
    if not 0 <= seed <= LARGEST_SEED:
        raise ValidationError(f"A seed is a whole number from 0 to {LARGEST_SEED}.")
    with transaction.atomic():
        submissions = {str(submission.uuid): submission for submission in candidates_for(by, unit)}
        drawn = draw(list(as_candidates(submissions.values())), size, seed)
        plan = SamplingPlan.objects.create(
            unit=unit,
            stage=stage,
            size=size,
            seed=seed,
            candidates=[asdict(candidate) for candidate in drawn.candidates],
            drawn_by=by,
            drawn_at=now,
        )
        _keep(plan, drawn, submissions)
        audit.record(
            by=by,
            action="draw_sample",
            subject=plan,
            sentence=f"{len(drawn.chosen)} of {len(submissions)} portfolios drawn with seed {seed}.",
            detail={"size": size, "seed": str(seed), "method": drawn.method},
        )
    return plan


def _keep(plan: SamplingPlan, drawn: Draw, submissions: dict[str, Submission]) -> None:
    SampledPortfolio.objects.bulk_create(
        SampledPortfolio(
            plan=plan,
            submission=submissions[choice.key],
            order=order,
            reason="; ".join(choice.reasons)[:200],
        )
        for order, choice in enumerate(drawn.chosen, start=1)
    )
