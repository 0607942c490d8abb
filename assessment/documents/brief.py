"""A brief on paper: as learners get it with the dates of their assignment, or as a verifier checks it.

Equal texts, dates and rounds give equal bytes: the document's date is the last moment at which its text,
its rounds or its sign-off changed, never the moment of printing.
"""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from assessment.actions.keep_document import keep_document
from assessment.calculations.brief_points import POINTS, BriefPoint
from assessment.calculations.manifest import canonical_text, digest
from assessment.models import Assignment, Brief, BriefReview, Criterion, IssuedDocument
from assessment.models.editions import changed_parts, rounds_of, uses_of
from practicals.models import Centre, User
from reagents.rendering import Attachment, qr_svg, render_pdf

KIND, CHECKING_KIND = "brief", "brief for checking"
QR_MM = 25.0


@dataclass(frozen=True, slots=True)
class BriefDocument:
    """All that stands in the document. Without an assignment it is the verifier's copy."""

    brief: Brief
    centre: Centre
    criteria: tuple[Criterion, ...]
    assignment: Assignment | None
    hand_out_on: date | None
    uses: tuple[Assignment, ...]
    rounds: tuple[BriefReview, ...]
    changed: tuple[str, ...]
    points: tuple[BriefPoint, ...]
    created: datetime
    text: str

    @property
    def kind(self) -> str:
        return KIND if self.assignment else CHECKING_KIND

    @property
    def title(self) -> str:
        edition = f"{self.brief.title}, edition {self.brief.edition}"
        if self.assignment:
            return f"Brief: {edition}"
        return f"Brief to be checked: {edition}" if self.brief.signed_off_at is None else f"Brief: {edition}"

    @property
    def sha256(self) -> str:
        return digest(self.text.encode())

    @property
    def check_address(self) -> str:
        return self.centre.base_address.rstrip("/") + reverse("verify:check")

    @property
    def qr(self) -> SafeString:
        words = "QR code that leads to the page for checking this document"
        return qr_svg(self.check_address, title=words, size_mm=QR_MM)


def gather_brief(brief: Brief, *, assignment: Assignment | None = None) -> BriefDocument:
    """Put together what stands in the document; `assignment` makes it the learners' copy."""
    rounds = () if assignment else tuple(rounds_of(brief))
    criteria = tuple(brief.criteria.all())
    return BriefDocument(
        brief=brief,
        centre=Centre.here(),
        criteria=criteria,
        assignment=assignment,
        hand_out_on=_hand_out_on(assignment),
        uses=() if assignment else tuple(uses_of(brief)),
        rounds=rounds,
        changed=() if assignment else changed_parts(brief),
        points=() if assignment or brief.signed_off_at else POINTS,
        created=_last_change(brief, assignment, rounds),
        text=_as_text(brief, criteria, assignment),
    )


def brief_pdf(document: BriefDocument) -> bytes:
    """Print it, with the brief as data inside. Times stand in the centre's zone."""
    data = Attachment(
        name="brief.json",
        data=document.text.encode(),
        created=document.created,
        modified=document.created,
        description="The brief as data",
        relationship="Source",
    )
    with timezone.override(_zone(document.centre)):
        return render_pdf(
            "documents/brief/brief.html",
            {"document": document, "brief": document.brief, "centre": document.centre},
            title=document.title,
            created=document.created,
            attachments=[data],
        )


def make_brief(
    *, by: User, brief: Brief, now: datetime, assignment: Assignment | None = None
) -> tuple[IssuedDocument, bytes]:
    """Make it for somebody who was found to be allowed to read it, and keep what goes out.

    Raises `PdfUnavailable` where the machine lacks what PDFs need.
    """
    document = gather_brief(brief, assignment=assignment)
    content = brief_pdf(document)
    issued = keep_document(
        by=by,
        kind=document.kind,
        title=document.title,
        pdf=content,
        assignment=assignment,
        evidence_sha256=document.sha256,
        now=now,
    )
    return issued, content


def _hand_out_on(assignment: Assignment | None) -> date | None:
    """When it was handed out; until then when it is planned to be."""
    if assignment is None:
        return None
    if assignment.issued_at:
        return timezone.localdate(assignment.issued_at)
    return assignment.hand_out_on


def _last_change(brief: Brief, assignment: Assignment | None, rounds: tuple[BriefReview, ...]) -> datetime:
    moments = [brief.written_at, *(one.reviewed_at for one in rounds)]
    moments += [brief.signed_off_at] if brief.signed_off_at else []
    moments += [assignment.issued_at] if assignment and assignment.issued_at else []
    return max(moments)


def _as_text(brief: Brief, criteria: tuple[Criterion, ...], assignment: Assignment | None) -> str:
    asked = [{"code": c.code, "level": c.level, "needs": c.needs, "text": c.text} for c in criteria]
    data: dict[str, object] = {
        "brief": {"title": brief.title, "edition": brief.edition},
        "unit": {"title": brief.unit.title, "edition": brief.unit.edition},
        "scenario": brief.scenario,
        "tasks": brief.tasks,
        "conditions": brief.conditions,
        "criteria": asked,
        "signed_off": brief.signed_off_at.isoformat() if brief.signed_off_at else "",
    }
    if assignment:
        day = _hand_out_on(assignment)
        data["handed_out"] = day.isoformat() if day else ""
        data["due"] = assignment.due_at.isoformat()
    return canonical_text(data)


def _zone(centre: Centre) -> ZoneInfo:
    try:
        return ZoneInfo(centre.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")
