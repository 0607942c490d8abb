"""What an unknown is compared with when its own paper has no match: other papers, then published values."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean

from practicals.calculations.candidates import OtherPaper, PublishedSubstance
from practicals.calculations.published import PublishedRf
from practicals.calculations.reference_check import plain_name
from practicals.models.measuring import ReferenceValue
from practicals.models.practical import Analyte
from practicals.models.reference_values import values_in_system
from practicals.models.session import Session
from practicals.models.values_read import ValueRead, values_of


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Standards on the session's papers, and confirmed published values of the practical's system."""

    values: tuple[ValueRead, ...]
    names: dict[str, tuple[str, str]]
    published: tuple[PublishedSubstance, ...]

    def other_papers(self, paper: int) -> tuple[OtherPaper, ...]:
        """Each standard once for each other paper, as the mean of its readers.

        A reading's own uncertainty is far below what papers differ by, which `identify` adds.
        """
        found: dict[tuple[int, str], list[Decimal]] = {}
        for value in self.values:
            if value.is_standard and value.paper != paper:
                found.setdefault((value.paper, value.analyte), []).append(value.rf)
        return tuple(
            OtherPaper(key, self.names[key][0], mean(rfs), 0.0, self.names[key][1])
            for (_, key), rfs in found.items()
            if key in self.names
        )


def elsewhere(session: Session) -> Elsewhere:
    """In a fixed number of queries, however large the class."""
    standards = list(session.practical.analytes.filter(role=Analyte.Role.STANDARD))
    known = values_in_system(session.practical)
    return Elsewhere(
        values=values_of([session.pk]).values,
        names={analyte.key: (analyte.name, analyte.colour) for analyte in standards},
        published=tuple(
            PublishedSubstance(analyte.key, analyte.name, rows, analyte.colour)
            for analyte in standards
            if (rows := _rows(analyte, known))
        ),
    )


def _rows(analyte: Analyte, known: Sequence[ReferenceValue]) -> tuple[PublishedRf, ...]:
    """A range counts by both its ends."""
    return tuple(
        PublishedRf(
            analyte=value.analyte,
            support=value.support,
            stationary_phase="",
            mobile_phase=value.mobile_phase,
            ratio=value.ratio,
            phase=value.phase,
            rf=rf,
            source_key=value.source,
            confirmed=value.confirmed,
            remark="",
        )
        for value in known
        if plain_name(value.analyte) == plain_name(analyte.name)
        for rf in dict.fromkeys((value.rf_low, value.rf_high))
    )
