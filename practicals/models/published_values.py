"""What is published for the analytes of a practical in exactly its system, as the records have it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import median

from practicals.calculations.class_picture import Published
from practicals.calculations.reference_check import plain_name
from practicals.models.measuring import ReferenceValue
from practicals.models.practical import Analyte, Practical
from practicals.models.reference_values import values_in_system


@dataclass(frozen=True, slots=True)
class PublishedHere:
    """The value that may be compared with, if any, and what is known in words."""

    compared: Published | None
    sentences: tuple[str, ...]


def published_here(practical: Practical) -> dict[str, PublishedHere]:
    """By the analyte's key. Unknowns have nothing published: that would give them away."""
    values = values_in_system(practical)
    return {
        analyte.key: _here([one for one in values if plain_name(one.analyte) == plain_name(analyte.name)])
        if analyte.role == Analyte.Role.STANDARD
        else PublishedHere(None, ())
        for analyte in practical.analytes.all()
    }


def _here(values: Sequence[ReferenceValue]) -> PublishedHere:
    confirmed = [value for value in values if value.confirmed]
    sentences = [_sentence(value) for value in values]
    if not confirmed:
        none = "No confirmed value is published for this very system, so nothing is compared with one."
        return PublishedHere(None, (none, *sentences))
    middle = Decimal(median((value.rf_low + value.rf_high) / 2 for value in confirmed))
    if len(confirmed) > 1:
        sentences.append(f"Compared with their median, {middle:.2f}.")
    lowest = min(value.rf_low for value in confirmed)
    highest = max(value.rf_high for value in confirmed)
    return PublishedHere(Published(middle, lowest, highest), tuple(sentences))


def _sentence(value: ReferenceValue) -> str:
    printed = f"{value.rf_low.normalize():f}"
    if value.rf_high != value.rf_low:
        printed += f" to {value.rf_high.normalize():f}"
    if value.confirmed:
        return f"Published for this very system: {printed} ({value.source})."
    return f"Unconfirmed, shown and not compared: {printed} ({value.source})."
