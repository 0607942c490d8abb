"""What was really made."""

from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from reagents.models.kept import Kept, KeptQuerySet
from reagents.models.recipe import Recipe, RecipePart
from reagents.models.requisition import RequisitionLine
from reagents.models.stock import Container


class BatchQuerySet(KeptQuerySet):
    def for_batch_page(self) -> "BatchQuerySet":
        return self.select_related("recipe", "made_by", "line__requisition").prefetch_related("amounts__part")


class Batch(Kept):
    code = models.CharField(max_length=20, unique=True)
    recipe = models.ForeignKey(Recipe, on_delete=models.PROTECT, related_name="batches")
    line = models.ForeignKey(
        RequisitionLine, on_delete=models.PROTECT, null=True, blank=True, related_name="batches"
    )
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    initials = models.CharField(max_length=6)
    use_by = models.DateTimeField(null=True, blank=True)
    total_ml = models.DecimalField(max_digits=10, decimal_places=3)
    note = models.TextField(blank=True)
    recalled_at = models.DateTimeField(null=True, blank=True)
    recall_reason = models.CharField(max_length=300, blank=True)

    objects: ClassVar[Any] = BatchQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.CheckConstraint(condition=Q(total_ml__gt=0), name="batch_total_positive"),
            models.CheckConstraint(
                condition=Q(use_by=None) | Q(use_by__gte=F("made_at")), name="batch_use_by_after_made"
            ),
            models.CheckConstraint(
                condition=Q(recalled_at=None) | ~Q(recall_reason=""), name="batch_recall_has_reason"
            ),
        ]

    def __str__(self) -> str:
        return self.code


class BatchAmount(models.Model):
    """One part as it was measured, beside what the prep list asked for."""

    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="amounts")
    part = models.ForeignKey(RecipePart, on_delete=models.PROTECT, related_name="+")
    unit = models.CharField(max_length=2, choices=[("mL", "mL"), ("g", "g")])
    wanted = models.DecimalField(max_digits=14, decimal_places=6)
    measured = models.DecimalField(max_digits=14, decimal_places=6)
    lot = models.CharField(max_length=60, blank=True)
    vessel = models.CharField(max_length=80, blank=True, help_text="the vessel or balance really used")
    container = models.ForeignKey(
        Container,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="amounts",
        help_text="the bottle on the shelf that it was taken from",
    )

    class Meta:
        ordering = ["part__order"]
        constraints = [
            models.UniqueConstraint(fields=["batch", "part"], name="batch_part_once"),
            models.CheckConstraint(condition=Q(measured__gte=0), name="batch_amount_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.measured} {self.unit} {self.part}"
