"""Requisitions for the prep room's tests. Everything here is invented."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from reagents.models import Recipe, RecipePart, Requisition, RequisitionItem, RequisitionLine
from tests.factories import NOW

NEEDED = NOW + timedelta(days=1)


def make_solution(
    title: str = "Glycine, 0.01 mol/L", *, solutes: Any = (("glycine", "0.01", "mol/L"),), **more: Any
) -> Recipe:
    recipe = Recipe.objects.create(
        **{"slug": title.lower().replace(" ", "-")[:70], "title": title, "kind": "solution", **more}
    )
    liquid = more.get("liquid", "water")
    for order, (substance, amount, basis) in enumerate(solutes, start=1):
        RecipePart.objects.create(
            recipe=recipe, order=order, substance=substance, amount=Decimal(amount), basis=basis
        )
    RecipePart.objects.create(recipe=recipe, order=len(solutes) + 1, substance=liquid, basis="to volume")
    return recipe


def make_requisition(
    asked_by: Any,
    *recipes: Recipe,
    total: str = "336",
    needed_at: datetime = NEEDED,
    title: str = "Amino acids on paper",
    label_code: str = "",
    **more: Any,
) -> Requisition:
    """One line for each recipe: 6 chambers of 50.9 mL and 10 % to spare."""
    requisition = Requisition.objects.create(
        **{
            "title": title,
            "room": "Lab 2",
            "needed_at": needed_at,
            "asked_by": asked_by,
            "asked_at": NOW,
            **more,
        }
    )
    for order, recipe in enumerate(recipes, start=1):
        RequisitionLine.objects.create(
            requisition=requisition,
            order=order,
            recipe=recipe,
            total_ml=Decimal(total),
            chambers=6,
            volume_per_chamber_ml=Decimal("50.9"),
            chamber_diameter_mm=Decimal(90),
            depth_mm=Decimal(8),
            origin_height_mm=Decimal(20),
            overage_percent=Decimal(10),
            label_code=label_code,
        )
    RequisitionItem.objects.create(
        requisition=requisition, order=1, name="developing chamber", per="group", each=1, count=6, spare=1
    )
    return requisition
