"""A whole class's values of one analyte: all that the class view shows, put together from its parts.

Values read from one paper share that paper's run, so they are not independent: where several learners
read each paper, the comparison with a published value is made with the papers' means.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practicals.calculations.class_picture import Picture, Published, Reading, class_picture
from practicals.calculations.cochran import Cochran, cochran
from practicals.calculations.comparison import AgainstOthers, AgainstValue, against_others, against_value
from practicals.calculations.outliers import Flagged, with_and_without
from practicals.calculations.precision import Mandel, Precision, mandel, precision
from practicals.calculations.spread import Number, Spread, centred, numbers, spread

# Fewer, and a learner could work out whose the other values are.
SHOWN_TO_LEARNERS_FROM = 5


@dataclass(frozen=True, slots=True)
class ClassReading:
    """One learner's R_f [-] of the analyte, on which paper, in which group."""

    learner: str
    group: str
    paper: str
    rf: Number


@dataclass(frozen=True, slots=True)
class AnalyteAnalysis:
    """What the class view shows of one analyte; every part says in words what it could not judge.

    `others` and the marks of `picture` belong to the readings as given. `paper_means` has one value per
    paper.
    """

    analyte: str
    readings: tuple[ClassReading, ...]
    learners: int
    papers: int
    summary: Flagged
    paper_means: Spread
    precision: Precision
    uneven: Cochran
    mandel: Mandel | None
    against_published: AgainstValue | None
    others: tuple[AgainstOthers, ...]
    picture: Picture

    @property
    def enough_for_learners(self) -> bool:
        """Five readers or more: learners may see it, once the teacher releases it."""
        return self.learners >= SHOWN_TO_LEARNERS_FROM


def analyse(
    analyte: str,
    readings: Sequence[ClassReading],
    *,
    published: Published | None = None,
    suspected: int = 1,
    alpha: float = 0.05,
) -> AnalyteAnalysis:
    """Everything the class view shows of one analyte.

    Parameters
    ----------
    analyte : str
        Its name.
    readings : Sequence[ClassReading]
        One per learner and paper, none left out because it looks odd.
    published : Published | None
        The published value and range for this very system [-].
    suspected : int
        How many outliers are looked for: 1 by Grubbs's test, more by the generalised ESD procedure.
    alpha : float
        Level of significance of the outlier test [-].

    Returns
    -------
    AnalyteAnalysis
        Also for no reading, one, or a thousand.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.
    ValueError
        If fewer than one outlier is suspected.

    References
    ----------
    .. [1] ISO 5725-2:2019; each part names its own source.
    """
    values = numbers([reading.rf for reading in readings])
    by_paper: dict[str, list[float]] = {}
    for reading, value in zip(readings, values, strict=True):
        by_paper.setdefault(reading.paper, []).append(value)
    papers = list(by_paper.values())
    summary = with_and_without(values, suspected=suspected, alpha=alpha)
    means = [centred(paper)[0] for paper in papers]
    known = published.value if published is not None else None
    return AnalyteAnalysis(
        analyte=analyte,
        readings=tuple(readings),
        learners=len({reading.learner for reading in readings}),
        papers=len(papers),
        summary=summary,
        paper_means=spread(means, of="papers"),
        precision=precision(papers, of="papers"),
        uneven=cochran(papers),
        mandel=mandel(papers),
        against_published=None if known is None else against_value(means, known, of="papers"),
        others=against_others(values),
        picture=class_picture(
            analyte,
            [
                Reading(value, reading.group, place in summary.flagged)
                for place, (reading, value) in enumerate(zip(readings, values, strict=True))
            ],
            published=published,
        ),
    )
