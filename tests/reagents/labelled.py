"""Sheets of labels and batches for tests of labels. Everything here is invented."""

from decimal import Decimal
from typing import Any

from reagents.models import Batch, BatchAmount, LabelSheet, Recipe, RequisitionLine
from tests.factories import NOW
from tests.reagents.requested import make_solution

#: Sixteen equal parts of A4 as ISO 216 cuts it (A8 is 52 mm by 74 mm), centred on the page.
SIXTEEN = {
    "rows": 4,
    "columns": 4,
    "width_mm": Decimal(52),
    "height_mm": Decimal(74),
    "left_mm": Decimal(1),
    "top_mm": Decimal("0.5"),
    "pitch_across_mm": Decimal(52),
    "pitch_down_mm": Decimal(74),
}
#: Eight equal parts (A7 is 74 mm by 105 mm).
EIGHT = {
    **SIXTEEN,
    "columns": 2,
    "width_mm": Decimal(105),
    "left_mm": Decimal(0),
    "pitch_across_mm": Decimal(105),
}
#: Ten with gaps between them.
TEN = {
    "rows": 5,
    "columns": 2,
    "width_mm": Decimal(90),
    "height_mm": Decimal(52),
    "left_mm": Decimal(12),
    "top_mm": Decimal("13.5"),
    "pitch_across_mm": Decimal(96),
    "pitch_down_mm": Decimal(54),
}


def make_label_sheet(name: str = "16 to a sheet", **more: Any) -> LabelSheet:
    return LabelSheet.objects.create(**{"name": name, **SIXTEEN, **more})


def make_spray(title: str = "Ninhydrin spray") -> Recipe:
    """Ninhydrin 0.2 % w/v, made up with ethanol."""
    recipe = make_solution(title, solutes=(("ninhydrin", "0.2", "% w/v"),))
    recipe.parts.filter(basis="to volume").update(substance="ethanol")
    return recipe


def make_batch(line: RequisitionLine, by: Any, *, code: str = "", **more: Any) -> Batch:
    """A batch with each part measured: as many tens of mL as parts, other parts as 1 g or 100 mL."""
    batch = Batch.objects.create(
        **{
            "code": code or f"24N-AA{chr(65 + Batch.objects.count())}",
            "recipe": line.recipe,
            "line": line,
            "made_at": NOW,
            "made_by": by,
            "initials": "TT",
            "total_ml": Decimal(100),
            **more,
        }
    )
    for part in line.recipe.parts.all():
        by_volume = part.basis in {"parts by volume", "to volume", "% v/v"}
        measured = 10 * part.amount if part.basis == "parts by volume" else Decimal(100 if by_volume else 1)
        BatchAmount.objects.create(
            batch=batch, part=part, unit="mL" if by_volume else "g", wanted=measured, measured=measured
        )
    return batch
