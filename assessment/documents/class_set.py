"""The portfolios of a class in one ZIP file, made by the worker, one portfolio after the other."""

import unicodedata
import zipfile
from collections.abc import Iterable, Iterator
from datetime import datetime
from io import BytesIO
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.utils import timezone
from django.utils.text import slugify

from assessment.actions.ask_class_set import submissions_of_set
from assessment.actions.keep_class_set import count_made, give_up_class_set, keep_class_set
from assessment.actions.keep_portfolio import PORTFOLIO
from assessment.documents.make_portfolio import make_portfolio
from assessment.models import DocumentJob, IssuedDocument, Submission
from reagents.rendering import PdfUnavailable

LONGEST_NAME = 60
#: Letters and figures that look alike in many faces count as the same when names are compared.
LOOK_ALIKES = str.maketrans("01iI|", "olllL")


def build_class_set(job_uuid: str) -> None:
    """Called by the worker, and again after it was killed: what is counted as made is not made again."""
    job = DocumentJob.objects.select_related("asked_by", "assignment__brief__unit").get(uuid=job_uuid)
    if job.finished_at:
        return
    submissions = list(submissions_of_set(job.asked_by, job.assignment).select_related("work__learner"))
    submissions = [found for found in submissions if found.submitted_at <= job.asked_at]
    try:
        files = dict(_portfolios(job, submissions))
    except PdfUnavailable as error:
        give_up_class_set(job=job, why=str(error), now=timezone.now())
        return
    except PermissionDenied:
        why = "The person who asked may no longer read one of the portfolios. Ask again."
        give_up_class_set(job=job, why=why, now=timezone.now())
        return
    unit = job.assignment.brief.unit.title
    names = file_names([(found.work.learner.sort_name, unit) for found in submissions])
    content = _zipped(zip(names, (files[found.pk] for found in submissions), strict=True), job.asked_at)
    keep_class_set(job=job, content=content, now=timezone.now())


def file_names(people_and_units: Iterable[tuple[str, str]]) -> list[str]:
    """One name each, safe on every system; names that could be taken for each other get a number."""
    names: list[str] = []
    seen: dict[str, int] = {}
    for person, unit in people_and_units:
        name = f"{_safe(person) or 'learner'}-{slugify(unit)[:40] or 'unit'}"
        looks = _looks(name)
        seen[looks] = seen.get(looks, 0) + 1
        while seen[looks] > 1 and _looks(f"{name}-{seen[looks]}") in seen:
            seen[looks] += 1
        if seen[looks] > 1:
            name = f"{name}-{seen[looks]}"
            seen.setdefault(_looks(name), 1)
        names.append(f"{name}.pdf")
    return names


def _portfolios(job: DocumentJob, submissions: Iterable[Submission]) -> Iterator[tuple[int, bytes]]:
    for place, submission in enumerate(submissions, start=1):
        content = _made_before(submission) if place <= job.done else None
        if content is None:
            _, content = make_portfolio(by=job.asked_by, submission=submission, now=timezone.now())
        if place > job.done:
            count_made(job=job, done=place)
        yield submission.pk, content


def _made_before(submission: Submission) -> bytes | None:
    issued = (
        IssuedDocument.objects.filter(submission=submission, kind=PORTFOLIO).select_related("file").first()
    )
    if issued is None or not default_storage.exists(issued.file.place):
        return None
    with default_storage.open(issued.file.place) as file:
        content: bytes = file.read()
    return content


def _zipped(files: Iterable[tuple[str, bytes]], at: datetime) -> bytes:
    made = BytesIO()
    stamp = at.astimezone(ZoneInfo("UTC")).timetuple()[:6]
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as archive:  # a PDF is compressed already
        for name, content in files:
            archive.writestr(zipfile.ZipInfo(name, stamp), content)
    return made.getvalue()


def _safe(text: str) -> str:
    """Letters and figures of any language, single hyphens between them, no marks that hide."""
    kept = [letter if letter.isalnum() else "-" for letter in unicodedata.normalize("NFKC", text)]
    return "-".join(filter(None, "".join(kept).split("-")))[:LONGEST_NAME]


def _looks(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name)
    return "".join(c for c in plain if not unicodedata.combining(c)).casefold().translate(LOOK_ALIKES)
