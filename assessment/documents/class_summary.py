"""The class in one table for the file: evidence, decisions and grades, learner by criterion."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied

from assessment.access import readable_assignments, readable_works
from assessment.actions.keep_document import keep_document
from assessment.models import Assignment, Criterion, IssuedDocument
from assessment.models.class_evidence import LearnerLine, class_evidence
from practicals.models import Centre, User
from reagents.rendering import render_pdf

KIND = "class summary"


@dataclass(frozen=True, slots=True)
class CriterionTotal:
    """How many of the class met a criterion, did not yet, and are not decided."""

    criterion: Criterion
    met: int
    not_yet: int
    undecided: int


@dataclass(frozen=True, slots=True)
class ClassSummary:
    """What stands in the document."""

    assignment: Assignment
    centre: Centre
    made_at: datetime
    criteria: tuple[Criterion, ...]
    lines: tuple[LearnerLine, ...]
    totals: tuple[CriterionTotal, ...]

    @property
    def title(self) -> str:
        return f"Class summary of {self.assignment.teaching_class}: {self.assignment.brief.title}"


def gather_class_summary(assignment: Assignment, *, by: User, now: datetime) -> ClassSummary:
    """Of the works that this person may read, in a number of queries that never grows."""
    assignment = readable_assignments(by).for_page().get(pk=assignment.pk)
    works = list(readable_works(by).in_class_order(assignment).for_marking())
    criteria = tuple(assignment.brief.criteria.all())
    lines = tuple(class_evidence(works, criteria))
    return ClassSummary(
        assignment=assignment,
        centre=Centre.here(),
        made_at=now,
        criteria=criteria,
        lines=lines,
        totals=tuple(_total(criterion, place, lines) for place, criterion in enumerate(criteria)),
    )


def class_summary_pdf(summary: ClassSummary) -> bytes:
    """The document itself."""
    return render_pdf(
        "documents/class_summary/class_summary.html",
        {"summary": summary, "centre": summary.centre},
        title=summary.title,
        created=summary.made_at,
    )


def make_class_summary(*, by: User, assignment: Assignment, now: datetime) -> tuple[IssuedDocument, bytes]:
    """Gather, print and keep. Raises `PdfUnavailable` where the machine lacks what PDFs need."""
    if not by.has_perm("assessment.decide") or not readable_assignments(by).filter(pk=assignment.pk).exists():
        raise PermissionDenied
    summary = gather_class_summary(assignment, by=by, now=now)
    pdf = class_summary_pdf(summary)
    issued = keep_document(by=by, kind=KIND, title=summary.title, pdf=pdf, assignment=assignment, now=now)
    return issued, pdf


def _total(criterion: Criterion, place: int, lines: tuple[LearnerLine, ...]) -> CriterionTotal:
    found = Counter(line.cells[place].outcome for line in lines)
    return CriterionTotal(criterion, found["met"], found["not yet met"], found[""])
