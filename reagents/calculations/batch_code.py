"""A short code for a batch that nobody misreads on a label."""

from datetime import date
from random import Random

# Without what looks alike by hand or in print: 0 O, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V.
LETTERS = "34679ACDEFHJKMNPQRTWXY"
MONTHS = "ACDEFHJKMNPR"  # January to December, of the same letters


def batch_code(made_on: date, chance: Random) -> str:
    """Day, a letter for the month, and three letters or digits by chance.

    Parameters
    ----------
    made_on : date
        Day on which the batch was made, in the centre's time zone [-].
    chance : Random
        Source of the last three places; 10 648 codes a day [-].

    Returns
    -------
    str
        Such as "24P-K7P".

    References
    ----------
    .. [1] Letters left out since they are misread: common practice, no source.
    """
    tail = "".join(chance.choice(LETTERS) for _ in range(3))
    return f"{made_on.day:02d}{MONTHS[made_on.month - 1]}-{tail}"
