"""Draw a sample of a unit's portfolios for verification."""

from collections.abc import Collection, Iterable
from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_submissions
from assessment.actions.save_policy import standing_policy
from assessment.calculations.sample_size import SizeWanted, choose_size
from assessment.calculations.sampling import STRATA, Draw, draw
from assessment.models import Policy, SampledPortfolio, SamplingPlan, Submission, Unit
from assessment.models.sample_marks import as_candidates
from assessment.models.samples import latest_attempts
from practicals import audit
from practicals.models import User

#: What a seed's column holds on every database.
LARGEST_SEED = 2**63 - 1
LARGEST_FIGURE = 32_767


def candidates_for(by: User, unit: Unit) -> list[Submission]:
    """Each learner's latest decided attempt in the unit, but nothing that `by` decided."""
    return latest_attempts(verifiable_submissions(by).filter(work__assignment__brief__unit=unit))


def usual_size(policy: Policy, *, wrong: int = 1) -> SizeWanted:
    """What the centre has settled."""
    figure = policy.sample_figure or None
    return SizeWanted(policy.sample_by, figure, wrong, policy.sample_at_least)  # type: ignore[arg-type]


def draw_sample(
    *,
    by: User,
    unit: Unit,
    seed: int,
    stage: str,
    now: datetime,
    size: int | SizeWanted | None = None,
    strata: Collection[str] = tuple(STRATA),
) -> SamplingPlan:
    """Draw and keep the plan with all that repeats it.

    `size` is a number, a rule, or None for the rule that the centre's policy settles. Raises
    `SamplingError` when the size is not possible.
    """
    if not by.has_perm("assessment.draw_sample"):
        raise PermissionDenied
    if stage not in SamplingPlan.Stage.values:
        raise ValidationError("Choose whether the sample is interim or final.")
    check_seed_and_strata(seed, strata)
    with transaction.atomic():
        plan = keep_draw(
            SamplingPlan(unit=unit, stage=stage, seed=seed, drawn_by=by, drawn_at=now),
            candidates_for(by, unit),
            _wanted(size, now),
            strata,
        )
        audit.record(
            by=by,
            action="draw_sample",
            subject=plan,
            sentence=drawn_words(plan),
            detail=drawn_detail(plan),
        )
    return plan


def keep_draw(
    plan: SamplingPlan, submissions: Iterable[Submission], wanted: SizeWanted, strata: Collection[str]
) -> SamplingPlan:
    """Draw by the plan's seed, and keep it with its portfolios and the reason for each."""
    by_key = {str(submission.uuid): submission for submission in submissions}
    chosen = choose_size(len(by_key), wanted)
    kinds = [kind for kind in STRATA if kind in strata]
    drawn = draw(list(as_candidates(by_key.values())), chosen.size, plan.seed, kinds=kinds)
    plan.size, plan.size_by, plan.size_figure = chosen.size, wanted.by, wanted.figure
    plan.strata, plan.method = kinds, chosen.sentence[:200]
    plan.candidates = [asdict(candidate) for candidate in drawn.candidates]
    plan.save()
    _keep(plan, drawn, by_key)
    return plan


def check_seed_and_strata(seed: int, strata: Collection[str]) -> None:
    if not 0 <= seed <= LARGEST_SEED:
        raise ValidationError(f"A seed is a whole number from 0 to {LARGEST_SEED}.")
    if not set(strata) <= set(STRATA):
        raise ValidationError("Choose what is to be represented from the list.")


def drawn_words(plan: SamplingPlan) -> str:
    """For the audit trail, like the detail."""
    return f"{plan.portfolios.count()} of {len(plan.candidates)} portfolios drawn with seed {plan.seed}."


def drawn_detail(plan: SamplingPlan) -> dict[str, Any]:
    return {"size": plan.size, "seed": str(plan.seed), "size_by": plan.size_by, "strata": plan.strata}


def _wanted(size: int | SizeWanted | None, now: datetime) -> SizeWanted:
    if size is None:
        return usual_size(standing_policy(now=now))
    return SizeWanted("number", size) if isinstance(size, int) else size


def _keep(plan: SamplingPlan, drawn: Draw, submissions: dict[str, Submission]) -> None:
    SampledPortfolio.objects.bulk_create(
        SampledPortfolio(
            plan=plan, submission=submissions[choice.key], order=order, reason="; ".join(choice.reasons)
        )
        for order, choice in enumerate(drawn.chosen, start=1)
    )
