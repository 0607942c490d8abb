"""What a teacher asks the technician to have ready: no class, no learner."""

from datetime import datetime
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q

from reagents.models.kept import Kept, KeptQuerySet
from reagents.models.recipe import WITH_STOCKS, Recipe


class RequisitionQuerySet(KeptQuerySet):
    def for_prep(self) -> "RequisitionQuerySet":
        """Everything a prep list shows, in a fixed number of queries."""
        return self.select_related("asked_by", "replaces", "replaced_by").prefetch_related(
            f"lines__recipe__{WITH_STOCKS}", "lines__batches__made_by", "items"
        )

    def needed_between(self, start: datetime, end: datetime) -> "RequisitionQuerySet":
        return self.filter(needed_at__gte=start, needed_at__lt=end)

    def needed_from(self, moment: datetime) -> "RequisitionQuerySet":
        return self.filter(needed_at__gte=moment)

    def standing(self) -> "RequisitionQuerySet":
        return self.filter(withdrawn_at=None)


class Requisition(Kept):
    title = models.CharField(max_length=160, help_text="no names")
    room = models.CharField(max_length=60)
    needed_at = models.DateTimeField()
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    note = models.TextField(blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )

    objects: ClassVar[Any] = RequisitionQuerySet.as_manager()

    class Meta:
        ordering = ["needed_at", "id"]

    def __str__(self) -> str:
        return self.title


class RequisitionLine(Kept):
    """So much of one recipe. For a mobile phase, how the total came about stays beside it."""

    requisition = models.ForeignKey(Requisition, on_delete=models.PROTECT, related_name="lines")
    order = models.PositiveSmallIntegerField()
    recipe = models.ForeignKey(Recipe, on_delete=models.PROTECT, related_name="+")
    total_ml = models.DecimalField(max_digits=10, decimal_places=3)
    chambers = models.PositiveSmallIntegerField(null=True, blank=True)
    volume_per_chamber_ml = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    chamber_diameter_mm = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    depth_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    origin_height_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    overage_percent = models.DecimalField(max_digits=5, decimal_places=1, default=0)
    label_code = models.CharField(
        max_length=20, blank=True, help_text="a coded unknown carries this instead of its contents"
    )

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["requisition", "order"], name="requisition_line_order_once"),
            models.CheckConstraint(condition=Q(total_ml__gt=0), name="requisition_line_total_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.recipe} for {self.requisition}"


class RequisitionItem(models.Model):
    """Equipment to put out."""

    requisition = models.ForeignKey(Requisition, on_delete=models.PROTECT, related_name="items")
    order = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120)
    per = models.CharField(max_length=10, help_text="group, class or learner")
    each = models.PositiveSmallIntegerField()
    count = models.PositiveSmallIntegerField(help_text="all together, without spares")
    spare = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.name


class PrepTick(models.Model):
    """A box of the prep list, ticked: one step of one line, or one piece of equipment put out."""

    line = models.ForeignKey(
        RequisitionLine, on_delete=models.PROTECT, null=True, blank=True, related_name="ticks"
    )
    item = models.ForeignKey(
        RequisitionItem, on_delete=models.PROTECT, null=True, blank=True, related_name="ticks"
    )
    box = models.CharField(max_length=40, help_text="which box of the line, such as measure 2 or step 1")
    ticked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ticked_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["line", "box"], name="prep_tick_once_a_line"),
            models.UniqueConstraint(fields=["item", "box"], name="prep_tick_once_an_item"),
            models.CheckConstraint(
                condition=Q(line=None, item__isnull=False) | Q(line__isnull=False, item=None),
                name="prep_tick_of_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.box} of {self.line or self.item}"
