"""The retardation factor R_f, its rounding and its standard uncertainty.

Distances are readings of one ruler in millimetres, whatever the ruler's zero is laid against: the
paper's lower edge or the origin line. Only differences of readings enter the sums.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from math import hypot, sqrt

# Our own context, so that a caller's changed decimal context cannot change a mark.
_EXACT = Context(prec=28, rounding=ROUND_HALF_EVEN)


class NoRetardationFactorError(ValueError):
    """These readings give no R_f; the message says why, for the person who typed them."""

    def __init__(self, message: str, *, origin_mm: Decimal, front_mm: Decimal) -> None:
        super().__init__(message)
        self.origin_mm = origin_mm
        self.front_mm = front_mm


class NoRunError(NoRetardationFactorError):
    """The front is on the origin line: nothing ran."""

    def __init__(self, *, origin_mm: Decimal, front_mm: Decimal) -> None:
        super().__init__(
            f"The solvent front and the origin line are both at {front_mm} mm, so the mobile phase has not"
            " run and there is no R_f. Measure both again.",
            origin_mm=origin_mm,
            front_mm=front_mm,
        )


class FrontBelowOriginError(NoRetardationFactorError):
    """The front is below the origin line."""

    def __init__(self, *, origin_mm: Decimal, front_mm: Decimal) -> None:
        super().__init__(
            f"The solvent front ({front_mm} mm) is below the origin line ({origin_mm} mm), so there is no"
            " R_f. Check which reading is which, and which way up the paper was.",
            origin_mm=origin_mm,
            front_mm=front_mm,
        )


class NotAReadingError(ValueError):
    """A reading is not an ordinary number (not-a-number, infinite)."""

    def __init__(self, what: str, value: Decimal) -> None:
        super().__init__(f"The {what} is not an ordinary number ({value}). Enter a distance in millimetres.")
        self.what = what
        self.value = value


def run_length(*, origin_mm: Decimal, front_mm: Decimal) -> Decimal:
    """Distance the mobile phase ran, from the origin line to the solvent front.

    Parameters
    ----------
    origin_mm : Decimal
        Reading of the origin line [mm].
    front_mm : Decimal
        Reading of the solvent front [mm].

    Returns
    -------
    Decimal
        Length of the run [mm], above zero.

    Raises
    ------
    NoRunError
        If the front is on the origin line.
    FrontBelowOriginError
        If the front is below the origin line.
    NotAReadingError
        If a reading is infinite or not a number.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor in planar chromatography, doi:10.1351/goldbook.R05353.
    """
    for what, value in (("origin line", origin_mm), ("solvent front", front_mm)):
        if not value.is_finite():
            raise NotAReadingError(what, value)
    if front_mm == origin_mm:
        raise NoRunError(origin_mm=origin_mm, front_mm=front_mm)
    if front_mm < origin_mm:
        raise FrontBelowOriginError(origin_mm=origin_mm, front_mm=front_mm)
    return _EXACT.subtract(front_mm, origin_mm)


def retardation_factor(*, spot_mm: Decimal, origin_mm: Decimal, front_mm: Decimal) -> Decimal:
    """R_f = (spot - origin) / (front - origin), not yet rounded.

    A value outside 0 to 1 is returned as it comes: whether that is impossible is for
    `practicals.calculations.doubts` to say, and a learner's reading is never lost over it.

    Parameters
    ----------
    spot_mm : Decimal
        Reading of the centre of the spot [mm].
    origin_mm : Decimal
        Reading of the origin line [mm].
    front_mm : Decimal
        Reading of the solvent front [mm].

    Returns
    -------
    Decimal
        R_f [-], the quotient to 28 significant digits.

    Raises
    ------
    NoRetardationFactorError
        If the front is on or below the origin line.
    NotAReadingError
        If a reading is infinite or not a number.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor in planar chromatography, doi:10.1351/goldbook.R05353.

    Examples
    --------
    >>> retardation_factor(spot_mm=Decimal(52), origin_mm=Decimal(10), front_mm=Decimal(110))
    Decimal('0.42')
    """
    run_mm = run_length(origin_mm=origin_mm, front_mm=front_mm)
    if not spot_mm.is_finite():
        raise NotAReadingError("spot", spot_mm)
    return _EXACT.divide(_EXACT.subtract(spot_mm, origin_mm), run_mm)


def relative_retardation(*, spot_mm: Decimal, standard_mm: Decimal, origin_mm: Decimal) -> Decimal:
    """R_rel, the distance of a spot over that of a named standard on the same paper.

    It needs no front, and may exceed 1.

    Parameters
    ----------
    spot_mm : Decimal
        Reading of the centre of the spot [mm].
    standard_mm : Decimal
        Reading of the centre of the standard's spot [mm].
    origin_mm : Decimal
        Reading of the origin line [mm].

    Returns
    -------
    Decimal
        R_rel [-], to 28 significant digits.

    Raises
    ------
    NoRetardationFactorError
        If the standard's spot is not above the origin line.

    References
    ----------
    .. [1] IUPAC Gold Book, relative retardation in planar chromatography, doi:10.1351/goldbook.R05276.
    """
    if standard_mm <= origin_mm:
        raise NoRetardationFactorError(
            "The standard's spot has not left the origin line, so nothing can be compared with it."
            " Choose another standard.",
            origin_mm=origin_mm,
            front_mm=standard_mm,
        )
    return _EXACT.divide(_EXACT.subtract(spot_mm, origin_mm), _EXACT.subtract(standard_mm, origin_mm))


def rounded(value: Decimal, places: int = 2) -> Decimal:
    """Round half up in decimal, as a person does by hand.

    A binary float turns 50/80 = 0.625 into 0.62; a learner writes 0.63, and is right.

    Parameters
    ----------
    value : Decimal
        The value to round [-].
    places : int
        Decimals to keep [-]; two are the custom for R_f and all that a ruler supports.

    Returns
    -------
    Decimal
        The rounded value, with exactly that many decimals [-].

    Raises
    ------
    ValueError
        If `places` is negative.

    References
    ----------
    .. [1] Half up for R_f: common practice, no source.
    """
    if places < 0:
        raise ValueError("Decimals to keep cannot be fewer than none.")
    # Wider than _EXACT: a pasted 1e30 with two decimals needs more digits than 28.
    wide = Context(prec=max(28, value.adjusted() + places + 5), rounding=ROUND_HALF_UP)
    return value.quantize(Decimal(1).scaleb(-places), context=wide)


def spot_centre(leading_mm: Decimal, trailing_mm: Decimal) -> Decimal:
    """Centre of a spot, midway between its leading and its trailing edge.

    Parameters
    ----------
    leading_mm : Decimal
        Reading of the edge nearer the front [mm].
    trailing_mm : Decimal
        Reading of the edge nearer the origin line [mm].

    Returns
    -------
    Decimal
        Reading of the centre [mm].

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor: the distance is to the centre of the spot,
       doi:10.1351/goldbook.R05353.
    """
    return _EXACT.divide(_EXACT.add(leading_mm, trailing_mm), Decimal(2))


def ruler_uncertainty(division_mm: Decimal) -> float:
    """Standard uncertainty of one reading to the nearest mark of a ruler.

    The true place lies anywhere within half a division, equally likely: u = d / sqrt(12).

    Parameters
    ----------
    division_mm : Decimal
        Distance between neighbouring marks [mm].

    Returns
    -------
    float
        Standard uncertainty [mm]; 0.2887 mm for a ruler in whole millimetres.

    Raises
    ------
    ValueError
        If the division is not above zero.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 (rectangular distribution).
    """
    if not division_mm.is_finite() or division_mm <= 0:
        raise ValueError(f"A ruler's division must be above 0 mm, not {division_mm}.")
    return float(division_mm) / sqrt(12)


def centre_uncertainty(*, division_mm: Decimal, judged_to_mm: Decimal = Decimal(0)) -> float:
    """Standard uncertainty of a spot's centre: the ruler, and the judgement of where the centre is.

    Parameters
    ----------
    division_mm : Decimal
        Distance between neighbouring marks of the ruler [mm].
    judged_to_mm : Decimal
        The centre is judged to within plus or minus this [mm], taken as rectangular.

    Returns
    -------
    float
        Standard uncertainty [mm].

    Raises
    ------
    ValueError
        If the division is not above zero, or the judgement is negative.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 5.1.2.
    """
    if judged_to_mm < 0:
        raise ValueError("A centre cannot be judged to less than 0 mm.")
    return hypot(ruler_uncertainty(division_mm), float(judged_to_mm) / sqrt(3))


def standard_uncertainty(
    *,
    spot_mm: Decimal,
    origin_mm: Decimal,
    front_mm: Decimal,
    u_spot_mm: float,
    u_origin_mm: float,
    u_front_mm: float,
) -> float:
    """Standard uncertainty of R_f, with the origin and the front as the shared quantities they are.

    u(R_f) = (1/L) sqrt(u_s^2 + ((1 - R_f) u_o)^2 + (R_f u_f)^2), L = front - origin. The origin enters
    both distances, so treating "spot distance" and "front distance" as independent is wrong.

    Parameters
    ----------
    spot_mm, origin_mm, front_mm : Decimal
        Readings of the spot's centre, the origin line and the solvent front [mm].
    u_spot_mm, u_origin_mm, u_front_mm : float
        Their standard uncertainties [mm].

    Returns
    -------
    float
        Standard uncertainty u (k = 1) of R_f [-].

    Raises
    ------
    NoRetardationFactorError
        If the front is on or below the origin line.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 (propagation from uncorrelated inputs, here the three readings).

    Examples
    --------
    >>> round(standard_uncertainty(spot_mm=Decimal(52), origin_mm=Decimal(10), front_mm=Decimal(110),
    ...       u_spot_mm=0.29, u_origin_mm=0.29, u_front_mm=0.29), 4)
    0.0036
    """
    rf = float(retardation_factor(spot_mm=spot_mm, origin_mm=origin_mm, front_mm=front_mm))
    run_mm = float(front_mm - origin_mm)
    return hypot(u_spot_mm, (1 - rf) * u_origin_mm, rf * u_front_mm) / run_mm
