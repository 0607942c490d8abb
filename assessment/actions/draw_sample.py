"""Draw a sample of a unit's portfolios for verification."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from assessment.access import verifiable_submissions
from assessment.calculations.sampling import Candidate, draw
from assessment.models import SampledPortfolio, SamplingPlan, Submission, Unit
from assessment.models.results import grade_of
from practicals import audit
from practicals.models import User


def candidates_for(by: User, unit: Unit) -> list[Submission]:
    """Each learner's latest decided attempt in the unit, but nothing that `by` decided."""
    latest: dict[int, Submission] = {}
    found = (
        verifiable_submissions(by)
        .filter(work__assignment__brief__unit=unit)
        .select_related("work__assessor", "work__assignment__teaching_class", "work__assignment__brief__unit")
        .prefetch_related("decisions__criterion", "work__assignment__brief__criteria")
        .order_by("attempt")
    )
    for submission in found:
        latest[submission.work_id] = submission
    return list(latest.values())


def draw_sample(*, by: User, unit: Unit, size: int, seed: int, stage: str, now: datetime) -> SamplingPlan:
    """Draw and keep the plan with all that repeats it.

    Raises `SamplingError` when the size is not possible.
    """
    if not by.has_perm("assessment.draw_sample"):
        raise PermissionDenied
    submissions = {str(submission.uuid): submission for submission in candidates_for(by, unit)}
    drawn = draw(list(_as_candidates(submissions.values())), size, seed)
    with transaction.atomic():
        plan = SamplingPlan.objects.create(
            unit=unit,
            stage=stage,
            size=size,
            seed=seed,
            candidates=[asdict(candidate) for candidate in drawn.candidates],
            drawn_by=by,
            drawn_at=now,
        )
        SampledPortfolio.objects.bulk_create(
            SampledPortfolio(
                plan=plan,
                submission=submissions[choice.key],
                order=order,
                reason="; ".join(choice.reasons)[:200],
            )
            for order, choice in enumerate(drawn.chosen, start=1)
        )
        audit.record(
            by=by,
            action="draw_sample",
            subject=plan,
            sentence=f"{len(drawn.chosen)} of {len(submissions)} portfolios drawn with seed {seed}.",
        )
    return plan


def _as_candidates(submissions: Iterable[Submission]) -> Iterable[Candidate]:
    """People stand in a kept plan by token."""
    for submission in submissions:
        yield Candidate(
            key=str(submission.uuid),
            assessor=str(submission.work.assessor.token),
            grade=grade_of(submission).grade or "no grade yet",
            always_because=("resubmission",) if submission.attempt > 1 else (),
        )
