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
            models.CheckConstraint(
                condition=Q(supersedes=None) | ~Q(reason=""), name="superseding_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.outcome}"


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
