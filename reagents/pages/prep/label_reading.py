"""What the label pages read beside the prep room's other pages."""

from uuid import UUID

from reagents.models import Batch
from reagents.models.recipe import WITH_STOCKS


def vials_of(requisition: UUID) -> list[Batch]:
    """Every batch of a requisition that stands, in the order of its lines, in a fixed number of queries."""
    batches = Batch.objects.for_batch_page().prefetch_related(f"recipe__{WITH_STOCKS}")
    standing = batches.filter(line__requisition__uuid=requisition, recalled_at=None)
    return list(standing.order_by("line__order", "made_at", "id"))
