"""What stands on the shelf: containers, what was taken from them, and the sheets of labels."""

from datetime import date
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from reagents.models.kept import Kept, KeptQuerySet, Versioned


class ContainerQuerySet(KeptQuerySet):
    def on_the_shelf(self) -> "ContainerQuerySet":
        return self.filter(discarded_at=None, remaining__gt=0)

    def usable(self, day: date) -> "ContainerQuerySet":
        """On the shelf and not past its date; the one that ends first comes first."""
        in_date = self.on_the_shelf().filter(Q(expires_on=None) | Q(expires_on__gte=day))
        return in_date.order_by(F("expires_on").asc(nulls_last=True), "received_on", "id")


class Container(Kept, Versioned):
    """One bottle or jar of a bought substance."""

    class Storage(models.TextChoices):
        FLAMMABLE = "flammable", "flammable liquids"
        CORROSIVE_ACID = "acid", "corrosive acids"
        CORROSIVE_BASE = "base", "corrosive bases"
        OXIDISING = "oxidising", "oxidising substances"
        TOXIC = "toxic", "toxic substances"
        COLD = "cold", "cold store"
        GENERAL = "general", "general store"

    substance = models.CharField(max_length=80)
    form = models.CharField(max_length=80, blank=True, help_text="salt or hydrate, as the bottle says")
    strength = models.CharField(max_length=40, blank=True, help_text="as the bottle says, such as 99.7 % w/w")
    purity_percent = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    unit = models.CharField(max_length=2, choices=[("mL", "mL"), ("g", "g")])
    received_amount = models.DecimalField(max_digits=12, decimal_places=4)
    remaining = models.DecimalField(max_digits=12, decimal_places=4)
    lot = models.CharField(max_length=60, blank=True)
    received_on = models.DateField()
    opened_on = models.DateField(null=True, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    place = models.CharField(max_length=80)
    storage = models.CharField(max_length=12, choices=Storage)
    discarded_at = models.DateTimeField(null=True, blank=True)
    discarded_reason = models.CharField(max_length=200, blank=True)

    objects: ClassVar[Any] = ContainerQuerySet.as_manager()

    class Meta:
        ordering = ["substance", "received_on", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(received_amount__gt=0), name="container_held_something"),
            models.CheckConstraint(condition=Q(remaining__gte=0), name="container_not_below_empty"),
            models.CheckConstraint(
                condition=Q(purity_percent=None) | (Q(purity_percent__gt=0) & Q(purity_percent__lte=100)),
                name="container_purity_in_range",
            ),
            models.CheckConstraint(
                condition=Q(opened_on=None) | Q(opened_on__gte=F("received_on")),
                name="container_opened_after_received",
            ),
            models.CheckConstraint(
                condition=Q(discarded_at=None) | ~Q(discarded_reason=""),
                name="container_discarded_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.substance}, {self.place}"


class StockChange(models.Model):
    """What was taken out of a container, or put right after a count; never altered."""

    container = models.ForeignKey(Container, on_delete=models.PROTECT, related_name="changes")
    change = models.DecimalField(max_digits=12, decimal_places=4, help_text="below zero: taken out")
    left = models.DecimalField(max_digits=12, decimal_places=4)
    why = models.CharField(max_length=200)
    batch = models.ForeignKey(
        "reagents.Batch", on_delete=models.PROTECT, null=True, blank=True, related_name="stock_changes"
    )
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ["changed_at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(left__gte=0), name="stock_change_leaves_something_or_nothing")
        ]

    def __str__(self) -> str:
        return f"{self.change} of {self.container}"
