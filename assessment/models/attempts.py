"""What moves a deadline, what opens a second attempt, and what is attached from elsewhere."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from assessment.models.evidence import Submission, Work
from practicals.models import StoredFile, User
from reagents.models import Kept, KeptQuerySet


class Extension(Kept):
    """Moves the first deadline of one learner, and only later; the attempt stays the first one."""

    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="extensions")
    due_before = models.DateTimeField()
    due_at = models.DateTimeField()
    reason = models.CharField(max_length=300)
    given_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    given_at = models.DateTimeField()

    class Meta:
        ordering = ["given_at"]
        constraints = [
            models.CheckConstraint(condition=Q(due_at__gt=F("due_before")), name="extension_moves_later"),
            models.CheckConstraint(condition=~Q(reason=""), name="extension_has_a_reason"),
        ]

    def __str__(self) -> str:
        return f"extension for {self.work}"


class ResubmissionGrant(Kept):
    """One more attempt, authorised by the lead verifier once all five conditions are ticked."""

    submission = models.OneToOneField(Submission, on_delete=models.PROTECT, related_name="grant")
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    asked_because = models.TextField()
    on_time_or_extended = models.BooleanField(default=False)
    authenticated = models.BooleanField(default=False)
    can_improve_unaided = models.BooleanField(default=False)
    fair_to_others = models.BooleanField(default=False)
    same_brief = models.BooleanField(default=False)
    authorised_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    authorised_at = models.DateTimeField(null=True, blank=True)
    refused_at = models.DateTimeField(null=True, blank=True)
    refused_reason = models.CharField(max_length=300, blank=True)
    received_on = models.DateField(null=True, blank=True, help_text="the day the learner got the decision")
    working_days = models.PositiveSmallIntegerField(null=True, blank=True)
    due_at = models.DateTimeField(null=True, blank=True)
    counted_with = models.CharField(max_length=300, blank=True, help_text="which list of holidays")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(authorised_at=None, authorised_by=None, due_at=None)
                | Q(
                    authorised_at__isnull=False,
                    authorised_by__isnull=False,
                    due_at__isnull=False,
                    received_on__isnull=False,
                    working_days__isnull=False,
                    on_time_or_extended=True,
                    authenticated=True,
                    can_improve_unaided=True,
                    fair_to_others=True,
                    same_brief=True,
                ),
                name="resubmission_needs_all_five",
            ),
            models.CheckConstraint(
                condition=Q(authorised_by=None) | ~Q(authorised_by=F("asked_by")),
                name="resubmission_authorised_by_another",
            ),
            models.CheckConstraint(
                condition=Q(refused_at=None) | (~Q(refused_reason="") & Q(authorised_at=None)),
                name="resubmission_refused_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"resubmission after {self.submission}"


class AssessorDeclaration(Kept):
    """Once per submission: the assessor holds it to be the learner's own and of now."""

    submission = models.OneToOneField(
        Submission, on_delete=models.PROTECT, related_name="assessor_declaration"
    )
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    authentic = models.BooleanField()
    current = models.BooleanField()
    words = models.TextField(help_text="what was declared")
    declared_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(authentic=True) & Q(current=True), name="assessor_declares_authentic_and_current"
            )
        ]

    def __str__(self) -> str:
        return f"declaration on {self.submission}"


class AttachmentQuerySet(KeptQuerySet):
    def standing(self) -> "AttachmentQuerySet":
        return self.filter(withdrawn_at=None).select_related("file")


class Attachment(Kept):
    """A report or notebook page made elsewhere and added to the work before it is submitted."""

    class Kind(models.TextChoices):
        REPORT = "report", "report"
        NOTEBOOK = "notebook page", "notebook page"
        RESULT_SHEET = "result sheet", "result sheet written by hand"
        OTHER = "other", "something else"

    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="attachments")
    kind = models.CharField(max_length=14, choices=Kind)
    title = models.CharField(max_length=120)
    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="+")
    added_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = AttachmentQuerySet.as_manager()

    class Meta:
        ordering = ["added_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["work", "file"], condition=Q(withdrawn_at=None), name="attached_once"
            ),
            models.CheckConstraint(condition=~Q(title=""), name="attachment_has_a_title"),
        ]

    def __str__(self) -> str:
        return self.title
