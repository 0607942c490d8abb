"""Say whether a file, or a hash of evidence, is one of ours. Names nobody and keeps nothing."""

import hashlib
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import Any, Literal

import pikepdf

from assessment.calculations.manifest import ManifestError, check
from assessment.models import IssuedDocument, Submission

Verdict = Literal["unaltered", "evidence matches", "evidence differs", "unknown"]

LARGEST_BYTES = 20 * 1024 * 1024
#: What is unpacked from a stranger's file, and no more: a packed megabyte can hold a gigabyte.
LARGEST_PART_BYTES = 5 * 1024 * 1024
MOST_PARTS = 300
MANIFEST = "manifest.json"
#: What a damaged or hostile PDF raises on its way through the parser.
BROKEN_PDF = (
    pikepdf.PdfError,
    zlib.error,
    ArithmeticError,
    AttributeError,
    LookupError,
    NotImplementedError,
    RuntimeError,
    TypeError,
    ValueError,
)


@dataclass(frozen=True, slots=True)
class DocumentCheck:
    """What was found, as a verdict and sentences."""

    verdict: Verdict
    headline: str
    sentences: tuple[str, ...] = ()
    issued_at: datetime | None = None


def check_document(*, content: bytes) -> DocumentCheck:
    """Hold a file against what was issued: its own bytes first, then the evidence inside it."""
    if not content:
        return _unknown("The file is empty.")
    if len(content) > LARGEST_BYTES:
        return _unknown(
            f"The file is larger than {LARGEST_BYTES // 1024**2} MB. Take the portfolios out of a class set "
            "and check them one by one."
        )
    issued = (
        IssuedDocument.objects.filter(file__sha256=hashlib.sha256(content).hexdigest())
        .order_by("-made_at")
        .first()
    )
    if issued:
        return _unaltered(issued)
    if b"%PDF-" not in content[:1024]:
        return _unknown("The file is no PDF, and no file of these bytes was issued here.")
    try:
        inside = dict(_attachments(content))
    except BROKEN_PDF:
        return _unknown("The file cannot be read as a PDF: it is damaged, locked or not what its name says.")
    return _evidence(inside)


def check_evidence_hash(*, sha256: str) -> DocumentCheck:
    """Say whether a submission with this hash of its evidence is known, and nothing about whose it is."""
    given = "".join(sha256.split()).lower()
    if not re.fullmatch(r"[0-9a-f]{64}", given):
        return _unknown("That is no evidence hash: it has 64 characters, 0 to 9 and a to f.")
    if Submission.objects.filter(manifest_sha256=given).exists():
        return DocumentCheck(
            "evidence matches",
            "We know a submission with this evidence hash.",
            ("Whether a file that shows it is unaltered, only the file itself can tell: check it below.",),
        )
    return _unknown("We know no submission with this evidence hash. Compare it with the printed one.")


def _unaltered(issued: IssuedDocument) -> DocumentCheck:
    said = ["Every byte is as it was when it was issued."]
    later = IssuedDocument.objects.filter(submission=issued.submission_id, kind=issued.kind)
    if issued.submission_id and later.filter(made_at__gt=issued.made_at).exists():
        said.append("A later version has been issued since: decisions or feedback have changed.")
    return DocumentCheck("unaltered", "Issued by us, unaltered.", tuple(said), issued.made_at)


def _evidence(inside: Mapping[str, bytes]) -> DocumentCheck:
    manifest = inside.get(MANIFEST, b"")
    sha256 = hashlib.sha256(manifest).hexdigest()
    if not manifest or not Submission.objects.filter(manifest_sha256=sha256).exists():
        return _unknown(
            "It holds no evidence that was frozen here, and no file of these bytes was issued here."
        )
    parts: dict[str, bytes | None] = {
        name.removesuffix(".json"): data
        for name, data in inside.items()
        if name.endswith(".json") and name != MANIFEST
    }
    try:
        found = check(manifest.decode(), parts)
    except (ManifestError, UnicodeDecodeError):
        return _unknown("The manifest inside cannot be read.")
    wrong = [part.part for part in found if part.state in ("differs", "not in the manifest")]
    if wrong:
        return DocumentCheck(
            "evidence differs",
            "The evidence inside is not what was frozen.",
            (f"Changed or added: {', '.join(wrong)[:300]}.", "Do not rely on this file."),
        )
    matching = sum(part.state == "matches" for part in found)
    return DocumentCheck(
        "evidence matches",
        "The data inside matches, but the file has been changed.",
        (
            f"{matching} of {len(found)} parts of the evidence are inside, each as it was frozen.",
            "The pages are not those that were issued: rely on the data inside, not on what is printed.",
        ),
    )


def _unknown(why: str) -> DocumentCheck:
    return DocumentCheck("unknown", "We do not know this.", (why,))


def _attachments(content: bytes) -> Iterator[tuple[str, bytes]]:
    with pikepdf.open(BytesIO(content)) as pdf:
        for count, (name, spec) in enumerate(pdf.attachments.items(), start=1):
            if count > MOST_PARTS:
                raise ValueError("too many attachments")
            yield str(name), _unpacked(spec.obj.EF.F)


def _unpacked(stream: Any) -> bytes:
    packed = bytes(stream.read_raw_bytes())
    if "/Filter" not in stream:
        return packed[: LARGEST_PART_BYTES + 1]
    if stream.Filter != "/FlateDecode":
        raise ValueError("packed in a way that our files are not")
    unpacked = zlib.decompressobj().decompress(packed, LARGEST_PART_BYTES + 1)
    if len(unpacked) > LARGEST_PART_BYTES:
        raise ValueError("a part is larger than any of ours")
    return unpacked
