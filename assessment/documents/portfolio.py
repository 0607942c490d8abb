"""One submission's portfolio: gathered from its frozen evidence and the decisions on it, then printed.

Equal evidence and decisions give equal bytes: the document's date is the last moment at which something
in it changed, never the moment of printing.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.safestring import SafeString

from assessment.calculations.evidence_map import CriterionEvidence, map_evidence, remarks
from assessment.calculations.evidence_needs import EvidenceNeed
from assessment.calculations.frozen_beside import FrozenAttachment, FrozenObservation, FrozenStatement
from assessment.calculations.frozen_paper import FrozenRemark
from assessment.documents.portfolio_class import ClassPart, class_parts
from assessment.documents.portfolio_data import data_inside, files_inside
from assessment.documents.portfolio_papers import PaperPart, every_photo, paper_part
from assessment.models import Criterion, Decision, Feedback, Submission
from assessment.models.frozen import FrozenEvidence, frozen_evidence, integrity
from assessment.models.results import grade_of, standing_decisions
from practicals.models import Centre
from reagents.models import Batch
from reagents.rendering import Attachment, qr_svg, render_pdf

QR_MM = 30.0


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the document that a reader is led to."""

    label: str
    anchor: str


@dataclass(frozen=True, slots=True)
class CriterionLine:
    """A criterion in the map: what it asks for, what is there and where, what was decided."""

    code: str
    level: str
    text: str
    asks_for: tuple[str, ...]
    there: tuple[str, ...]
    places: tuple[Place, ...]
    outcome: str


@dataclass(frozen=True, slots=True)
class Portfolio:
    """All that stands in the document. `with_result` is False while a learner may not see it yet."""

    submission: Submission
    centre: Centre
    copy_of: str
    with_result: bool
    created: datetime
    check_address: str
    criteria: tuple[CriterionLine, ...]
    remarks: tuple[str, ...]
    papers: tuple[PaperPart, ...]
    class_parts: tuple[ClassPart, ...]
    batches: tuple[Batch, ...]
    batches_unknown: tuple[str, ...]
    conclusion: str
    evaluation: str
    help_given: tuple[FrozenRemark, ...]
    notes: tuple[FrozenRemark, ...]
    observations: tuple[FrozenObservation, ...]
    statements: tuple[FrozenStatement, ...]
    files: tuple[FrozenAttachment, ...]
    decisions: tuple[Decision, ...]
    superseded: tuple[Decision, ...]
    grade: str
    feedback: Feedback | None
    absent: tuple[str, ...]
    altered: bool
    attachments: tuple[Attachment, ...]

    @property
    def title(self) -> str:
        work = self.submission.work
        return f"Portfolio of {work.learner.name}: {work.assignment.brief.title}"

    @property
    def qr(self) -> SafeString:
        return qr_svg(
            self.check_address,
            title="QR code that leads to the page for checking this evidence",
            size_mm=QR_MM,
        )

    @property
    def contents(self) -> tuple[Place, ...]:
        return tuple(_contents(self))


@dataclass(frozen=True, slots=True)
class _Asked:
    code: str
    needs: Sequence[EvidenceNeed]


def whole_submission(submission: Submission) -> Submission:
    """The submission with everything a portfolio shows, in a number of queries that never grows."""
    return (
        Submission.objects.select_related(
            "work__learner",
            "work__assessor",
            "work__assignment__teaching_class",
            "work__assignment__assessor",
            "work__assignment__brief__unit",
            "feedback__by",
        )
        .prefetch_related(
            "parts",
            "decisions__criterion",
            "decisions__assessor",
            "decisions__superseded_by",
            "work__assignment__brief__criteria",
        )
        .get(pk=submission.pk)
    )


def gather_portfolio(submission: Submission, *, for_learner: bool) -> Portfolio:
    """Put together what stands in the document.

    A learner's copy holds decisions, feedback and what the program says about the readings only once the
    result is released, and of superseded decisions only those that were seen.
    """
    submission = whole_submission(submission)
    centre = Centre.here()
    feedback: Feedback | None = getattr(submission, "feedback", None)
    released = feedback.released_at if feedback else None
    with_result = not for_learner or released is not None
    evidence = frozen_evidence(submission)
    papers = tuple(
        paper_part(found, number=number, checks=with_result)
        for number, found in enumerate(evidence.papers, start=1)
    )
    batches = tuple(_batches(evidence))
    shown_feedback = feedback if with_result else None
    decisions = _decisions(submission) if with_result else ()
    superseded = tuple(_superseded(submission, released if for_learner else None)) if with_result else ()
    among_class = class_parts(submission)
    last = _last_change(submission, shown_feedback, [*decisions, *superseded], batches)
    created = max([last, *(part.changed_at for part in among_class)])
    check = f"{reverse('verify:check')}?{urlencode({'evidence': submission.manifest_sha256})}"
    return Portfolio(
        submission=submission,
        centre=centre,
        copy_of=_copy_of(for_learner, with_result),
        with_result=with_result,
        created=created,
        check_address=centre.base_address.rstrip("/") + check,
        criteria=tuple(_criteria(submission, evidence, papers, with_result)),
        remarks=remarks(evidence.facts) if with_result else (),
        papers=papers,
        class_parts=among_class,
        batches=batches,
        batches_unknown=tuple(sorted(_codes(evidence) - {batch.code for batch in batches})),
        conclusion=evidence.conclusion,
        evaluation=evidence.evaluation,
        help_given=evidence.help_given,
        notes=evidence.notes if with_result else (),
        observations=evidence.observations,
        statements=evidence.statements if with_result else (),
        files=evidence.attachments,
        decisions=decisions,
        superseded=superseded,
        grade=grade_of(submission).sentence if with_result else "",
        feedback=shown_feedback,
        absent=(*evidence.erased, *evidence.unreadable),
        altered=not integrity(submission).sound,
        attachments=(
            *data_inside(submission, evidence.papers, checks=with_result, at=created),
            *files_inside(evidence.attachments, at=created),
        ),
    )


