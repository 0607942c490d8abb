"""What the verifier's pages list, put together from records that were fetched whole."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.http import QueryDict

from assessment.access import (
    own_decided_submissions,
    readable_plans,
    verifiable_portfolios,
    verifiable_submissions,
)
from assessment.actions.give_verdicts import VerdictEntry, VerdictsRefused
from assessment.models import (
    CriterionVerdict,
    Decision,
    SampledPortfolio,
    SamplingPlan,
    Submission,
    Unit,
    VerificationRecord,
)
from assessment.models.attached_files import files_of
from assessment.models.frozen import frozen_evidence, integrity
from assessment.models.results import grade_of, standing_decisions
from assessment.models.samples import decided_by_unit, drawn_keys, redraw, sampled_portfolios, with_names
from assessment.pages.verify.figures import SizeHelp, size_help
from assessment.pages.verify.forms import VerdictForm
from practicals.models import User


@dataclass(frozen=True, slots=True)
class PlanLine:
    plan: SamplingPlan
    drawn: int
    signed: int
    state: str
    css: str


@dataclass(frozen=True, slots=True)
class UnitLine:
    """A unit, and help to choose a size: None when nothing of it can be drawn."""

    unit: Unit
    help: SizeHelp | None
    own: int


@dataclass(frozen=True, slots=True)
class SampleRow:
    """A portfolio in a plan. One that holds an own decision is named, but not opened."""

    portfolio: SampledPortfolio
    reason: str
    may_open: bool
    state: str
    css: str


@dataclass(frozen=True, slots=True)
class VerdictRow:
    """One decision, the verdict on it so far, and the form for it while the record is open."""

    decision: Decision
    verdict: CriterionVerdict | None
    form: VerdictForm

    @property
    def errors(self) -> list[tuple[str, str]]:
        """Where each error is, and its sentence."""
        return [
            (self.form[name].auto_id, f"{self.form[name].label}: {sentences[0]}")
            for name, sentences in self.form.errors.items()
            if name in self.form.fields
        ]


@dataclass(frozen=True, slots=True)
class Redrawn:
    """The plan's draw, done again just now."""

    same: bool
    chosen: int
    note: str
    method: str


def redrawn(plan: SamplingPlan) -> Redrawn:
    again = redraw(plan)
    same = sorted(choice.key for choice in again.chosen) == sorted(drawn_keys(plan))
    return Redrawn(same, len(again.chosen), again.note, again.method)


def sample_rows(user: User, plan: SamplingPlan) -> list[SampleRow]:
    portfolios = list(sampled_portfolios(plan))
    open_to = set(verifiable_portfolios(user).filter(plan=plan).values_list("pk", flat=True))
    assessors = {found.submission.work.assessor for found in portfolios}
    return [
        SampleRow(found, with_names(found.reason, assessors), found.pk in open_to, *_state(user, found))
        for found in portfolios
    ]


def plan_for(user: User, uuid: UUID) -> SamplingPlan | None:
    plans = readable_plans(user).select_related("unit", "drawn_by", "widens")
    return plans.prefetch_related("portfolios__submission").filter(uuid=uuid).first()


def record_of(portfolio: SampledPortfolio) -> VerificationRecord | None:
    return getattr(portfolio, "record", None)


def plan_lines(plans: QuerySet[SamplingPlan]) -> list[PlanLine]:
    found = plans.select_related("unit", "drawn_by", "sign_off", "widens__sign_off")
    return [_plan_line(plan) for plan in found.prefetch_related("portfolios__record")]


def _plan_line(plan: SamplingPlan) -> PlanLine:
    drawn, signed = len(plan.portfolios.all()), sum(map(_is_signed, plan.portfolios.all()))
    if getattr(plan.widens or plan, "sign_off", None):
        return PlanLine(plan, drawn, signed, "signed off", "done")
    return PlanLine(plan, drawn, signed, f"{signed} of {drawn} signed", "waiting" if signed else "open")


