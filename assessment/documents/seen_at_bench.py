"""Observation record and witness statement on paper: one page of who saw what, with who signed when.

Equal records give equal bytes: the document's date is the last moment at which something in it changed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.core.exceptions import PermissionDenied
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from assessment.access import readable_observations, readable_statements
from assessment.actions.gather_observations import observation_part, witness_part
from assessment.actions.keep_document import keep_document
from assessment.calculations.manifest import digest
from assessment.models import Criterion, IssuedDocument, ObservationRecord, WitnessStatement
from practicals.models import Centre, User
from reagents.rendering import Attachment, qr_svg, render_pdf

OBSERVATION_RECORD, WITNESS_STATEMENT = "observation record", "witness statement"
QR_MM = 25.0


@dataclass(frozen=True, slots=True)
class SeenAtBench:
    """One of the two, with its exact text inside the file and the digest of that text on the page."""

    kind: str
    record: ObservationRecord | WitnessStatement
    criteria: tuple[Criterion, ...]
    centre: Centre
    created: datetime
    text: str

    @property
    def title(self) -> str:
        return f"{self.kind.capitalize()}: {self.record.learner.name}"

    @property
    def sha256(self) -> str:
        return digest(self.text.encode())

    @property
    def check_address(self) -> str:
        return self.centre.base_address.rstrip("/") + reverse("verify:check")

    @property
    def qr(self) -> SafeString:
        return qr_svg(self.check_address, title="QR code that leads to the check page", size_mm=QR_MM)


def gather_observation_record(record: ObservationRecord) -> SeenAtBench:
    """A record, signed or still a draft; the page says which."""
    criteria = tuple(record.criteria.all())
    moments = [record.written_at, record.signed_at, record.learner_signed_at, record.withdrawn_at]
    return SeenAtBench(
        kind=OBSERVATION_RECORD,
        record=record,
        criteria=criteria,
        centre=Centre.here(),
        created=_last(moments),
        text=observation_part([record], _codes(criteria)),
    )


def gather_witness_statement(statement: WitnessStatement) -> SeenAtBench:
    """A statement, signed or still waiting; the page says which."""
    criteria = tuple(statement.criteria.all())
    moments = [statement.asked_at, statement.signed_at, statement.accepted_at, statement.withdrawn_at]
    return SeenAtBench(
        kind=WITNESS_STATEMENT,
        record=statement,
        criteria=criteria,
        centre=Centre.here(),
        created=_last(moments),
        text=witness_part([statement], _codes(criteria)),
    )


def seen_pdf(found: SeenAtBench) -> bytes:
    """Print it. Times stand in the centre's zone, whichever process prints."""
    name = found.kind.replace(" ", "_")
    inside = Attachment(
        f"{name}.json", found.text.encode(), found.created, found.created, f"The {found.kind}, exact text"
    )
    with timezone.override(_zone(found.centre)):
        return render_pdf(
            f"documents/{name}/{name}.html",
            {"found": found, "record": found.record, "centre": found.centre},
            title=found.title,
            created=found.created,
            attachments=[inside],
        )


def make_observation_record(
    *, by: User, record: ObservationRecord, now: datetime
) -> tuple[IssuedDocument, bytes]:
    """For its assessor and its learner. Raises `PdfUnavailable` where the machine lacks what PDFs need."""
    if not readable_observations(by).filter(pk=record.pk).exists():
        raise PermissionDenied
    return _kept(by, gather_observation_record(record), now)


def make_witness_statement(
    *, by: User, statement: WitnessStatement, now: datetime
) -> tuple[IssuedDocument, bytes]:
    """For the witness and for who asked. Raises `PdfUnavailable` where the machine lacks what PDFs need."""
    if not readable_statements(by).filter(pk=statement.pk).exists():
        raise PermissionDenied
    return _kept(by, gather_witness_statement(statement), now)


def _kept(by: User, found: SeenAtBench, now: datetime) -> tuple[IssuedDocument, bytes]:
    content = seen_pdf(found)
    issued = keep_document(
        by=by,
        kind=found.kind,
        title=found.title,
        pdf=content,
        evidence_sha256=found.sha256,
        made_for=found.record.learner,
        now=now,
    )
    return issued, content


def _codes(criteria: Sequence[Criterion]) -> dict[int, str]:
    return {one.pk: one.code for one in criteria}


def _last(moments: Sequence[datetime | None]) -> datetime:
    return max(moment for moment in moments if moment)


def _zone(centre: Centre) -> ZoneInfo:
    try:
        return ZoneInfo(centre.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")
