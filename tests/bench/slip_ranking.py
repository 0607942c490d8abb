"""How many stated R_f a second are ranked, on one core. Run: python -m tests.bench.slip_ranking."""

from collections.abc import Callable
from random import Random
from time import perf_counter

from practicals.calculations.slip_making import TrialPaper, random_paper
from practicals.calculations.slip_trials import explained, stated_on


def slip_ranking_per_second(
    readings: int = 6000, *, seed: int = 1, clock: Callable[[], float] = perf_counter
):
    """Readings a second: right values and every slip alike, with all neighbours of random papers."""
    random = Random(seed)
    cases: list[tuple[TrialPaper, int, str]] = []
    while len(cases) < readings:
        paper = random_paper(random)
        cases += [(paper, lane, stated) for _, lane, stated in stated_on(paper, random)]
    started = clock()
    for paper, lane, stated in cases[:readings]:
        explained(paper, lane, stated)
    return readings / (clock() - started)


def report():
    """Rows of the table: what, measured, wanted."""
    return [("slip ranking on one core", f"{slip_ranking_per_second():.0f} readings/s", "2000 readings/s")]


if __name__ == "__main__":
    for what, measured, wanted in report():
        print(f"{what:<48} {measured:>10} (at least {wanted})")
