"""What an unknown spot is compatible with: the standards on its own paper first.

A match is never more than "compatible": substances that were not run may stand in the same place. Two or
more compatible candidates cannot be told apart, however close one of them is. What a learner named is
judged against this and never overwritten.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot
from statistics import mean, stdev

from practicals.calculations.candidates import (
    Comparison,
    Identification,
    Level,
    OtherPaper,
    PublishedSubstance,
    StandardSpot,
    UnknownSpot,
)
from practicals.calculations.differences import difference_on_one_paper
from practicals.calculations.published import usable_for_comparison
from practicals.calculations.spot_colours import colour_evidence
from practicals.calculations.uncertainty import COVERAGE, Located, rf_uncertainty

__all__ = [
    "Comparison",
    "Identification",
    "OtherPaper",
    "PublishedSubstance",
    "StandardSpot",
    "UnknownSpot",
    "identify",
    "identify_mixture",
]

#: Least standard uncertainty of the difference between two lanes of one paper, whatever the ruler says:
#: application, slanting fronts, the reader's eye. Two unknowns beside four standards on one paper differed
#: by 0.011 to 0.035 (root mean square 0.021) from the standards they were: STU_AA9 in SOURCES.csv. With
#: k = 2 the window is then never narrower than 0.04.
LANES_U = 0.02
#: The same between two papers of one session: one substance moved by 0.05 between two plates of one
#: person: STU_ASP in SOURCES.csv.
PAPERS_U = 0.05
#: From this many papers on their own spread counts as well.
ENOUGH_PAPERS = 3
_Candidate = StandardSpot | OtherPaper | PublishedSubstance


def identify(
    unknown: UnknownSpot,
    *,
    origin: Located,
    front: Located,
    standards: Sequence[StandardSpot],
    other_papers: Sequence[OtherPaper] = (),
    published: Sequence[PublishedSubstance] = (),
    lanes_u: float = LANES_U,
    papers_u: float = PAPERS_U,
    k: int = COVERAGE,
) -> Identification:
    """Compare an unknown spot with standards on its paper, then this session's, then published values.

    A candidate is compatible when |delta R_f| <= k u(delta). On one paper u(delta) is that of the four
    readings, origin and front shared, but at least `lanes_u`. Between papers `papers_u` is added in squares.
    A further level is asked only if nearer ones found nothing, and only about substances that they lack: a
    standard that was run beside the unknown and does not fit is not saved by another paper.

    Parameters
    ----------
    unknown : UnknownSpot
        The spot to be named [mm].
    origin, front : Located
        The paper's origin line and solvent front [mm].
    standards : Sequence[StandardSpot]
        Standards' spots on the same paper [mm].
    other_papers : Sequence[OtherPaper]
        Standards on this session's other papers [-].
    published : Sequence[PublishedSubstance]
        Values of the very same system; unconfirmed ones are left out here [-].
    lanes_u : float
        Least standard uncertainty of a difference between lanes of one paper [-].
    papers_u : float
        Standard uncertainty of a difference that papers add [-].
    k : int
        Coverage factor [-].

    Returns
    -------
    Identification
        Verdict, comparisons and a sentence.

    Raises
    ------
    NoRetardationFactorError
        If the readings give no R_f.

    References
    ----------
    .. [1] Sample and standard on the same plate, as pharmacopoeias ask: PH_TLC in SOURCES.csv.
    .. [2] JCGM 100:2008, 5.1.2; |difference| against k u: ISO 13528 (zeta).
    .. [3] `LANES_U`: STU_AA9, `PAPERS_U`: STU_ASP in SOURCES.csv.
    """
    own = rf_uncertainty(unknown.spot, origin=origin, front=unknown.front or front, k=k)
    levels: tuple[tuple[Level, Iterator[tuple[_Candidate, float, float]]], ...] = (
        ("same paper", _on_paper(unknown, origin, front, standards, lanes_u, k)),
        ("this session", _in_session(other_papers, float(own.rf), own.u, papers_u)),
        ("published", _in_print(published, float(own.rf), hypot(own.u, papers_u))),
    )
    compared: list[Comparison] = []
    for level, candidates in levels:
        asked = {comparison.key for comparison in compared}
        new = [
            Comparison(
                candidate.key,
                candidate.name,
                level,
                delta,
                u,
                k,
                colour_evidence(unknown.colour, candidate.colour),
            )
            for candidate, delta, u in candidates
            if candidate.key not in asked
        ]
        compared += new
        if any(comparison.near for comparison in new):
            return _verdict(level, compared, [comparison for comparison in new if comparison.near])
    return _verdict(None, compared, [])


def identify_mixture(
    unknowns: Sequence[UnknownSpot],
    *,
    origin: Located,
    front: Located,
    standards: Sequence[StandardSpot],
    other_papers: Sequence[OtherPaper] = (),
    published: Sequence[PublishedSubstance] = (),
) -> tuple[Identification, ...]:
    """Each spot of a lane that holds several.

    Parameters
    ----------
    unknowns : Sequence[UnknownSpot]
        The lane's spots [mm].
    origin, front : Located
        The paper's origin line and solvent front [mm].
    standards : Sequence[StandardSpot]
        Standards' spots on the same paper [mm].
    other_papers : Sequence[OtherPaper]
        Standards on this session's other papers [-].
    published : Sequence[PublishedSubstance]
        Values of the very same system [-].

    Returns
    -------
    tuple[Identification, ...]
        One for each spot, in their order.

    References
    ----------
    .. [1] As for `identify`.
    """
    return tuple(
        identify(
            unknown,
            origin=origin,
            front=front,
            standards=standards,
            other_papers=other_papers,
            published=published,
        )
        for unknown in unknowns
    )


def _on_paper(
    unknown: UnknownSpot,
    origin: Located,
    front: Located,
    standards: Iterable[StandardSpot],
    lanes_u: float,
    k: int,
) -> Iterator[tuple[_Candidate, float, float]]:
    for standard in standards:
        found = difference_on_one_paper(
            unknown.spot,
            standard.spot,
            origin=origin,
            front=front,
            first_front=unknown.front,
            second_front=standard.front,
            k=k,
        )
        yield standard, found.delta, max(found.u, lanes_u)


def _in_session(
    papers: Iterable[OtherPaper], own: float, own_u: float, papers_u: float
) -> Iterator[tuple[_Candidate, float, float]]:
    by_key: dict[str, list[OtherPaper]] = {}
    for paper in papers:
        by_key.setdefault(paper.key, []).append(paper)
    for found in by_key.values():
        values = [float(one.rf) for one in found]
        spread = papers_u
        if len(values) >= ENOUGH_PAPERS:
            spread = max(papers_u, stdev(values) * (1 + 1 / len(values)) ** 0.5)
        u_mean = hypot(*(one.u for one in found)) / len(found)
        yield found[0], own - mean(values), hypot(own_u, u_mean, spread)


def _in_print(
    substances: Iterable[PublishedSubstance], own: float, u: float
) -> Iterator[tuple[_Candidate, float, float]]:
    for substance in substances:
        values = [float(row.rf) for row in usable_for_comparison(substance.rows)]
        if values:
            # No uncertainty is printed and none is invented: the distance to the range of the sources.
            nearest = min(max(own, min(values)), max(values))
            yield substance, own - nearest, u


_WHERE = {
    "same paper": "on the same paper",
    "this session": "on other papers of this session, which is weaker than a standard on the same paper",
    "published": "by published values for the same system, which are a hint and never a key",
}


def _verdict(level: Level | None, compared: list[Comparison], near: list[Comparison]) -> Identification:
    if not compared:
        words = "There is nothing to compare it with: no standard was read on this paper, and none is known."
        return Identification("nothing to compare", None, (), (), (), words)
    if level is None:
        words = "No match: none of the substances it was compared with stands at this place."
        return Identification("none", None, tuple(compared), (), (), words)
    fitting = [comparison for comparison in near if comparison.colour != "against"]
    left = fitting or near
    keys = tuple(dict.fromkeys(comparison.key for comparison in left))
    names = tuple(dict.fromkeys(comparison.name for comparison in left))
    return Identification(
        "one" if len(keys) == 1 else "several",
        level,
        tuple(compared),
        keys,
        names,
        " ".join(_words(level, names, near, fitting)),
    )


def _words(
    level: Level, names: tuple[str, ...], near: list[Comparison], fitting: list[Comparison]
) -> Iterator[str]:
    if len(names) == 1:
        yield f"Compatible with {names[0]}, {_WHERE[level]}."
    else:
        listed = ", ".join(names[:-1]) + f" and {names[-1]}"
        yield f"Cannot be told apart from {listed}, {_WHERE[level]}."
    if not fitting:
        yield "But its colour speaks against this."
    elif len(fitting) < len(near):
        others = dict.fromkeys(one.name for one in near if one not in fitting)
        yield f"{', '.join(others)} would stand there too, but the colour speaks against it."
    elif len(names) == 1 and any(comparison.colour == "supports" for comparison in fitting):
        yield "Its colour fits as well."
    yield "Substances that were not run beside it may stand at the same place."
