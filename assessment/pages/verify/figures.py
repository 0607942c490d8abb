"""What a sample can find, in words, for the pages of a draw."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from assessment.calculations.sample_power import (
    no_fault_sentence,
    power_sentence,
    size_for_detection,
    square_root_size,
)
from assessment.models import Submission

SUPPOSED_WRONG = (1, 3)
NOT_COVERED = (
    "These figures hold for a draw purely at random. Portfolios taken so that an assessor or a grade is seen "
    "are meant to find more, but by how much no formula says. "
    "They count wrong decisions that the verifier would notice: what the evidence does not show, no sample "
    "finds. They cover the portfolios that were decided when the sample was drawn, and none decided by "
    "whoever drew it."
)


@dataclass(frozen=True, slots=True)
class SizeHelp:
    """Help to choose a size: how many there are, the customary square root, and what that would find."""

    population: int
    square_root: int
    sentences: tuple[str, ...]


def size_help(population: int) -> SizeHelp | None:
    """None when there is nothing to draw from."""
    if not population:
        return None
    customary = square_root_size(population)
    supposed = [wrong for wrong in SUPPOSED_WRONG if wrong <= population]
    found = [power_sentence(population, customary, wrong) for wrong in supposed]
    wanted = [
        f"If {wrong} {'were' if wrong > 1 else 'was'} wrong, {size_for_detection(population, wrong)} must be "
        "drawn to meet at least one with 95 % probability."
        for wrong in supposed
    ]
    return SizeHelp(population, customary, (*found, *wanted))


def power_of(population: int, drawn: int) -> tuple[str, ...]:
    """What a sample that was drawn can find, and what it leaves open."""
    supposed = [wrong for wrong in SUPPOSED_WRONG if wrong <= population]
    return (
        *(power_sentence(population, drawn, wrong) for wrong in supposed),
        no_fault_sentence(population, drawn),
    )


def widening_help(rest: Iterable[Submission]) -> tuple[str, ...]:
    """How much of each assessor's work is not in the sample yet, and what would find an error in it."""
    counts = Counter(submission.work.assessor.name for submission in rest)
    return tuple(
        f"{name}: {count} portfolio{'' if count == 1 else 's'} not seen yet. If 1 of them held the same "
        f"error, {size_for_detection(count, 1)} must be drawn to meet it with 95 % probability."
        for name, count in sorted(counts.items())
    )
