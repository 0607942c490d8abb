"""Decisions and feedback of one released attempt: the same record for learner and assessor."""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError

from assessment.access import own_works, readable_works
from assessment.actions.keep_document import keep_document
from assessment.documents.portfolio import whole_submission
from assessment.models import AssessorDeclaration, Decision, Feedback, IssuedDocument, Submission
from assessment.models.results import grade_of
from practicals.models import Centre, User
from reagents.rendering import render_pdf

KIND = "decision and feedback record"


@dataclass(frozen=True, slots=True)
class FeedbackRecord:
    """What stands in the document. Nothing of it was unseen by the learner."""

    submission: Submission
    centre: Centre
    decisions: tuple[Decision, ...]
    superseded: tuple[Decision, ...]
    feedback: Feedback
    declaration: AssessorDeclaration | None
    grade: str
    made_at: datetime

    @property
    def title(self) -> str:
        work = self.submission.work
        return f"Decisions and feedback, {work.learner.name}: {work.assignment.brief.title}"


class NotReleased(ValidationError):
    """The result is not out yet, so there is no record to hand out."""

    def __init__(self) -> None:
        super().__init__("The result is not released yet. The record can be made after that.")


def gather_feedback_record(submission: Submission) -> FeedbackRecord:
    """Equal records give equal bytes: the date is that of the last change, never that of printing."""
    submission = whole_submission(submission)
    feedback: Feedback | None = getattr(submission, "feedback", None)
    if feedback is None or feedback.released_at is None:
        raise NotReleased
    every = list(submission.decisions.all())
    superseded = [
        one for one in every if not one.is_current and one.superseded_by.decided_at > feedback.released_at
    ]
    return FeedbackRecord(
        submission=submission,
        centre=Centre.here(),
        decisions=tuple(one for one in every if one.is_current),
        superseded=tuple(superseded),
        feedback=feedback,
        declaration=AssessorDeclaration.objects.select_related("assessor")
        .filter(submission=submission)
        .first(),
        grade=grade_of(submission).sentence,
        made_at=max([feedback.released_at, *(one.decided_at for one in every)]),
    )


def make_feedback_record(*, by: User, submission: Submission, now: datetime) -> tuple[IssuedDocument, bytes]:
    """Gather, print and keep, for the learner or whoever reads the work as a teacher."""
    readable = readable_works(by).filter(pk=submission.work_id).exists()
    own = own_works(by).filter(pk=submission.work_id).exists()
    if not (readable or own):
        raise PermissionDenied
    record = gather_feedback_record(submission)
    pdf = render_pdf(
        "documents/feedback_record/feedback_record.html",
        {"record": record, "centre": record.centre},
        title=record.title,
        created=record.made_at,
    )
    issued = keep_document(
        by=by,
        kind=KIND,
        title=record.title,
        pdf=pdf,
        submission=submission,
        evidence_sha256=submission.manifest_sha256,
        made_for=submission.work.learner,
        now=now,
    )
    return issued, pdf
