"""Recipes, requisitions and batches; and what all three packages' records share."""

from reagents.models.batch import Batch, BatchAmount
from reagents.models.form_key import FormKey
from reagents.models.kept import Kept, KeptQuerySet, NeverDeleted, Stale, Versioned, claim_version
from reagents.models.recipe import Recipe, RecipePart
from reagents.models.requisition import Requisition, RequisitionItem, RequisitionLine

__all__ = [
    "Batch",
    "BatchAmount",
    "FormKey",
    "Kept",
    "KeptQuerySet",
    "NeverDeleted",
    "Recipe",
    "RecipePart",
    "Requisition",
    "RequisitionItem",
    "RequisitionLine",
    "Stale",
    "Versioned",
    "claim_version",
]
