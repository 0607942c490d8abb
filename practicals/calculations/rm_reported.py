"""R_M of a spot as it is printed: with its uncertainty where one figure says it, else in words."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.relative import NoRmError, rm, rm_uncertainty
from practicals.calculations.uncertainty import NoUncertaintyError, RfUncertainty, reported

#: Where the interval found by the curve and k u(R_M) differ by more than this part, one figure after a
#: plus-minus sign would mislead: this project's own rule.
CURVED = 0.1


@dataclass(frozen=True, slots=True)
class RmReported:
    """R_M [-], its expanded uncertainty U = k u [-], and both as printed.

    `value` is None where R_M is not defined, `expanded` None where no single figure holds; `text` says so.
    """

    value: float | None
    expanded: float | None
    k: int
    text: str


def rm_reported(found: RfUncertainty) -> RmReported:
    """R_M of a spot from its R_f, rounded to match its uncertainty.

    U(R_M) = k u(R_f) / (ln 10 R_f (1 - R_f)) holds as far as the logarithm is nearly straight over R_f - U
    to R_f + U. Nearer to the origin line or the front the interval is given instead, and its open end where
    R_f - U or R_f + U leaves the range in which R_M is defined.

    Parameters
    ----------
    found : RfUncertainty
        The spot's R_f with its uncertainty [-].

    Returns
    -------
    RmReported
        Value, U and text [-]; without a value for an R_f of 0, of 1 or outside.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 and its note on a function that is markedly not linear; 7.2.6.
    .. [2] R_M: IUPAC Gold Book, retention factor (equivalence), goldbook.iupac.org/R05359; formula from
       memory.
    """
    try:
        value = rm(found.rf)
    except NoRmError:
        return RmReported(None, None, found.k, _not_defined(found.rf))
    expanded = found.k * rm_uncertainty(found.rf, found.u)
    low, high = _rm(found.rf + _wide(found)), _rm(found.rf - _wide(found))
    straight = low is not None and high is not None and (high - low) / 2 <= expanded * (1 + CURVED)
    try:
        both = reported(Decimal(repr(value)), expanded, k=found.k) if straight else None
    except NoUncertaintyError:
        return RmReported(value, None, found.k, _shown(value))
    if both is not None:
        text = f"{_signed(both.value)} \N{PLUS-MINUS SIGN} {both.expanded:f}"
        return RmReported(value, expanded, found.k, text)
    return RmReported(value, None, found.k, f"{_shown(value)}, {_between(low, high)}")


def _not_defined(rf: Decimal) -> str:
    if rf == 0:
        return "not defined at the origin line"
    return "not defined at the solvent front" if rf == 1 else "not defined outside R_f 0 to 1"


def _wide(found: RfUncertainty) -> Decimal:
    return Decimal(repr(found.expanded))


def _rm(rf: Decimal) -> float | None:
    try:
        return rm(rf)
    except NoRmError:
        return None


def _between(low: float | None, high: float | None) -> str:
    if low is not None and high is not None:
        return f"between {_shown(low)} and {_shown(high)}"
    if low is not None:
        return f"at least {_shown(low)}"
    return f"at most {_shown(high)}" if high is not None else "no bound"


def _shown(value: float) -> str:
    return _signed(Decimal(repr(value)).quantize(Decimal("0.01")))


def _signed(value: Decimal) -> str:
    """With a real minus, and never a minus before nought."""
    return f"{value:f}".replace("-", "\N{MINUS SIGN}" if value else "")
