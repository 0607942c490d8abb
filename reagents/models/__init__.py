"""Recipes, requisitions and batches; and what all three packages' records share."""

from reagents.models.batch import Batch, BatchAmount
from reagents.models.form_key import FormKey
from reagents.models.kept import Kept, KeptQuerySet, NeverDeleted, Stale, Versioned, claim_version
from reagents.models.labels import LabelSheet
from reagents.models.recipe import WITH_STOCKS, Recipe, RecipePart
from reagents.models.requisition import PrepTick, Requisition, RequisitionItem, RequisitionLine
from reagents.models.stock import Container, StockChange

__all__ = [
    "WITH_STOCKS",
    "Batch",
    "BatchAmount",
    "Container",
    "FormKey",
    "Kept",
    "KeptQuerySet",
    "LabelSheet",
    "NeverDeleted",
    "PrepTick",
    "Recipe",
    "RecipePart",
    "Requisition",
    "RequisitionItem",
    "RequisitionLine",
    "Stale",
    "StockChange",
    "Versioned",
    "claim_version",
]
