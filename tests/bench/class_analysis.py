"""How long the analysis of a whole class takes: statistics, pictures, solvent check and equal figures.

Run by `make bench`, or alone by `python -m tests.bench.class_analysis`. Nothing here is a test: a time
depends on the machine, and the first call also loads scipy, which is measured apart.
"""

from decimal import Decimal
from random import Random
from time import perf_counter

from practicals.calculations.class_analysis import ClassReading, analyse
from practicals.calculations.class_picture import Published
from practicals.calculations.mobile_phase import Expected, StandardReading, solvent_check
from practicals.calculations.same_figures import ReadSet, same_figures

STANDARDS = {"glycine": 0.26, "alanine": 0.38, "valine": 0.60, "leucine": 0.73}
READERS_OF_A_PAPER = 4
RUN_MM = 80


def invented_class(learners, seed=1):
    """Readings in whole millimetres, paper by paper."""
    random = Random(seed)
    found = []
    for number in range(learners):
        if number % READERS_OF_A_PAPER == 0:
            spots = {name: RUN_MM * (rf + random.gauss(0, 0.015)) for name, rf in STANDARDS.items()}
        readings = {name: Decimal(round(spot + random.gauss(0, 0.5))) for name, spot in spots.items()}
        readings["front"] = Decimal(round(RUN_MM + random.gauss(0, 0.3)))
        found.append((f"learner {number}", str(number // READERS_OF_A_PAPER), readings))
    return found


def analyse_class(rows):
    """All that the class view needs, once."""
    analyses = {
        name: analyse(
            name,
            [
                ClassReading(learner, f"Group {paper}", paper, readings[name] / readings["front"])
                for learner, paper, readings in rows
            ],
            published=Published(Decimal(str(rf)), Decimal(str(rf - 0.1)), Decimal(str(rf + 0.1))),
            suspected=3,
        )
        for name, rf in STANDARDS.items()
    }
    check = solvent_check(
        [
            StandardReading(paper, name, float(readings[name] / readings["front"]))
            for _, paper, readings in rows
            for name in STANDARDS
        ],
        {name: Expected(rf, "past sessions", 0.01) for name, rf in STANDARDS.items()},
        {},
    )
    pairs = same_figures(
        [ReadSet(learner, paper, readings) for learner, paper, readings in rows], division_mm=1
    )
    return analyses, check, pairs


def measure(learners, repeats=5):
    """The middle of several runs [s]."""
    rows = invented_class(learners)
    times = []
    for _ in range(repeats):
        start = perf_counter()
        analyse_class(rows)
        times.append(perf_counter() - start)
    return sorted(times)[repeats // 2]


def report():
    """Rows of the table: what, measured, wanted."""
    start = perf_counter()
    analyse_class(invented_class(32))
    first = perf_counter() - start
    return [
        ("class analysis, first call with scipy loaded", f"{1000 * first:.0f} ms", ""),
        ("class analysis, 32 learners x 4 lanes", f"{1000 * measure(32):.0f} ms", "at most 150 ms"),
        ("class analysis, 1,000 learners x 4 lanes", f"{measure(1000, 3):.2f} s", "at most 3 s"),
    ]
