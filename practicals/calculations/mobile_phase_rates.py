"""How often the solvent check gives a false alarm, and how often it notices, by simulation.

What is assumed about honest classes stands in `World`; the figures hold for these assumptions only.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log10
from random import Random
from typing import Literal

from practicals.calculations.mobile_phase import (
    DEFAULT,
    Expected,
    SolventCheck,
    StandardReading,
    Thresholds,
    solvent_check,
)

_Wanted = Callable[[set[str], str], bool]
Fault = Literal["none", "mobile phase", "front", "origin"]

_NEVER_ZERO = 0.01


@dataclass(frozen=True, slots=True)
class World:
    """An honest class [-, mm]: what varies from session to session, paper to paper and spot to spot.

    `standards` are true R_f; the other figures are standard deviations. Two runs of one substance on
    one paper differed by 0.012 in the middle in published class values; the rest is assumed.
    """

    standards: tuple[float, ...] = (0.26, 0.38, 0.61, 0.73)
    papers: int = 8
    session_sd: float = 0.010
    paper_sd: float = 0.012
    spot_sd: float = 0.008
    run_mm: float = 80.0


@dataclass(frozen=True, slots=True)
class Rates:
    """Share of simulated classes [-] in which each finding was made."""

    fault: Fault
    size: float
    papers: int
    session_sd: float
    trials: int
    mobile_phase: float
    right_paper: float
    wrong_paper: float


def _moved(rf: float, by: float) -> float:
    """A changed mobile phase moves all R_M alike; `by` is what that does to a spot at R_f 0.50."""
    middle = min(max(0.5 + by, _NEVER_ZERO), 1 - _NEVER_ZERO)
    change = log10((1 - middle) / middle)
    return 1 / (1 + 10 ** (log10((1 - rf) / rf) + change))


def one_class(world: World, *, fault: Fault, size: float, random: Random) -> tuple[StandardReading, ...]:
    """Readings of one simulated class; where one paper is at fault it is paper "1".

    Parameters
    ----------
    world : World
        What varies.
    fault : Fault
        What is wrong, if anything.
    size : float
        How far a spot at R_f 0.50 is moved by the mobile phase [-], or how far front or origin line was
        misread [mm].
    random : Random
        Source of chance.

    Returns
    -------
    tuple[StandardReading, ...]
        One reading per paper and standard.

    References
    ----------
    .. [1] R_M = log10((1 - R_f) / R_f): common practice, no source.
    """
    session = random.gauss(0, world.session_sd)
    moved = session + (size if fault == "mobile phase" else 0.0)
    found = []
    for number in range(1, world.papers + 1):
        of_paper = random.gauss(0, world.paper_sd)
        for place, rf in enumerate(world.standards):
            seen = _moved(rf, moved + of_paper) + random.gauss(0, world.spot_sd)
            if number == 1 and fault == "front":
                seen *= world.run_mm / (world.run_mm + size)
            if number == 1 and fault == "origin":
                seen = (seen * world.run_mm + size) / (world.run_mm + size)
            found.append(StandardReading(str(number), f"standard {place + 1}", round(seen, 2)))
    return tuple(found)


def rates(
    world: World,
    *,
    fault: Fault,
    size: float,
    trials: int,
    seed: int,
    thresholds: Thresholds = DEFAULT,
) -> Rates:
    """Shares of simulated classes in which the check says something.

    Parameters
    ----------
    world : World
        What varies.
    fault : Fault
        What is wrong, if anything.
    size : float
        Its size [-] or [mm], as in `one_class`.
    trials : int
        How many classes.
    seed : int
        Start of the chance; the same seed gives the same figures.
    thresholds : Thresholds
        The rule's.

    Returns
    -------
    Rates
        `right_paper` counts findings of paper 1 where it is at fault; `wrong_paper` any other paper.

    Raises
    ------
    ValueError
        If there is nothing to simulate.

    References
    ----------
    .. [1] Simulation; assumptions in `World`.
    """
    if trials < 1:
        raise ValueError(f"A rate needs at least one simulated class, not {trials}.")
    random = Random(seed)  # noqa: S311  chance of a simulation, guards nothing
    expected = {
        f"standard {place + 1}": Expected(rf, "past sessions", world.session_sd)
        for place, rf in enumerate(world.standards)
    }
    checks = [
        solvent_check(
            one_class(world, fault=fault, size=size, random=random), expected, {}, thresholds=thresholds
        )
        for _ in range(trials)
    ]
    at_fault = {"1"} if fault in {"front", "origin"} else set()
    return Rates(
        fault=fault,
        size=size,
        papers=world.papers,
        session_sd=world.session_sd,
        trials=trials,
        mobile_phase=_share(checks, lambda names, kind: kind == "mobile phase"),
        right_paper=_share(checks, lambda names, kind: kind == "paper" and bool(names & at_fault)),
        wrong_paper=_share(checks, lambda names, kind: kind == "paper" and not names & at_fault),
    )


def _share(checks: Sequence[SolventCheck], wanted: _Wanted) -> float:
    hits = sum(
        any(wanted(set(finding.papers), finding.kind) for finding in check.findings) for check in checks
    )
    return hits / len(checks)