def unit_lines(user: User) -> list[UnitLine]:
    """Every unit with decided work, how many portfolios there are to draw from, and how many are own."""
    decided = decided_by_unit(verifiable_submissions(user))
    own = decided_by_unit(own_decided_submissions(user))
    units = Unit.objects.filter(pk__in={*decided, *own})
    return [UnitLine(unit, size_help(decided.get(unit.pk, 0)), own.get(unit.pk, 0)) for unit in units]


def only_unit(lines: Iterable[UnitLine]) -> UUID | None:
    """The unit to draw from, where there is no choice."""
    units = [line.unit.uuid for line in lines if line.help]
    return units[0] if len(units) == 1 else None


def may_write(user: User, record: VerificationRecord | None) -> bool:
    """The record is not begun, or it is this verifier's and not signed."""
    return record is None or (record.verifier_id == user.pk and record.signed_at is None)


def evidence_of(submission: Submission) -> dict[str, Any]:
    """The frozen parts, whether they are still what was frozen, and the grade by rule."""
    return {
        "evidence": frozen_evidence(submission),
        "files": files_of(submission.work, submission),
        "integrity": integrity(submission),
        "grade": grade_of(submission),
        "feedback": getattr(submission, "feedback", None),
    }


def verdict_rows(portfolio: SampledPortfolio, typed: QueryDict | None = None) -> list[VerdictRow]:
    """Standing decisions in the order of their criteria; `typed` is what came with a POST."""
    record = record_of(portfolio)
    given = {found.decision_id: found for found in record.verdicts.all()} if record else {}
    decisions = sorted(
        standing_decisions(portfolio.submission).values(), key=lambda found: found.criterion.order
    )
    return [_row(decision, given.get(decision.pk), typed) for decision in decisions]


def entries_of(rows: Iterable[VerdictRow], portfolio: SampledPortfolio) -> list[VerdictEntry]:
    """What was typed, each against the decision that the page showed. Forms must have been validated."""
    shown = {str(found.uuid): found for found in portfolio.submission.decisions.all()}
    return [
        VerdictEntry(
            decision=shown.get(row.form.cleaned_data["decision"], row.decision),
            verdict=row.form.cleaned_data["verdict"],
            comment=row.form.cleaned_data["comment"],
            seen_at=row.form.cleaned_data["seen"],
        )
        for row in rows
    ]


def show_refusals(
    rows: Iterable[VerdictRow], entries: Iterable[VerdictEntry], error: VerdictsRefused
) -> None:
    """Put each sentence at its field."""
    for row, entry in zip(rows, entries, strict=True):
        why = error.by_decision.get(entry.decision.pk)
        if why:
            row.form.add_error("comment" if entry.verdict else "verdict", why)


def _row(decision: Decision, given: CriterionVerdict | None, typed: QueryDict | None) -> VerdictRow:
    prefix = f"criterion-{decision.criterion_id}"
    initial = {
        "decision": str(decision.uuid),
        "seen": _seen(given.at) if given else "",
        "verdict": given.verdict if given else "",
        "comment": given.comment if given else "",
    }
    form = VerdictForm(typed, prefix=prefix, initial=initial, code=decision.criterion.code)
    return VerdictRow(decision, given, form)


def refreshed(rows: Iterable[VerdictRow], typed: QueryDict) -> QueryDict:
    """What was typed, now said of the decisions and verdicts that stand."""
    data = typed.copy()
    for row in rows:
        data[row.form.add_prefix("decision")] = row.form.initial["decision"]
        data[row.form.add_prefix("seen")] = row.form.initial["seen"]
    return data


def _seen(at: datetime) -> str:
    return at.isoformat()


def _state(user: User, portfolio: SampledPortfolio) -> tuple[str, str]:
    record = record_of(portfolio)
    if record is None:
        return "to verify", "open"
    if record.signed_at:
        disagreed = sum(found.verdict != CriterionVerdict.Verdict.AGREE for found in record.verdicts.all())
        return (f"signed, {disagreed} not agreed", "doubt") if disagreed else ("signed, all agreed", "done")
    return ("begun by you" if record.verifier_id == user.pk else f"begun by {record.verifier}"), "waiting"


def _is_signed(portfolio: SampledPortfolio) -> bool:
    record = record_of(portfolio)
    return record is not None and record.signed_at is not None
