"""How many portfolios to draw, by whichever rule a centre has settled, and why that many in a sentence."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from assessment.calculations.sample_power import share_size, size_for_detection, square_root_size
from assessment.calculations.sampling import SamplingError

SizeRule = Literal["number", "share", "square root", "detection"]


@dataclass(frozen=True)
class SizeWanted:
    """A rule for the size. `figure` is the number, the share in % or the chance in %, as the rule asks.

    `wrong` is how many wrong decisions a wanted chance supposes; `at_least` is the smallest sample.
    """

    by: SizeRule
    figure: int | None = None
    wrong: int = 1
    at_least: int = 1


@dataclass(frozen=True)
class ChosenSize:
    """A size and the sentence that says where it comes from."""

    size: int
    sentence: str


def choose_size(population: int, wanted: SizeWanted) -> ChosenSize:
    """Return how many portfolios to draw.

    Parameters
    ----------
    population : int
        Portfolios to draw from [-].
    wanted : SizeWanted
        The rule and its figure. A number that was asked for is taken as it is; every other rule gives at
        least `at_least` [-], and never more than there are.

    Returns
    -------
    ChosenSize
        The size and a sentence.

    Raises
    ------
    SamplingError
        If the rule is unknown, its figure is missing or impossible, or a number exceeds the population.

    References
    ----------
    Rules seen in public centre and college guidance; the wanted chance is the hypergeometric distribution.
    """
    if population < 1:
        raise SamplingError("There is no portfolio to draw from. Wait until decisions have been taken.")
    if wanted.by == "number":
        return ChosenSize(_number(population, wanted.figure), "The number was chosen.")
    size, why = _by_rule(population, wanted)
    if size < wanted.at_least:
        few = wanted.at_least >= population
        why += f" The policy asks for at least {wanted.at_least}" + (", so all are drawn." if few else ".")
        size = min(wanted.at_least, population)
    return ChosenSize(size, why)


def _by_rule(population: int, wanted: SizeWanted) -> tuple[int, str]:
    if wanted.by == "square root":
        size = square_root_size(population)
        return size, f"The square root of {population}, rounded up, is {size}."
    if wanted.by == "share":
        percent = _percent(wanted.figure, "share", 1, 100)
        size = share_size(population, percent)
        return size, f"{percent} % of {population}, rounded up, is {size}."
    if wanted.by == "detection":
        chance = _percent(wanted.figure, "chance", 1, 100)
        wrong = min(wanted.wrong, population)
        certain = population - wrong + 1
        size = certain if chance == 100 else size_for_detection(population, wrong, Decimal(chance) / 100)
        return size, (
            f"If {wrong} of {population} held a wrong decision, {size} drawn at random would meet at least "
            f"one with a chance of {chance} %{'' if chance == 100 else ' or more'}."
        )
    raise SamplingError("Choose the size by number, share, square root or wanted chance.")


def _number(population: int, figure: int | None) -> int:
    if figure is None:
        raise SamplingError(f"Give how many portfolios to draw, 1 to {population}.")
    if figure < 1:
        raise SamplingError(f"A sample needs at least 1 portfolio, not {figure}. Ask for 1 to {population}.")
    if figure > population:
        raise SamplingError(
            f"A sample of {figure} cannot be drawn from {population} "
            f"portfolio{'' if population == 1 else 's'}. Ask for 1 to {population}."
        )
    return figure


def _percent(figure: int | None, what: str, least: int, most: int) -> int:
    if figure is None or not least <= figure <= most:
        raise SamplingError(f"Give the wanted {what} in %, a whole number from {least} to {most}.")
    return figure
