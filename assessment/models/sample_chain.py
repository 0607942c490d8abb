"""A sample with what it was widened by: one chain, which is drawn from, judged and signed off as one."""

from dataclasses import dataclass

from django.db.models import QuerySet

from assessment.models.follow_up import SampleSignOff, VerificationAction
from assessment.models.verification import SampledPortfolio, SamplingPlan, VerificationRecord


@dataclass(frozen=True, slots=True)
class Unfinished:
    """What keeps a sample from being signed off."""

    unsigned: int
    open_actions: int

    @property
    def sentences(self) -> tuple[str, ...]:
        said = []
        if self.unsigned:
            many = self.unsigned != 1
            said.append(f"{self.unsigned} record{'s are' if many else ' is'} not signed yet.")
        if self.open_actions:
            many = self.open_actions != 1
            said.append(f"{self.open_actions} action{'s are' if many else ' is'} still open.")
        return tuple(said)


def first_of(plan: SamplingPlan) -> SamplingPlan:
    """The plan that was drawn first: every widening points at it."""
    return plan.widens or plan


def plans_of(plan: SamplingPlan) -> QuerySet[SamplingPlan]:
    """The first plan and its widenings, in the order in which they were drawn."""
    first = first_of(plan)
    plans = SamplingPlan.objects.filter(pk=first.pk) | SamplingPlan.objects.filter(widens=first.pk)
    return plans.order_by("drawn_at", "pk")


def portfolios_of(plan: SamplingPlan) -> QuerySet[SampledPortfolio]:
    return SampledPortfolio.objects.filter(plan__in=plans_of(plan).values("pk"))


def actions_of(plan: SamplingPlan) -> QuerySet[VerificationAction]:
    found = VerificationAction.objects.filter(record__sampled__in=portfolios_of(plan).values("pk"))
    return found.select_related(
        "owner", "closed_by", "new_decision__criterion", "record__sampled__submission__work__learner"
    )


def unfinished(plan: SamplingPlan) -> Unfinished:
    portfolios = portfolios_of(plan)
    signed = VerificationRecord.objects.filter(sampled__in=portfolios.values("pk"), signed_at__isnull=False)
    return Unfinished(portfolios.count() - signed.count(), actions_of(plan).filter(closed_at=None).count())


def sign_off_of(plan: SamplingPlan) -> SampleSignOff | None:
    return SampleSignOff.objects.filter(plan=first_of(plan)).select_related("by").first()


def seen_and_all(plan: SamplingPlan) -> tuple[int, int]:
    """Portfolios drawn in the whole chain, and all that it was drawn from."""
    keys: set[str] = set()
    for candidates in plans_of(plan).values_list("candidates", flat=True):
        keys.update(row["key"] for row in candidates)
    return portfolios_of(plan).count(), len(keys)
