"""One sampled portfolio's verification: verdicts, quality, and what became of every action.

Equal records give equal bytes: the document's date is the last moment at which something in it changed.
"""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.utils import timezone

from assessment.access import verifiable_portfolios
from assessment.actions.keep_document import keep_document
from assessment.documents.centre_zone import zone_of
from assessment.models import (
    CriterionVerdict,
    IssuedDocument,
    SampledPortfolio,
    VerificationAction,
    VerificationRecord,
)
from assessment.models.follow_up_state import whole_actions
from assessment.models.results import grade_of
from assessment.models.samples import with_names
from practicals.models import Centre, User
from reagents.rendering import render_pdf

KIND = "verification record"


@dataclass(frozen=True, slots=True)
class RecordDocument:
    """All that stands in the document; `record` is None while nobody has begun."""

    sampled: SampledPortfolio
    centre: Centre
    record: VerificationRecord | None
    verdicts: tuple[CriterionVerdict, ...]
    actions: tuple[VerificationAction, ...]
    why_sampled: str
    grade: str
    created: datetime

    @property
    def title(self) -> str:
        work = self.sampled.submission.work
        return f"Verification record, {work.learner.name}: {work.assignment.brief.title}"


def gather_record(sampled: SampledPortfolio) -> RecordDocument:
    record = VerificationRecord.objects.select_related("verifier").filter(sampled=sampled).first()
    verdicts = tuple(
        CriterionVerdict.objects.filter(record=record).select_related(
            "decision__criterion", "decision__assessor", "third_opinion__person"
        )
    )
    actions = tuple(whole_actions(VerificationAction.objects.filter(record=record)))
    return RecordDocument(
        sampled=sampled,
        centre=Centre.here(),
        record=record,
        verdicts=verdicts,
        actions=actions,
        why_sampled=with_names(sampled.reason, [sampled.submission.work.assessor]),
        grade=grade_of(sampled.submission).sentence,
        created=_last_change(sampled, record, verdicts, actions),
    )


def record_pdf(document: RecordDocument) -> bytes:
    """Print it. Times stand in the centre's zone."""
    with timezone.override(zone_of(document.centre)):
        return render_pdf(
            "documents/verification_record/verification_record.html",
            {"document": document, "centre": document.centre, "work": document.sampled.submission.work},
            title=document.title,
            created=document.created,
        )


def make_record(*, by: User, sampled: SampledPortfolio, now: datetime) -> tuple[IssuedDocument, bytes]:
    """Make it for a verifier who may open the portfolio, and keep what goes out.

    Raises `PdfUnavailable` where the machine lacks what PDFs need.
    """
    if not verifiable_portfolios(by).filter(pk=sampled.pk).exists():
        raise PermissionDenied
    document = gather_record(sampled)
    content = record_pdf(document)
    issued = keep_document(
        by=by,
        kind=KIND,
        title=document.title,
        pdf=content,
        submission=sampled.submission,
        evidence_sha256=sampled.submission.manifest_sha256,
        now=now,
    )
    return issued, content


def _last_change(
    sampled: SampledPortfolio,
    record: VerificationRecord | None,
    verdicts: tuple[CriterionVerdict, ...],
    actions: tuple[VerificationAction, ...],
) -> datetime:
    moments: list[datetime | None] = [sampled.plan.drawn_at]
    moments += [record.opened_at, record.signed_at] if record else []
    for verdict in verdicts:
        opinion = getattr(verdict, "third_opinion", None)
        moments += [verdict.at, opinion.given_at if opinion else None]
    for action in actions:
        moments += [action.raised_at, action.answered_at, action.closed_at]
    return max(moment for moment in moments if moment)
