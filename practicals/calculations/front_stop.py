"""Where a run ends, and heights of the front measured in one of two ways."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import Literal

from practicals.calculations.front_law import above_liquid

MeasuredFrom = Literal["surface", "edge"]
#: Stop 10 mm below the top edge (MET1 in SOURCES.csv), unless the practical says otherwise.
STOP_BELOW_TOP_MM = Decimal(10)


def stop_below_top_mm(text: str) -> Decimal:
    """How far below the paper's top edge a practical stops the run.

    Parameters
    ----------
    text : str
        The practical's file (TOML); `stop_below_top_mm` under `[run]` says it [-].

    Returns
    -------
    Decimal
        The distance [mm]; 10 mm where the file does not say.

    References
    ----------
    .. [1] MET1 in SOURCES.csv: 10 mm below the top.
    """
    try:
        run = tomllib.loads(text, parse_float=Decimal).get("run")
    except tomllib.TOMLDecodeError:
        run = None
    stated = run.get("stop_below_top_mm") if isinstance(run, dict) else None
    if isinstance(stated, bool) or not isinstance(stated, int | Decimal):
        return STOP_BELOW_TOP_MM
    stop_mm = Decimal(stated)
    return stop_mm if stop_mm.is_finite() and 0 < stop_mm <= 2000 else STOP_BELOW_TOP_MM


def wanted_height_mm(*, paper_height_mm: Decimal, immersed_mm: Decimal, stop_mm: Decimal) -> float:
    """Height above the liquid's surface at which the paper is to be taken out.

    Parameters
    ----------
    paper_height_mm : Decimal
        Height of the paper [mm].
    immersed_mm : Decimal
        How deep its lower edge stands in the liquid [mm].
    stop_mm : Decimal
        How far below the top edge the run stops [mm].

    Returns
    -------
    float
        The height [mm]; zero or less if the paper is too short for a run.

    References
    ----------
    .. [1] The column of liquid starts at the surface (MC_KIN in SOURCES.csv).
    """
    return float(paper_height_mm - stop_mm - immersed_mm)


def front_above_surface(height_mm: Decimal, *, measured_from: MeasuredFrom, immersed_mm: Decimal) -> Decimal:
    """A height as it was measured, as height above the liquid's surface.

    Parameters
    ----------
    height_mm : Decimal
        What the ruler showed [mm].
    measured_from : MeasuredFrom
        Where the ruler's zero lay: at the liquid's "surface" or at the paper's lower "edge" [-].
    immersed_mm : Decimal
        How deep the lower edge stands in the liquid [mm].

    Returns
    -------
    Decimal
        Height above the surface [mm].

    Raises
    ------
    NoFitError
        If the front would be under the liquid.

    References
    ----------
    .. [1] The column of liquid starts at the surface (MC_KIN in SOURCES.csv).
    """
    if measured_from == "surface":
        return height_mm
    above_liquid(above_edge_mm=height_mm, immersed_mm=immersed_mm)  # refuses a front under the liquid
    return height_mm - immersed_mm
