"""A learner's work on an assignment, and what a submission froze."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from assessment.models.brief import Assignment
from practicals.models import StoredFile, User
from reagents.models import Kept, KeptQuerySet, Versioned


class WorkQuerySet(KeptQuerySet):
    def for_marking(self) -> "WorkQuerySet":
        """Everything a list of a class's work shows, in a fixed number of queries."""
        return self.select_related("learner", "assessor", "assignment__brief__unit").prefetch_related(
            "submissions__decisions__criterion", "submissions__feedback", "assignment__brief__criteria"
        )

    def in_class_order(self, assignment: Assignment) -> "WorkQuerySet":
        return self.filter(assignment=assignment).select_related("learner")

    def for_page(self) -> "WorkQuerySet":
        """One learner's work with all its attempts, frozen parts and decisions."""
        return (
            self.for_marking()
            .select_related("assignment__teaching_class", "assignment__policy")
            .prefetch_related(
                "extensions",
                "attachments__file",
                "submissions__grant",
                "submissions__assessor_declaration",
                "submissions__parts",
                "submissions__decisions__assessor",
                "submissions__decisions__supersedes",
                "submissions__feedback__by",
            )
        )


class Work(Kept, Versioned):
    """Open for writing until it is submitted."""

    assignment = models.ForeignKey(Assignment, on_delete=models.PROTECT, related_name="works")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="works")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="works_assessed")
    due_at = models.DateTimeField(
        null=True, blank=True, help_text="the deadline given; moves only later. Empty: the assignment's"
    )
    conclusion = models.TextField(blank=True)
    evaluation = models.TextField(blank=True)
    saved_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = WorkQuerySet.as_manager()

    class Meta:
        ordering = ["learner__sort_name", "learner_id"]
        constraints = [
            models.UniqueConstraint(fields=["assignment", "learner"], name="work_once_per_learner")
        ]

    def __str__(self) -> str:
        return f"{self.learner}: {self.assignment}"


class Submission(Kept):
    """One attempt, frozen: the manifest names each part by its SHA-256."""

    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="submissions")

    class Kind(models.TextChoices):
        FIRST = "first", "first submission"
        RESUBMISSION = "resubmission", "resubmission"
        RETAKE = "retake", "retake"

    attempt = models.PositiveSmallIntegerField(default=1)
    kind = models.CharField(max_length=12, choices=Kind, default=Kind.FIRST)
    due_at = models.DateTimeField(null=True, blank=True, help_text="the deadline it was measured against")
    submitted_at = models.DateTimeField()
    late = models.BooleanField(default=False)
    declaration = models.TextField(help_text="the words that the learner declared")
    manifest = models.TextField()
    manifest_sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["attempt"]
        constraints = [
            models.UniqueConstraint(fields=["work", "attempt"], name="submitted_once_per_attempt"),
            models.CheckConstraint(condition=~Q(declaration=""), name="submission_is_declared"),
        ]

    def __str__(self) -> str:
        return f"attempt {self.attempt} of {self.work}"


class EvidencePart(Kept):
    """The exact text of one part. An erased part leaves its digest in the manifest."""

    submission = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="parts")
    name = models.CharField(max_length=80)
    media_type = models.CharField(max_length=60)
    text = models.TextField(blank=True)
    sha256 = models.CharField(max_length=64)
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["submission", "name"], name="evidence_part_once"),
            models.CheckConstraint(
                condition=Q(erased_at=None) | Q(text=""), name="evidence_erased_means_empty"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class IssuedDocument(Kept):
    """A file that went out, with its digest, so that anyone can ask whether it is ours and unaltered."""

    kind = models.CharField(max_length=40)
    submission = models.ForeignKey(
        Submission, on_delete=models.PROTECT, null=True, blank=True, related_name="documents"
    )
    assignment = models.ForeignKey(
        Assignment, on_delete=models.PROTECT, null=True, blank=True, related_name="documents"
    )
    title = models.CharField(max_length=200)
    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="+")
    evidence_sha256 = models.CharField(max_length=64, blank=True)
    made_at = models.DateTimeField()
    made_for = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["-made_at", "-id"]

    def __str__(self) -> str:
        return self.title


class DocumentJob(Kept):
    """A class set that the worker makes, portfolio by portfolio."""

    assignment = models.ForeignKey(Assignment, on_delete=models.PROTECT, related_name="document_jobs")
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    wanted = models.PositiveIntegerField()
    done = models.PositiveIntegerField(default=0)
    finished_at = models.DateTimeField(null=True, blank=True)
    failed = models.TextField(blank=True)
    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["-asked_at"]

    def __str__(self) -> str:
        return f"class set of {self.assignment}"
