"""What an assessor decided, criterion by criterion. Superseded with a reason, never edited."""

from django.db import models
from django.db.models import Q

from assessment.models.evidence import Submission
from assessment.models.unit import Criterion
from practicals.models import User
from reagents.models import Kept, Versioned


class Decision(Kept):
    class Outcome(models.TextChoices):
        MET = "met", "met"
        NOT_YET = "not yet met", "not yet met"

    submission = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="decisions")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="decisions")
    outcome = models.CharField(max_length=12, choices=Outcome)
    comment = models.TextField()
    valid = models.BooleanField(null=True, help_text="the evidence bears on this criterion; empty: not asked")
    sufficient = models.BooleanField(null=True, help_text="it covers all of the criterion; empty: not asked")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="decisions")
    decided_at = models.DateTimeField()
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )
    reason = models.CharField(max_length=300, blank=True, help_text="why an earlier decision was superseded")
    is_current = models.BooleanField(default=True)

    class Meta:
        ordering = ["criterion__order", "decided_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["submission", "criterion"],
                condition=Q(is_current=True),
                name="one_current_decision_per_criterion",
            ),
            models.CheckConstraint(condition=~Q(comment=""), name="decision_has_a_comment"),
            # Both empty: decided before assessors were asked.
            models.CheckConstraint(
                condition=~Q(outcome="met")
                | Q(valid=True, sufficient=True)
                | Q(valid__isnull=True, sufficient__isnull=True),
                name="met_means_valid_and_sufficient",
            ),
            models.CheckConstraint(
                condition=Q(supersedes=None) | ~Q(reason=""), name="superseding_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.outcome}"


class DecisionDraft(Kept, Versioned):
    """What an assessor has written down but not decided; nobody else sees it."""

    submission = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="drafts")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=12, choices=Decision.Outcome, blank=True)
    comment = models.TextField(blank=True)
    valid = models.BooleanField(null=True)
    sufficient = models.BooleanField(null=True)
    saved_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["submission", "criterion", "assessor"], name="one_draft_per_assessor_and_criterion"
            )
        ]

    def __str__(self) -> str:
        return f"draft on {self.criterion}"


class Feedback(Kept, Versioned):
    """What the learner reads once it is released: with it the decisions of that attempt are released."""

    submission = models.OneToOneField(Submission, on_delete=models.PROTECT, related_name="feedback")
    text = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    released_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "feedback"

    def __str__(self) -> str:
        return f"feedback on {self.submission}"
