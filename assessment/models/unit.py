"""Units and their criteria. A version never changes."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Exists, OuterRef

from assessment.calculations.evidence_needs import EvidenceNeed, describe_need, read_need
from reagents.models import Kept, KeptQuerySet


class UnitQuerySet(KeptQuerySet):
    def newest_editions(self) -> "UnitQuerySet":
        later = Unit.objects.filter(slug=OuterRef("slug"), edition__gt=OuterRef("edition"))
        return self.filter(~Exists(later))

    def with_criteria(self) -> "UnitQuerySet":
        return self.prefetch_related("criteria")

    def other_editions(self, unit: "Unit") -> "UnitQuerySet":
        return self.filter(slug=unit.slug).exclude(pk=unit.pk)


class Unit(Kept):
    slug = models.SlugField(max_length=80)
    edition = models.PositiveIntegerField(default=1)
    title = models.CharField(max_length=160)
    text = models.TextField(help_text="the unit file itself (TOML), as it was read")
    grade_rule = models.JSONField()
    added_at = models.DateTimeField()

    objects: ClassVar[Any] = UnitQuerySet.as_manager()

    class Meta:
        ordering = ["title", "-edition"]
        constraints = [models.UniqueConstraint(fields=["slug", "edition"], name="unit_edition_once")]

    def __str__(self) -> str:
        return f"{self.title} (edition {self.edition})"

    @property
    def newer(self) -> "Unit | None":
        """The newest edition of the same unit, if this is not it; for one unit, not a list."""
        later = Unit.objects.with_criteria().filter(slug=self.slug, edition__gt=self.edition)
        found: Unit | None = later.order_by("-edition").first()
        return found


class Criterion(models.Model):
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="criteria")
    order = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=12)
    level = models.CharField(max_length=20)
    text = models.TextField()
    needs = models.JSONField(default=list, help_text="what evidence it needs, as the unit file says")

    class Meta:
        ordering = ["order"]
        verbose_name_plural = "criteria"
        constraints = [models.UniqueConstraint(fields=["unit", "code"], name="criterion_code_once")]

    def __str__(self) -> str:
        return self.code

    def evidence_needs(self) -> list[EvidenceNeed]:
        return [read_need(need) for need in self.needs]

    @property
    def asks_for(self) -> list[str]:
        """The evidence it needs, in words."""
        return [describe_need(need) for need in self.evidence_needs()]
