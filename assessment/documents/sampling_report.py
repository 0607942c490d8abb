"""A sample on paper: how it was drawn, what it can find, what was found, and whether it is signed off.

Equal records give equal bytes: the document's date is the last moment at which something in it changed.
"""

import json
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.utils import timezone

from assessment.access import readable_plans
from assessment.actions.keep_document import keep_document
from assessment.calculations.sample_power import no_fault_sentence, power_sentence
from assessment.calculations.sampling import STRATA, empty_strata
from assessment.documents.centre_zone import zone_of
from assessment.models import (
    IssuedDocument,
    SampledPortfolio,
    SampleSignOff,
    SamplingPlan,
    VerificationAction,
)
from assessment.models.sample_chain import (
    actions_of,
    first_of,
    plans_of,
    seen_and_all,
    sign_off_of,
    unfinished,
)
from assessment.models.samples import (
    SampleAgreement,
    kept_candidates,
    kinds_of,
    sample_agreement,
    sampled_portfolios,
    with_names,
)
from practicals.models import Centre, User
from reagents.rendering import Attachment, render_pdf

KIND = "sampling report"
#: What is supposed wrong in the sentences on power, as on the page of the sample.
SUPPOSED_WRONG = (1, 3)


@dataclass(frozen=True, slots=True)
class ReportRow:
    sampled: SampledPortfolio
    reason: str
    state: str


@dataclass(frozen=True, slots=True)
class ReportPlan:
    """One draw of the chain."""

    plan: SamplingPlan
    strata: tuple[str, ...]
    empty: tuple[str, ...]
    rows: tuple[ReportRow, ...]


@dataclass(frozen=True, slots=True)
class SamplingReport:
    """All that stands in the document."""

    first: SamplingPlan
    centre: Centre
    plans: tuple[ReportPlan, ...]
    drawn: int
    population: int
    power: tuple[str, ...]
    agreement: SampleAgreement
    actions: tuple[VerificationAction, ...]
    waits: tuple[str, ...]
    signed_off: SampleSignOff | None
    created: datetime

    @property
    def title(self) -> str:
        return f"Sampling report: {self.first.unit.title}, {self.first.stage} sample"


def gather_report(plan: SamplingPlan) -> SamplingReport:
    plans = list(plans_of(plan).select_related("unit", "drawn_by"))
    drawn, population = seen_and_all(plan)
    actions = tuple(actions_of(plan))
    parts = tuple(_report_plan(one) for one in plans)
    supposed = [wrong for wrong in SUPPOSED_WRONG if wrong <= population]
    return SamplingReport(
        first=next(one for one in plans if one.pk == first_of(plan).pk),
        centre=Centre.here(),
        plans=parts,
        drawn=drawn,
        population=population,
        power=(
            *(power_sentence(population, drawn, wrong) for wrong in supposed),
            no_fault_sentence(population, drawn),
        ),
        agreement=sample_agreement(plans),
        actions=actions,
        waits=unfinished(plan).sentences,
        signed_off=sign_off_of(plan),
        created=_last_change(parts, actions, sign_off_of(plan)),
    )


def report_pdf(document: SamplingReport) -> bytes:
    """Print it, with what repeats each draw as data inside. Times stand in the centre's zone."""
    with timezone.override(zone_of(document.centre)):
        return render_pdf(
            "documents/sampling_report/sampling_report.html",
            {"document": document, "centre": document.centre},
            title=document.title,
            created=document.created,
            attachments=[_draws(document)],
        )


def make_report(*, by: User, plan: SamplingPlan, now: datetime) -> tuple[IssuedDocument, bytes]:
    """Make it for whoever may read the plan, and keep what goes out.

    Raises `PdfUnavailable` where the machine lacks what PDFs need.
    """
    if not readable_plans(by).filter(pk=plan.pk).exists():
        raise PermissionDenied
    document = gather_report(plan)
    content = report_pdf(document)
    issued = keep_document(by=by, kind=KIND, title=document.title, pdf=content, now=now)
    return issued, content


def _report_plan(plan: SamplingPlan) -> ReportPlan:
    kinds = kinds_of(plan) or []
    rows = list(sampled_portfolios(plan))
    assessors = {row.submission.work.assessor for row in rows}
    return ReportPlan(
        plan=plan,
        strata=tuple(words for kind, words in STRATA.items() if kind in kinds),
        empty=empty_strata(kept_candidates(plan), kinds),
        rows=tuple(ReportRow(row, with_names(row.reason, assessors), _state(row)) for row in rows),
    )


def _state(sampled: SampledPortfolio) -> str:
    record = getattr(sampled, "record", None)
    if record is None:
        return "not begun"
    if record.signed_at is None:
        return f"begun by {record.verifier.name}"
    disagreed = sum(verdict.verdict != "agree" for verdict in record.verdicts.all())
    found = f"{disagreed} not agreed" if disagreed else "all agreed"
    return f"signed by {record.verifier.name}, {found}"


def _draws(document: SamplingReport) -> Attachment:
    """Candidates by key and people by token: no names leave with the data."""
    data = [
        {
            "seed": part.plan.seed,
            "size": part.plan.size,
            "strata": part.plan.strata,
            "candidates": part.plan.candidates,
            "drawn": [str(row.sampled.submission.uuid) for row in part.rows],
        }
        for part in document.plans
    ]
    return Attachment(
        name="draws.json",
        data=json.dumps(data, indent=1, ensure_ascii=False, sort_keys=True).encode(),
        created=document.created,
        modified=document.created,
        description="Candidates, seed and size of each draw, to repeat it",
    )


def _last_change(
    parts: tuple[ReportPlan, ...], actions: tuple[VerificationAction, ...], signed_off: SampleSignOff | None
) -> datetime:
    moments: list[datetime | None] = [signed_off.at if signed_off else None]
    for part in parts:
        moments.append(part.plan.drawn_at)
        for row in part.rows:
            record = getattr(row.sampled, "record", None)
            moments += [record.opened_at, record.signed_at] if record else []
    for action in actions:
        moments += [action.raised_at, action.answered_at, action.closed_at]
    return max(moment for moment in moments if moment)
