"""Practicals: the method. A version never changes; an edit makes the next one."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Max, Q

from practicals.models.people import User
from reagents.models import Kept, KeptQuerySet, Recipe


class PracticalQuerySet(KeptQuerySet):
    def newest_editions(self) -> "PracticalQuerySet":
        """The newest edition of each practical."""
        newest = self.values("slug").annotate(newest=Max("edition"))
        wanted = Q(pk__in=[])
        for row in newest:
            wanted |= Q(slug=row["slug"], edition=row["newest"])
        return self.filter(wanted).order_by("title")


class Practical(Kept):
    slug = models.SlugField(max_length=80)
    edition = models.PositiveIntegerField(default=1)
    title = models.CharField(max_length=160)
    summary = models.TextField()
    text = models.TextField(help_text="the practical file itself (TOML), as it was read")
    stationary_phase = models.CharField(max_length=120)
    support = models.CharField(max_length=40, help_text="as published values name it: paper, silica ...")
    paper_width_mm = models.DecimalField(max_digits=6, decimal_places=1)
    paper_height_mm = models.DecimalField(max_digits=6, decimal_places=1)
    origin_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    ruler_division_mm = models.DecimalField(max_digits=4, decimal_places=2)
    expected_minutes = models.PositiveSmallIntegerField()
    chamber_diameter_mm = models.DecimalField(max_digits=6, decimal_places=1)
    chamber_depth_mm = models.DecimalField(max_digits=5, decimal_places=1)
    chambers_per_group = models.PositiveSmallIntegerField(default=1)
    mobile_phase = models.ForeignKey(Recipe, on_delete=models.PROTECT, related_name="+")
    locating_agent = models.ForeignKey(
        Recipe, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    steps = models.JSONField(default=list)
    equipment = models.JSONField(default=list)
    hazards = models.JSONField(default=list)
    lane_plan = models.JSONField(default=list, help_text="analyte keys from left to right")
    added_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    added_at = models.DateTimeField()

    objects: ClassVar[Any] = PracticalQuerySet.as_manager()

    class Meta:
        ordering = ["slug", "-edition"]
        constraints = [
            models.UniqueConstraint(fields=["slug", "edition"], name="practical_edition_once"),
            models.CheckConstraint(
                condition=Q(paper_height_mm__gt=models.F("origin_height_mm")) & Q(origin_height_mm__gt=0),
                name="practical_origin_on_paper",
            ),
            models.CheckConstraint(
                condition=Q(chamber_depth_mm__lt=models.F("origin_height_mm")),
                name="practical_liquid_below_origin",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title} (edition {self.edition})"


class Analyte(models.Model):
    """What stands in a lane: a standard, or an unknown whose identity is for staff alone."""

    class Role(models.TextChoices):
        STANDARD = "standard", "standard"
        UNKNOWN = "unknown", "unknown"

    practical = models.ForeignKey(Practical, on_delete=models.PROTECT, related_name="analytes")
    order = models.PositiveSmallIntegerField()
    key = models.SlugField(max_length=40)
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=10, choices=Role)
    recipe = models.ForeignKey(Recipe, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    colour = models.CharField(max_length=80, blank=True, help_text="colour seen after locating")
    contains = models.JSONField(default=list, help_text="keys of the standards in an unknown")

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["practical", "key"], name="analyte_key_once"),
            models.CheckConstraint(
                condition=Q(role="unknown") | Q(contains=[]), name="analyte_only_unknowns_have_a_key"
            ),
        ]

    def __str__(self) -> str:
        return self.name
