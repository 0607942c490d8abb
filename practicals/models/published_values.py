"""What is published for the analytes of a practical in exactly its system, in two queries."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import median

from practicals.calculations.class_picture import Published
from practicals.calculations.published import PublishedRf, sources, usable_for_comparison
from practicals.calculations.published_system import PhasePart, published_in_system
from practicals.models.practical import Analyte, Practical


@dataclass(frozen=True, slots=True)
class PublishedHere:
    """The value that may be compared with, if any, and what is known in words."""

    compared: Published | None
    sentences: tuple[str, ...]


def published_here(practical: Practical) -> dict[str, PublishedHere]:
    """By the analyte's key. Unknowns have nothing published: that would give them away."""
    parts = [
        PhasePart(part.substance, part.amount, part.basis) for part in practical.mobile_phase.parts.all()
    ]
    return {
        analyte.key: _here(published_in_system(analyte.name, support=practical.support, parts=parts))
        if analyte.role == Analyte.Role.STANDARD
        else PublishedHere(None, ())
        for analyte in practical.analytes.all()
    }


def _here(rows: Sequence[PublishedRf]) -> PublishedHere:
    confirmed = usable_for_comparison(rows)
    sentences = [_sentence(row) for row in rows]
    if not confirmed:
        none = "No confirmed value is published for this very system, so nothing is compared with one."
        return PublishedHere(None, (none, *sentences))
    values = sorted(row.rf for row in confirmed)
    middle = Decimal(median(values))
    if len(values) > 1:
        sentences.append(f"Compared with their median, {middle:.2f}.")
    return PublishedHere(Published(middle, values[0], values[-1]), tuple(sentences))


def _sentence(row: PublishedRf) -> str:
    source = sources().get(row.source_key)
    named = source.title if source else row.source_key
    if row.confirmed:
        return f"Published for this very system: {row.rf} ({named})."
    return f"Unconfirmed, shown and not compared: {row.rf} ({named})."
