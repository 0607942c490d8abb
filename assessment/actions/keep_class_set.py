"""Keep the finished class set, count what is made on the way, or say why it could not be made."""

from datetime import datetime

from django.db import transaction

from assessment.models import DocumentJob, IssuedDocument
from practicals import audit
from practicals.actions.keep_file import keep_file

CLASS_SET = "class set"


def keep_class_set(*, job: DocumentJob, content: bytes, now: datetime) -> DocumentJob:
    """Finish the job with its file. Finishing twice changes nothing."""
    file = keep_file(content=content, media_type="application/zip", now=now)
    with transaction.atomic():
        job = DocumentJob.objects.select_for_update().get(pk=job.pk)
        if job.finished_at:
            return job
        job.file, job.finished_at = file, now
        job.save(update_fields=["file", "finished_at"])
        issued = IssuedDocument.objects.create(
            kind=CLASS_SET,
            assignment=job.assignment,
            title=f"Class set of {job.assignment}"[:200],
            file=file,
            made_at=now,
            made_for=job.asked_by,
        )
        audit.record(
            by=job.asked_by,
            action="keep_class_set",
            subject=issued,
            sentence=f"Class set of {job.done} portfolios made.",
            detail={"sha256": file.sha256},
        )
    return job


def count_made(*, job: DocumentJob, done: int) -> None:
    """So far so many: where a killed job goes on, and what the page shows meanwhile."""
    with transaction.atomic():
        DocumentJob.objects.select_for_update().get(pk=job.pk)
        job.done = done
        job.save(update_fields=["done"])


def give_up_class_set(*, job: DocumentJob, why: str, now: datetime) -> DocumentJob:
    with transaction.atomic():
        job = DocumentJob.objects.select_for_update().get(pk=job.pk)
        if job.finished_at:
            return job
        job.failed, job.finished_at = why, now
        job.save(update_fields=["failed", "finished_at"])
        audit.record(
            by=job.asked_by, action="give_up_class_set", subject=job, sentence="Class set could not be made."
        )
    return job
