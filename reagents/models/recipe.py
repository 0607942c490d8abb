"""Recipes: what a liquid is made of. A version never changes."""

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from reagents.calculations.preparation import MadeFrom, PartWanted
from reagents.calculations.recipe_tree import DEEPEST
from reagents.models.kept import Kept

#: What to prefetch beside "parts": the stocks of a recipe, and theirs.
WITH_STOCKS = "parts" + "__made_from__parts" * DEEPEST


class Recipe(Kept):
    class Kind(models.TextChoices):
        MOBILE_PHASE = "mobile phase", "mobile phase"
        LOCATING_AGENT = "locating agent", "locating agent"
        SOLUTION = "solution", "solution"

    slug = models.SlugField(max_length=80)
    edition = models.PositiveIntegerField(default=1)
    title = models.CharField(max_length=160)
    kind = models.CharField(max_length=20, choices=Kind)
    shelf_life_hours = models.PositiveIntegerField(null=True, blank=True)
    cautions = models.JSONField(default=list, help_text="sentences, in the order in which they matter")
    made_on_the_day = models.BooleanField(default=False)
    tolerance_percent = models.DecimalField(
        max_digits=5, decimal_places=2, default=Decimal(5), help_text="how far a part may be off [% of it]"
    )

    class Meta:
        ordering = ["slug", "edition"]
        constraints = [
            models.UniqueConstraint(fields=["slug", "edition"], name="recipe_edition_once"),
            models.CheckConstraint(condition=Q(tolerance_percent__gt=0), name="recipe_tolerance_positive"),
        ]

    def __str__(self) -> str:
        return self.title

    def wanted_parts(self, *, depth: int = DEEPEST) -> tuple[PartWanted, ...]:
        """The parts as the calculations take them, those of its stocks too. Read with `WITH_STOCKS`."""
        return tuple(
            PartWanted(
                key=part.order,
                substance=part.substance,
                amount=part.amount,
                basis=part.basis,
                note=part.note,
                made_from=part.made_from.as_stock(depth=depth - 1) if part.made_from and depth else None,
            )
            for part in self.parts.all()
        )

    def as_stock(self, *, depth: int = DEEPEST) -> MadeFrom:
        """The recipe as one that is made first for another."""
        return MadeFrom(
            title=self.title,
            kind=self.kind,
            parts=self.wanted_parts(depth=depth),
            shelf_life_hours=self.shelf_life_hours,
            cautions=tuple(str(caution) for caution in self.cautions),
            made_on_the_day=self.made_on_the_day,
        )


class RecipePart(models.Model):
    """A substance, or another recipe that is made first and measured like one."""

    class Basis(models.TextChoices):
        PARTS = "parts by volume", "parts by volume"
        PARTS_BY_MASS = "parts by mass", "parts by mass"
        MOLE_PARTS = "mole parts", "mole parts"
        PERCENT_WV = "% w/v", "% w/v"
        PERCENT_WW = "% w/w", "% w/w"
        PERCENT_VV = "% v/v", "% v/v"
        MOLAR = "mol/L", "mol/L"
        TO_VOLUME = "to volume", "to volume"

    recipe = models.ForeignKey(Recipe, on_delete=models.PROTECT, related_name="parts")
    order = models.PositiveSmallIntegerField()
    substance = models.CharField(max_length=80)
    made_from = models.ForeignKey(
        Recipe,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="used_in",
        help_text="the recipe of a stock that is made first",
    )
    amount = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    basis = models.CharField(max_length=20, choices=Basis)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["recipe", "order"], name="recipe_part_order_once"),
            models.CheckConstraint(
                condition=Q(basis="to volume", amount__isnull=True) | Q(amount__gt=0),
                name="recipe_part_amount_positive",
            ),
            models.CheckConstraint(
                condition=Q(made_from=None) | ~Q(made_from=F("recipe")), name="recipe_part_is_not_its_recipe"
            ),
        ]

    def __str__(self) -> str:
        return self.substance
