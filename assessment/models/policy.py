"""What a centre has settled about attempts and verification, edition by edition; and its calendar."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from practicals.models import Centre, User
from reagents.models import Kept, KeptQuerySet


class PolicyQuerySet(KeptQuerySet):
    def current(self) -> "Policy | None":
        newest: Policy | None = self.order_by("-edition").first()
        return newest


class Policy(Kept):
    """Settings with defaults. An edition never changes: an assignment keeps the one it was issued under."""

    class Counts(models.TextChoices):
        BEST = "best", "the better result of the attempts"
        LAST = "last", "the result of the last attempt"

    class SampleBy(models.TextChoices):
        NUMBER = "number", "a number of portfolios"
        SHARE = "share", "a share of the portfolios"
        SQUARE_ROOT = "square root", "the square root of their number"
        DETECTION = "detection", "a wanted chance of meeting a wrong decision"

    edition = models.PositiveIntegerField(unique=True)
    resubmissions_allowed = models.PositiveSmallIntegerField(default=1)
    resubmission_working_days = models.PositiveSmallIntegerField(default=15)
    term_time_only = models.BooleanField(default=True)
    late_loses_resubmission = models.BooleanField(default=True)
    resubmission_cap = models.CharField(max_length=20, blank=True, help_text="a level; empty: no cap")
    which_counts = models.CharField(max_length=5, choices=Counts, default=Counts.BEST)
    retake_allowed = models.BooleanField(default=False)
    retake_cap = models.CharField(max_length=20, blank=True, default="pass")
    hold_until_verified = models.BooleanField(default=False)
    sample_by = models.CharField(max_length=12, choices=SampleBy, default=SampleBy.SQUARE_ROOT)
    sample_figure = models.PositiveSmallIntegerField(default=0, help_text="number, % or % chance, as chosen")
    sample_at_least = models.PositiveSmallIntegerField(default=3)
    saved_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    saved_at = models.DateTimeField()
    reason = models.CharField(max_length=300, blank=True)

    objects: ClassVar[Any] = PolicyQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "policies"
        ordering = ["-edition"]
        constraints = [
            models.CheckConstraint(
                condition=Q(resubmission_working_days__gte=1) & Q(resubmission_working_days__lte=200),
                name="policy_working_days_sensible",
            ),
            models.CheckConstraint(
                condition=Q(resubmissions_allowed__lte=5), name="policy_resubmissions_sensible"
            ),
        ]

    def __str__(self) -> str:
        return f"policy, edition {self.edition}"


class CalendarDayQuerySet(KeptQuerySet):
    def standing(self) -> "CalendarDayQuerySet":
        return self.filter(withdrawn_at=None)


class CalendarDay(Kept):
    """A day on which the centre's calendar differs from weekends and the shipped bank holidays."""

    class Kind(models.TextChoices):
        BANK_HOLIDAY = "bank holiday", "bank holiday"
        CLOSED = "closed", "closed"
        VACATION = "vacation", "vacation"
        OPEN = "open", "open although it would be closed"

    day = models.DateField()
    region = models.CharField(max_length=8, choices=Centre.Region, blank=True, help_text="of a bank holiday")
    kind = models.CharField(max_length=14, choices=Kind)
    name = models.CharField(max_length=120)
    source = models.CharField(
        max_length=200, blank=True, help_text="where an added bank holiday was announced"
    )
    added_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = CalendarDayQuerySet.as_manager()

    class Meta:
        ordering = ["day", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["day"], condition=Q(withdrawn_at=None), name="calendar_day_stands_once"
            ),
            models.CheckConstraint(
                condition=~Q(kind="bank holiday") | (~Q(region="") & ~Q(source="")),
                name="added_bank_holiday_has_region_and_source",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.day}: {self.name}"
