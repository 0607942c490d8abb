"""Slips of paper with which learners sign in at the bench: one strip each, to be cut and handed out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.safestring import SafeString

from practicals.calculations.bench_code import LENGTH, grouped
from practicals.models import Centre, Session, User
from reagents.rendering import qr_svg, render_pdf

QR_MM = 24.0


@dataclass(frozen=True, slots=True)
class Slip:
    name: str
    class_word: str
    code: str
    sign_in_name: str
    link: str

    @property
    def code_halves(self) -> tuple[str, str]:
        return self.code[: LENGTH // 2], self.code[LENGTH // 2 :]

    @property
    def qr(self) -> SafeString:
        title = f"QR code that opens the sign-in page with class word and code of {self.name}"
        return qr_svg(self.link, title=title, size_mm=QR_MM)


@dataclass(frozen=True, slots=True)
class SlipSheet:
    session_title: str
    class_name: str
    address: str
    slips: tuple[Slip, ...]


def gather_slips(session: Session, codes: Sequence[tuple[User, str]], *, base_address: str) -> SlipSheet:
    """Put together what stands on the slips, in the order of `codes`."""
    page = base_address.rstrip("/") + reverse("people:bench_sign_in")
    word = session.teaching_class.class_word
    return SlipSheet(
        session_title=session.title,
        class_name=session.teaching_class.name,
        address=page,
        slips=tuple(
            Slip(
                name=learner.name,
                class_word=word,
                code=code,
                sign_in_name=learner.username,
                link=f"{page}?{urlencode({'word': word, 'code': grouped(code)})}",
            )
            for learner, code in codes
        ),
    )


def slips_pdf(session: Session, codes: Sequence[tuple[User, str]], *, now: datetime | None = None) -> bytes:
    """A4 pages of strips for the learners that `issue_bench_codes` gave."""
    centre = Centre.here()
    sheet = gather_slips(session, codes, base_address=centre.base_address)
    return render_pdf(
        "documents/sign_in_slips/sign_in_slips.html",
        {"sheet": sheet, "centre": centre},
        title=f"Sign-in slips: {session.title}",
        created=now or timezone.now(),
    )
