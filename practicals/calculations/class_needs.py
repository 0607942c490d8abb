"""How much a class needs: liquids per group, equipment per class, group or learner."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

# What one group is given of a standard or an unknown, and of the locating agent for each paper [mL].
# Common practice, no source: a few microlitres are applied, but a capillary must reach into the liquid.
SOLUTION_PER_GROUP_ML = Decimal(2)
LOCATING_PER_PAPER_ML = Decimal(10)

_PI = Decimal("3.14159265358979323846")


def liquid_for_groups(groups: int, per_group_ml: Decimal) -> Decimal:
    """Liquid for all groups.

    Parameters
    ----------
    groups : int
        Number of groups, 0 or more [-].
    per_group_ml : Decimal
        For each group [mL].

    Returns
    -------
    Decimal
        For all, at least for one group [mL].

    References
    ----------
    .. [1] Arithmetic.
    """
    return max(groups, 1) * per_group_ml


def liquid_depth_mm(volume_ml: Decimal, diameter_mm: Decimal) -> Decimal:
    """How deep a volume stands in a round chamber: h = 4 V / (pi D^2).

    Parameters
    ----------
    volume_ml : Decimal
        Liquid in the chamber [mL].
    diameter_mm : Decimal
        Inner diameter, above 0 [mm].

    Returns
    -------
    Decimal
        Depth, half up to 0.1 mm [mm].

    References
    ----------
    .. [1] Volume of a cylinder.
    """
    depth = 4000 * volume_ml / (_PI * diameter_mm * diameter_mm)
    return depth.quantize(Decimal("0.1"), rounding=ROUND_HALF_UP)


def kept_total_ml(total_ml: Decimal) -> Decimal:
    """A total as the requisition keeps it: never less than what is needed.

    Parameters
    ----------
    total_ml : Decimal
        Volume needed [mL].

    Returns
    -------
    Decimal
        Rounded up to 0.1 mL [mL].

    References
    ----------
    .. [1] Common practice, no source.
    """
    return total_ml.quantize(Decimal("0.1"), rounding=ROUND_CEILING)


def equipment_count(per: str, each: int, *, groups: int, learners: int) -> int:
    """How many pieces to put out, spares left aside.

    Parameters
    ----------
    per : str
        "class", "group" or "learner" [-].
    each : int
        Pieces for each of these [-].
    groups, learners : int
        In the session [-].

    Returns
    -------
    int
        Pieces [-].

    Raises
    ------
    KeyError
        If `per` is none of the three words.

    References
    ----------
    .. [1] Arithmetic.
    """
    return each * {"class": 1, "group": groups, "learner": learners}[per]
