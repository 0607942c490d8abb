"""Published values as records: those of a practical's very system, and what is odd about them."""

from dataclasses import dataclass

from practicals.calculations.published_system import PhasePart, is_system, printed_system
from practicals.calculations.reference_check import RfRange, plain_name, reference_warnings
from practicals.models.measuring import ReferenceValue
from practicals.models.practical import Analyte, Practical

#: A practical's recipe makes one phase; a value for a layer of a mixture that splits is of another system.
PHASE = "single"


@dataclass(frozen=True, slots=True)
class ReferenceRow:
    """A published value of one standard, and what to look at before relying on it."""

    analyte: Analyte
    value: ReferenceValue
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChromatographicSystem:
    """What a value must share with a practical to say anything about it."""

    support: str
    mobile_phase: str
    ratio: str
    phase: str = PHASE


def parts_of(practical: Practical) -> list[PhasePart]:
    return [PhasePart(part.substance, part.amount, part.basis) for part in practical.mobile_phase.parts.all()]


def system_of(practical: Practical) -> ChromatographicSystem | None:
    """The system as tables print it; None for a mobile phase that has no ratio."""
    printed = printed_system(parts_of(practical))
    return ChromatographicSystem(practical.support, *printed) if printed else None


def standards_to_name(practical: Practical) -> list[Analyte]:
    return list(practical.analytes.filter(role=Analyte.Role.STANDARD))


def reference_rows(practical: Practical) -> list[ReferenceRow]:
    """Values of the practical's standards in exactly its system; those withdrawn are left out."""
    values = values_in_system(practical)
    rows = []
    for analyte in standards_to_name(practical):
        own = [value for value in values if plain_name(value.analyte) == plain_name(analyte.name)]
        rows += [ReferenceRow(analyte, value, _warnings(value, own)) for value in own]
    return rows


def values_in_system(practical: Practical) -> list[ReferenceValue]:
    """Every value that stands for the practical's support, mixture, ratio and phase."""
    parts = parts_of(practical)
    standing = ReferenceValue.objects.filter(
        support__iexact=practical.support, phase__iexact=PHASE, withdrawn_at=None
    ).select_related("added_by")
    return [value for value in standing if is_system(value.mobile_phase, value.ratio, parts=parts)]


def warnings_for(value: ReferenceValue, practical: Practical) -> tuple[str, ...]:
    """What is odd about one value, held against the others of the same system."""
    name = plain_name(value.analyte)
    return _warnings(value, [one for one in values_in_system(practical) if plain_name(one.analyte) == name])


def _warnings(value: ReferenceValue, own: list[ReferenceValue]) -> tuple[str, ...]:
    others = [_range(one) for one in own if one.pk != value.pk and one.source != value.source]
    return reference_warnings(value.analyte, _range(value), others)


def _range(value: ReferenceValue) -> RfRange:
    return RfRange(value.rf_low, value.rf_high)
