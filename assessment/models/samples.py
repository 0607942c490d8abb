"""What a sample is drawn from, drawing it again, and how far assessor and verifier agree in it."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from assessment.calculations.agreement import FEWEST_FOR_A_WORD, Agreement, compare
from assessment.calculations.agreement_interval import kappa_interval
from assessment.calculations.sampling import Candidate, Draw, draw
from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.verification import CriterionVerdict, SampledPortfolio, SamplingPlan
from practicals.models import User

OUTCOMES = (Decision.Outcome.NOT_YET.value, Decision.Outcome.MET.value)


@dataclass(frozen=True, slots=True)
class SampleAgreement:
    """Agreement over the signed records of a plan; `cannot_tell` verdicts stand outside it."""

    overall: Agreement
    by_assessor: tuple[tuple[str, Agreement], ...]
    cannot_tell: int
    interval: str
    intervals: dict[str, str]

    @property
    def lines(self) -> list[tuple[str, str, str]]:
        """Each assessor's name, agreement and interval, in words."""
        return [(name, found.sentence, self.intervals[name]) for name, found in self.by_assessor]


def latest_attempts(submissions: QuerySet[Submission]) -> list[Submission]:
    """Each learner's latest of the given attempts, with what a draw and its list show."""
    latest: dict[int, Submission] = {}
    found = (
        submissions.select_related(
            "work__learner",
            "work__assessor",
            "work__assignment__teaching_class",
            "work__assignment__brief__unit",
        )
        .prefetch_related("decisions__criterion", "work__assignment__brief__criteria")
        .order_by("attempt", "pk")
    )
    for submission in found:
        latest[submission.work_id] = submission
    return list(latest.values())


def decided_by_unit(submissions: QuerySet[Submission]) -> dict[int, int]:
    """How many works the submissions belong to, by their unit's key."""
    works = submissions.values_list("work", "work__assignment__brief__unit").order_by()
    return dict(Counter(unit for _, unit in set(works)))


def redraw(plan: SamplingPlan) -> Draw:
    """Draw once more from what the plan kept."""
    return draw(kept_candidates(plan), plan.size, plan.seed, kinds=kinds_of(plan))


def kept_candidates(plan: SamplingPlan) -> list[Candidate]:
    return [_candidate(row) for row in plan.candidates]


def kinds_of(plan: SamplingPlan) -> list[str] | None:
    """What was to be represented; None for a plan drawn before there was a choice."""
    return list(plan.strata) if plan.method else None


def drawn_keys(plan: SamplingPlan) -> list[str]:
    """The portfolios that the plan holds, in their order."""
    return [str(portfolio.submission.uuid) for portfolio in plan.portfolios.all()]


def with_names(reason: str, people: Iterable[User]) -> str:
    """A kept reason with the assessors' names instead of their tokens."""
    for person in people:
        reason = reason.replace(str(person.token), person.name)
    return reason


def sample_agreement(plans: SamplingPlan | Iterable[SamplingPlan]) -> SampleAgreement:
    """Compare what was decided with what the verifier's verdict implies, over signed records."""
    wanted = [plans] if isinstance(plans, SamplingPlan) else list(plans)
    verdicts = list(
        CriterionVerdict.objects.filter(record__sampled__plan__in=wanted, record__signed_at__isnull=False)
        .select_related("decision", "assessor")
        .order_by("assessor__sort_name", "assessor_id", "pk")
    )
    pairs: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for verdict in verdicts:
        if verdict.verdict != CriterionVerdict.Verdict.CANNOT_TELL:
            pairs[verdict.assessor.name].append(_pair(verdict))
    overall = [pair for found in pairs.values() for pair in found]
    return SampleAgreement(
        overall=compare(overall, OUTCOMES),
        by_assessor=tuple((name, compare(found, OUTCOMES)) for name, found in pairs.items()),
        cannot_tell=sum(v.verdict == CriterionVerdict.Verdict.CANNOT_TELL for v in verdicts),
        interval=interval_words(overall),
        intervals={name: interval_words(found) for name, found in pairs.items()},
    )


def interval_words(pairs: Sequence[tuple[str, str]]) -> str:
    """The interval of kappa as a sentence, or why there is none."""
    if not pairs:
        return ""
    table = [[sum(pair == (one, two) for pair in pairs) for two in OUTCOMES] for one in OUTCOMES]
    found = kappa_interval(table)
    if found is None:
        return f"No interval of kappa can be given from these {len(pairs)}."
    low, high = (f"{end:.2f}".replace("-", "−") for end in found)
    rough = "" if len(pairs) >= FEWEST_FOR_A_WORD else " It is rough: the formula is made for many pairs."
    return f"95 % interval of kappa {low} to {high}, n = {len(pairs)}.{rough}"


def sampled_portfolios(plan: SamplingPlan) -> QuerySet[SampledPortfolio]:
    """The sample with all that its list shows, in a fixed number of queries."""
    return plan.portfolios.select_related(
        "submission__work__learner",
        "submission__work__assessor",
        "submission__work__assignment__teaching_class",
        "record__verifier",
    ).prefetch_related("record__verdicts", "submission__decisions")


def whole(portfolios: QuerySet[SampledPortfolio]) -> QuerySet[SampledPortfolio]:
    """Portfolios with all that their page shows, in a fixed number of queries."""
    return portfolios.select_related(
        "plan__unit",
        "submission__work__learner",
        "submission__work__assessor",
        "submission__work__assignment__teaching_class",
        "submission__work__assignment__brief__unit",
        "submission__feedback",
        "record__verifier",
    ).prefetch_related(
        "submission__parts",
        "submission__decisions__criterion",
        "submission__decisions__assessor",
        "submission__work__assignment__brief__criteria",
        "record__verdicts",
    )


def _candidate(row: dict[str, object]) -> Candidate:
    values = {name: tuple(value) if isinstance(value, list) else value for name, value in row.items()}
    return Candidate(**values)  # type: ignore[arg-type]


def _pair(verdict: CriterionVerdict) -> tuple[str, str]:
    decided = verdict.decision.outcome
    agreed = verdict.verdict == CriterionVerdict.Verdict.AGREE
    implied = decided if agreed else next(outcome for outcome in OUTCOMES if outcome != decided)
    return decided, implied