def portfolio_pdf(portfolio: Portfolio) -> bytes:
    """Print it. Times stand in the centre's zone, whichever process prints."""
    with timezone.override(_zone(portfolio.centre)):
        return render_pdf(
            "documents/portfolio/portfolio.html",
            {"portfolio": portfolio, "submission": portfolio.submission, "centre": portfolio.centre},
            title=portfolio.title,
            created=portfolio.created,
            attachments=portfolio.attachments,
            parts=every_photo(portfolio.papers),
        )


def _zone(centre: Centre) -> ZoneInfo:
    try:
        return ZoneInfo(centre.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def _copy_of(for_learner: bool, with_result: bool) -> str:
    if not for_learner:
        return "Assessor’s and verifier’s copy"
    return "Learner’s copy" if with_result else "Learner’s copy, before the result is released"


def _last_change(
    submission: Submission, feedback: Feedback | None, decisions: Iterable[Decision], batches: Iterable[Batch]
) -> datetime:
    moments = [submission.submitted_at, *(decision.decided_at for decision in decisions)]
    if feedback:
        moments += [feedback.written_at, *filter(None, [feedback.released_at])]
    moments += [batch.recalled_at for batch in batches if batch.recalled_at]
    return max(moments)


def _decisions(submission: Submission) -> tuple[Decision, ...]:
    return tuple(sorted(standing_decisions(submission).values(), key=lambda found: found.criterion.order))


def _superseded(submission: Submission, seen_since: datetime | None) -> Iterator[Decision]:
    """Decisions that no longer stand; for a learner those that were still standing at the release."""
    for decision in submission.decisions.all():
        later: Decision | None = getattr(decision, "superseded_by", None)
        if later is not None and (seen_since is None or later.decided_at > seen_since):
            yield decision


def _codes(evidence: FrozenEvidence) -> set[str]:
    return {found.paper.batch for found in evidence.papers if found.paper.batch}


def _batches(evidence: FrozenEvidence) -> Iterable[Batch]:
    """The batches that the frozen papers name: what was measured into them is never changed."""
    codes = _codes(evidence)
    return Batch.objects.for_batch_page().filter(code__in=codes).order_by("code") if codes else ()


def _criteria(
    submission: Submission, evidence: FrozenEvidence, papers: Sequence[PaperPart], with_result: bool
) -> Iterator[CriterionLine]:
    criteria: list[Criterion] = list(submission.work.assignment.brief.criteria.all())
    found = map_evidence([_Asked(c.code, c.evidence_needs()) for c in criteria], evidence.facts)
    decided = standing_decisions(submission)
    for criterion, there in zip(criteria, found, strict=True):
        decision = decided.get(criterion.pk)
        yield CriterionLine(
            code=criterion.code,
            level=criterion.level,
            text=criterion.text.strip(),
            asks_for=tuple(criterion.asks_for),
            there=_there(there) if with_result else (),
            places=tuple(dict.fromkeys(_places(there, papers, evidence, with_result))),
            outcome=(decision.outcome if decision else "not yet decided") if with_result else "",
        )


def _there(found: CriterionEvidence) -> tuple[str, ...]:
    return tuple(item.sentence for item in found.items) or (found.sentence,)


def _places(
    found: CriterionEvidence, papers: Sequence[PaperPart], evidence: FrozenEvidence, with_notes: bool
) -> Iterator[Place]:
    for item in found.items:
        if item.where == "writing":
            yield Place(item.need.kind.capitalize(), item.need.kind)
        elif item.where == "photos":
            yield from (Place(f"Photo, {p.label}", f"{p.anchor}-photo") for p in papers if p.photos)
        elif item.where == "attached files":
            continue
        elif item.where == "observation records":
            if evidence.observations:
                yield Place("Observation records", "observed")
            elif with_notes:
                yield Place("Notes from the bench", "notes")
        else:
            yield from (Place(paper.label, paper.anchor) for paper in papers)


def _contents(portfolio: Portfolio) -> Iterator[Place]:
    yield Place("Criteria and where their evidence is", "criteria")
    yield Place("The practical, and what the papers ran in", "practical")
    for paper in portfolio.papers:
        yield Place(f"{paper.label}: readings", paper.anchor)
        if paper.drawing:
            yield Place(f"{paper.label}: chromatogram", f"{paper.anchor}-drawing")
        if paper.photos:
            yield Place(f"{paper.label}: photo", f"{paper.anchor}-photo")
    for number, among in enumerate(portfolio.class_parts, start=1):
        yield Place(f"The class’s values: {among.title}", f"class-{number}")
    yield Place("Conclusion", "conclusion")
    yield Place("Evaluation", "evaluation")
    if portfolio.files:
        yield Place("Files made elsewhere", "files")
    yield Place("Help given", "help")
    if portfolio.observations:
        yield Place("Observation records", "observed")
    if portfolio.statements:
        yield Place("Witness statements", "witnessed")
    if portfolio.with_result:
        yield Place("Notes from the bench", "notes")
        yield Place("Decisions, grade and feedback", "decisions")
    yield Place("The learner’s declaration", "declaration")
    yield Place("Raw data inside this file", "data")
