"""How much a sample can find: the chance of meeting a wrong decision, in numbers and in words.

All figures are for a sample drawn purely at random, without replacement, from a known number of
portfolios. A sample chosen on risk is meant to find more, but by how much no formula says, so they are a
guide for it and not its power. Counting is exact.
"""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import comb, isqrt

from assessment.calculations.sampling import SamplingError


def detection_probability(population: int, sample: int, wrong: int) -> float:
    """Return the chance that a random sample holds at least one wrong decision.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    sample : int
        Portfolios in the sample [-].
    wrong : int
        Portfolios that hold a wrong decision [-].

    Returns
    -------
    float
        Probability, 0 to 1 [-]: ``1 - C(population - wrong, sample) / C(population, sample)``.

    Raises
    ------
    SamplingError
        If a number is negative, or sample or wrong exceed the population.

    References
    ----------
    Hypergeometric distribution, a standard result.
    """
    return float(_detection(population, sample, wrong))


def wrong_still_possible(population: int, sample: int, confidence: Decimal | float = 0.95) -> int:
    """Return how many wrong decisions a sample without a fault still leaves possible.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    sample : int
        Portfolios in the sample, all found sound [-].
    confidence : Decimal or float
        Level of confidence, between 0 and 1 [-].

    Returns
    -------
    int
        The largest number of wrong portfolios [-] of which such a sample would have met none with a
        probability above ``1 - confidence``.

    Raises
    ------
    SamplingError
        If a number is out of range.

    References
    ----------
    Hypergeometric distribution; exact upper limit for a sample without faults, a standard result.
    """
    level = _level(confidence)
    _detection(population, sample, 0)
    possible = 0
    for wrong in range(population - sample + 1):
        if _detection(population, sample, wrong) >= level:
            break
        possible = wrong
    return possible


def size_for_detection(population: int, wrong: int, confidence: Decimal | float = 0.95) -> int:
    """Return the smallest random sample that meets a wrong decision with the wanted probability.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    wrong : int
        Portfolios that hold a wrong decision, at least 1 [-].
    confidence : Decimal or float
        Wanted probability, between 0 and 1 [-].

    Returns
    -------
    int
        Size of the sample [-].

    Raises
    ------
    SamplingError
        If a number is out of range.

    References
    ----------
    Hypergeometric distribution, a standard result.
    """
    level = _level(confidence)
    if wrong < 1:
        raise SamplingError("Name at least 1 wrong decision to be found; of none, no sample can find any.")
    _detection(population, 0, wrong)
    return next(n for n in range(population + 1) if _detection(population, n, wrong) >= level)


def square_root_size(population: int) -> int:
    """Return the square root of the number of portfolios, rounded up.

    Parameters
    ----------
    population : int
        Portfolios in all [-].

    Returns
    -------
    int
        Size of the sample [-]; 0 when there is nothing to sample.

    Raises
    ------
    SamplingError
        If the number is negative.

    References
    ----------
    Common practice, no source (from memory).
    """
    _check_count(population, "portfolios")
    return 0 if population == 0 else isqrt(population - 1) + 1


