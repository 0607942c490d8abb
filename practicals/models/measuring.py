"""What stands around the readings: help released, the front on its way, questions about equal figures."""

from django.db import models
from django.db.models import F, Q

from practicals.models.paper import Paper
from practicals.models.people import User
from practicals.models.session import Session
from reagents.models import Kept


class HelpReleased(Kept):
    """More help than the session's setting, for one learner."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="help_released")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="help_released")
    setting = models.CharField(max_length=12, choices=Session.Help)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        verbose_name_plural = "help released"

    def __str__(self) -> str:
        return f"{self.setting} for {self.learner}"


class FrontMark(Kept):
    """A height of the solvent front, read through the closed chamber: above the *liquid's surface*.

    Heights from the origin line break the law that the prediction rests on.
    """

    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="front_marks")
    height_mm = models.DecimalField(max_digits=6, decimal_places=2)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["paper", "at"], condition=Q(withdrawn_at=None), name="front_marked_once_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(height_mm__gte=0) & Q(height_mm__lte=2000), name="front_mark_within_reach"
            ),
        ]

    def __str__(self) -> str:
        return f"front of {self.paper} at {self.height_mm} mm"


class Development(models.Model):
    """When a paper went into its chamber, how deep it stood in the liquid, and when it came out."""

    paper = models.OneToOneField(Paper, on_delete=models.PROTECT, related_name="development")
    started_at = models.DateTimeField()
    immersed_mm = models.DecimalField(max_digits=5, decimal_places=1)
    taken_out_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(taken_out_at=None) | Q(taken_out_at__gte=F("started_at")),
                name="taken_out_after_put_in",
            ),
            models.CheckConstraint(
                condition=Q(immersed_mm__gte=0) & Q(immersed_mm__lte=100), name="immersed_within_reach"
            ),
        ]

    def __str__(self) -> str:
        return f"development of {self.paper}"


class SameFiguresAnswer(Kept):
    """What the teacher found out about two sets that agree beyond chance. The verifier reads it too."""

    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="same_figures_answers")
    first = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    text = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(first__lt=F("second")), name="same_figures_pair_in_order"),
            models.CheckConstraint(condition=~Q(text=""), name="same_figures_answer_says_something"),
        ]

    def __str__(self) -> str:
        return self.text


class ReferenceValue(Kept):
    """A retardation factor with its source, for exactly one system. A hint, never a key."""

    analyte = models.CharField(max_length=80)
    support = models.CharField(max_length=40)
    mobile_phase = models.CharField(max_length=160, help_text="substances, in order, joined by /")
    ratio = models.CharField(max_length=60)
    phase = models.CharField(max_length=40, default="single")
    rf_low = models.DecimalField(max_digits=5, decimal_places=4)
    rf_high = models.DecimalField(max_digits=5, decimal_places=4)
    source = models.CharField(max_length=300)
    confirmed = models.BooleanField(default=False)
    added_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["analyte", "support", "mobile_phase", "ratio", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(rf_low__gte=0) & Q(rf_high__lte=1) & Q(rf_low__lte=F("rf_high")),
                name="reference_value_from_0_to_1",
            ),
            models.CheckConstraint(condition=~Q(source=""), name="reference_value_has_a_source"),
        ]

    def __str__(self) -> str:
        return f"{self.analyte} {self.rf_low}"
