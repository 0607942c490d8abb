"""What a practical's own page shows."""

from dataclasses import dataclass

from practicals.calculations.front_history import ExpectedTime
from practicals.models import Analyte, Practical
from practicals.models.front_run import expected_time_of
from reagents.models import RecipePart


@dataclass(frozen=True, slots=True)
class AnalyteRow:
    """An analyte, and for an unknown what is in it: this page is for staff."""

    analyte: Analyte
    identity: list[str]


@dataclass(frozen=True, slots=True)
class PracticalPage:
    parts: list[RecipePart]
    ratio: str
    analytes: list[AnalyteRow]
    lanes: list[str]
    editions: list[Practical]
    newest: Practical
    expected: ExpectedTime | None


def practical_page(practical: Practical) -> PracticalPage:
    analytes = list(practical.analytes.all())
    names = {analyte.key: analyte.name for analyte in analytes}
    parts = list(practical.mobile_phase.parts.all())
    editions = list(Practical.objects.filter(slug=practical.slug).order_by("-edition").defer("text"))
    return PracticalPage(
        parts=parts,
        ratio=" : ".join(f"{part.amount.normalize():f}" for part in parts if part.amount is not None),
        analytes=[
            AnalyteRow(analyte, [names.get(key, key) for key in analyte.contains]) for analyte in analytes
        ],
        lanes=[names.get(key, key) for key in practical.lane_plan],
        editions=editions,
        newest=editions[0],
        expected=expected_time_of(practical),
    )
