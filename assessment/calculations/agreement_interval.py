"""How well kappa is known: its interval from the counts."""

from collections.abc import Sequence
from math import sqrt
from statistics import NormalDist

from assessment.calculations.agreement import AgreementError, Weights, compare_table


def kappa_interval(
    table: Sequence[Sequence[int]], weights: Weights = "none", level: float = 0.95
) -> tuple[float, float] | None:
    """Return the interval of Cohen's kappa, or None where there is none.

    Parameters
    ----------
    table : sequence of sequence of int
        Square table [-]; rows the first judge, columns the second, categories in order.
    weights : {"none", "linear", "quadratic"}
        As in `compare_table`.
    level : float
        Level of confidence, between 0 and 1 [-].

    Returns
    -------
    tuple of (float, float) or None
        Lower and upper end, held within -1 to 1 [-]. None when kappa is not defined, or when the counts
        leave its standard error at nothing, as when all agree: then the formula would claim certainty.

    Raises
    ------
    AgreementError
        If the table cannot be compared or the level is not between 0 and 1.

    Notes
    -----
    It rests on large numbers; from few pairs it is rough.

    References
    ----------
    Fleiss J. L., Cohen J., Everitt B. S. (1969) Psychol. Bull. 72, 323-327: standard error of kappa and
    of weighted kappa.
    """
    if not 0 < level < 1:
        raise AgreementError(f"A level of {level} cannot be used. Give one between 0 and 1, such as 0.95.")
    kappa = compare_table(table, weights).kappa
    if kappa is None:
        return None
    error = _standard_error(table, weights, kappa)
    if error < 1e-9:
        return None
    reach = NormalDist().inv_cdf((1 + level) / 2) * error
    return max(-1.0, kappa - reach), min(1.0, kappa + reach)


def _standard_error(table: Sequence[Sequence[int]], weights: Weights, kappa: float) -> float:
    size = range(len(table))
    n = sum(map(sum, table))
    shares = [[count / n for count in row] for row in table]
    rows = [sum(row) for row in shares]
    columns = [sum(shares[i][j] for i in size) for j in size]
    weight = [[_weight(i, j, len(table), weights) for j in size] for i in size]
    row_mean = [sum(columns[j] * weight[i][j] for j in size) for i in size]
    column_mean = [sum(rows[i] * weight[i][j] for i in size) for j in size]
    by_chance = sum(rows[i] * columns[j] * weight[i][j] for i in size for j in size)
    spread = sum(
        shares[i][j] * (weight[i][j] - (row_mean[i] + column_mean[j]) * (1 - kappa)) ** 2
        for i in size
        for j in size
    )
    variance = (spread - (kappa - by_chance * (1 - kappa)) ** 2) / (n * (1 - by_chance) ** 2)
    return sqrt(max(variance, 0.0))


def _weight(i: int, j: int, categories: int, weights: Weights) -> float:
    if weights == "none":
        return float(i == j)
    share = abs(i - j) / (categories - 1)
    return 1 - (share if weights == "linear" else share**2)