def share_size(population: int, percent: int, at_least: int = 1) -> int:
    """Return a share of the portfolios, rounded up, but never fewer than a minimum.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    percent : int
        Share wanted, 0 to 100 [%].
    at_least : int
        Minimum; a population below it is sampled whole [-].

    Returns
    -------
    int
        Size of the sample [-].

    Raises
    ------
    SamplingError
        If a number is out of range.

    References
    ----------
    Sampling rules seen in public centre and college guidance (percentages read; 10 % with a minimum of
    three from memory). Rules are settings, so nothing here is a default of the trade.
    """
    _check_count(population, "portfolios")
    _check_count(at_least, "portfolios at least")
    if not 0 <= percent <= 100:
        raise SamplingError(f"A share of {percent} % cannot be drawn. Give 0 to 100 %.")
    return min(population, max(at_least, -(-population * percent // 100)))


def power_sentence(population: int, sample: int, wrong: int) -> str:
    """Say in words what a sample can find.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    sample : int
        Portfolios in the sample, at least 1 [-].
    wrong : int
        Portfolios supposed to hold a wrong decision, at least 1 [-].

    Returns
    -------
    str
        One sentence. A chance that is not certain is never printed as 0 % or 100 %.

    Raises
    ------
    SamplingError
        If a number is out of range.

    References
    ----------
    Hypergeometric distribution, a standard result; percentages rounded half up.
    """
    if sample < 1 or wrong < 1:
        raise SamplingError("Words about a sample need at least 1 portfolio sampled and 1 wrong decision.")
    chance = _detection(population, sample, wrong)
    subject = "this 1" if sample == 1 else f"these {sample}"
    found = "be one of them" if sample == 1 else "include at least one"
    return (
        f"If {wrong} of the {population} portfolio{'' if population == 1 else 's'} held a wrong decision "
        f"that the verifier would notice, {subject} would {found} {_chance_words(chance)}."
    )


def no_fault_sentence(population: int, sample: int, confidence: Decimal | float = 0.95) -> str:
    """Say in words what a sample without a fault leaves open.

    Parameters
    ----------
    population : int
        Portfolios in all [-].
    sample : int
        Portfolios in the sample, all found sound [-].
    confidence : Decimal or float
        Level of confidence, between 0 and 1 [-].

    Returns
    -------
    str
        One sentence.

    Raises
    ------
    SamplingError
        If a number is out of range.

    References
    ----------
    As `wrong_still_possible`.
    """
    possible = wrong_still_possible(population, sample, confidence)
    if sample == population:
        return f"All {population} were seen, so no portfolio is left unchecked."
    if possible == 0:
        return f"With {sample} of {population} found sound, one wrong decision would hardly have been missed."
    level = _percent(_level(confidence))
    return (
        f"No fault found is not no fault: with {sample} of {population} found sound, up to {possible} wrong "
        f"decision{'' if possible == 1 else 's'} would still be compatible with it at the {level} % level."
    )


def _detection(population: int, sample: int, wrong: int) -> Fraction:
    _check_count(population, "portfolios")
    _check_count(sample, "portfolios in a sample")
    _check_count(wrong, "wrong decisions")
    if population == 0:
        raise SamplingError("There is no portfolio to sample. Wait until decisions have been taken.")
    if sample > population:
        raise SamplingError(
            f"A sample of {sample} cannot be drawn from {population}. Ask for at most {population}."
        )
    if wrong > population:
        raise SamplingError(f"{wrong} wrong of {population} cannot be. Give at most {population}.")
    return 1 - Fraction(comb(population - wrong, sample), comb(population, sample))


def _check_count(count: int, what: str) -> None:
    if isinstance(count, bool) or count < 0:
        raise SamplingError(f"{count} {what} cannot be. Give a whole number of 0 or more.")


def _level(confidence: Decimal | float) -> Fraction:
    # By way of the printed digits: the binary 0.9 is a hair above nine tenths and would ask for one more.
    try:
        level = Fraction(str(confidence))
    except (ValueError, ZeroDivisionError) as error:
        raise SamplingError("A confidence is a number between 0 and 1, such as 0.95.") from error
    if not 0 < level < 1:
        raise SamplingError(
            f"A confidence of {confidence} cannot be used. Give one between 0 and 1, such as 0.95."
        )
    return level


def _percent(share: Fraction) -> int:
    exact = Decimal(share.numerator) * 100 / Decimal(share.denominator)
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def _chance_words(chance: Fraction) -> str:
    if chance == 1:
        return "with certainty"
    percent = _percent(chance)
    if percent == 0:
        return "with less than 1 % probability"
    if percent == 100:
        return "with more than 99 % probability"
    return f"with {percent} % probability"
