"""What goes on a label for a set of hazard codes: pictograms by precedence, signal word, precautions."""

from collections.abc import Iterable, Sequence
from functools import cache

from reagents.calculations.substances import UnknownSubstance
from reagents.calculations.tables import rows

ABOUT = 6
IRRITATION = {"H315", "H319"}
SKIN_SENSITISER = "H317"
#: What is said more strongly by another precaution of the same label.
SAID_BY = {
    "P261": {"P260"},
    "P312": {"P310"},
    "P301+P312": {"P301+P310", "P301+P330+P331"},
    "P302+P352": {"P303+P361+P353"},
    "P330": {"P301+P330+P331"},
    "P331": {"P301+P330+P331"},
    "P332+P313": {"P310"},
    "P337+P313": {"P310"},
    "P233": {"P403+P233"},
}


@cache
def _elements() -> dict[str, tuple[str, str]]:
    return {row["h_code"]: (row["pictogram"], row["signal_word"]) for row in rows("label_elements")}


def _of(code: str) -> tuple[str, str]:
    if code.startswith("EUH"):
        return "", ""
    if code not in _elements():
        raise UnknownSubstance(code, f"No label elements are known here for the code {code[:20]}.")
    return _elements()[code]


def on_the_label(codes: Iterable[str]) -> tuple[str, ...]:
    """The codes that are printed: what a stronger one already says is left off.

    Parameters
    ----------
    codes : iterable of str
        Hazard codes of the classification [-].

    Returns
    -------
    tuple of str
        In order; H318 and the irritation of skin and eyes are left off beside H314, H319 beside H318,
        H336 and the like stay.

    References
    ----------
    .. [1] CLP Article 27 and Annex III: H314 includes H318; H410 includes H400 (the latter from memory).
    """
    found = set(codes)
    if "H314" in found:
        found -= {"H318", *IRRITATION}
    if "H318" in found:
        found -= {"H319"}
    if "H410" in found:
        found -= {"H400", "H411", "H412"}
    return tuple(sorted(found, key=lambda code: (code.startswith("EUH"), code)))


def pictograms_for(codes: Iterable[str]) -> tuple[str, ...]:
    """Pictograms of a label, by the rules of precedence.

    Parameters
    ----------
    codes : iterable of str
        Hazard codes of the classification, H318 among them even where it is not printed [-].

    Returns
    -------
    tuple of str
        Such as ("GHS02", "GHS05", "GHS07").

    Raises
    ------
    UnknownSubstance
        When a code has no row in the table.

    References
    ----------
    .. [1] CLP Article 26: source `clp_art26`. GHS05 leaves off GHS07 for irritation of skin or eyes, GHS06
       leaves off GHS07, GHS08 for the airways (H334) leaves off GHS07 for skin allergy and irritation.
    """
    kept = set(codes)
    signs = {_of(code)[0] for code in kept}
    if "GHS05" in signs:
        kept -= IRRITATION
    if "H334" in kept:
        kept -= {*IRRITATION, SKIN_SENSITISER}
    found = {_of(code)[0] for code in kept} - {""}
    return tuple(sorted(found - {"GHS07"} if "GHS06" in found else found))


def signal_word_for(codes: Iterable[str]) -> str:
    """Signal word of a label: Danger leaves Warning off.

    Parameters
    ----------
    codes : iterable of str
        Hazard codes [-].

    Returns
    -------
    str
        "Danger", "Warning" or "" [-].

    Raises
    ------
    UnknownSubstance
        When a code has no row in the table.

    References
    ----------
    .. [1] CLP Article 20.3 (from memory); `reagents/data/label_elements.csv`.
    """
    words = {_of(code)[1] for code in codes}
    return next((word for word in ("Danger", "Warning") if word in words), "")


@cache
def _choices() -> dict[str, tuple[tuple[int, str], ...]]:
    found: dict[str, list[tuple[int, str]]] = {}
    for row in rows("precaution_choice"):
        found.setdefault(row["h_code"], []).append((int(row["rank"]), row["p_code"]))
    return {code: tuple(sorted(choices)) for code, choices in found.items()}


def precautions_for(codes: Sequence[str], *, about: int = ABOUT) -> tuple[str, ...]:
    """About six precautions for a bottle in a laboratory, none twice and none that another already says.

    Every hazard keeps at least one; the rest are filled up by how much they matter at a bench.

    Parameters
    ----------
    codes : sequence of str
        Hazard codes of the label [-].
    about : int, optional
        How many are wanted [-].

    Returns
    -------
    tuple of str
        Such as ("P210", "P280", "P305+P351+P338"), by number.

    References
    ----------
    .. [1] P codes by hazard: CLP Annex I, Tables 2.6.2, 3.1.3, 3.3.5, 3.8.4, sources `clp_flam` and
       `clp_pcodes`, others from memory. The choice among them is ours: common practice, no source.
    """
    every = {code: _choices()[code] for code in codes if code in _choices()}
    offered = {p: rank for choices in every.values() for rank, p in choices}
    left = {p: rank for p, rank in offered.items() if not SAID_BY.get(p, set()) & set(offered)}
    chosen: set[str] = set()
    for choices in every.values():
        own = [p for _, p in choices if p in left]
        stands_in = [p for _, p in choices for p in SAID_BY.get(p, set()) if p in left]
        if not chosen & {*own, *stands_in} and own:
            chosen.add(min(own, key=lambda p: (left[p], p)))
    for p in sorted(left, key=lambda p: (left[p], p)):
        if len(chosen) >= about:
            break
        chosen.add(p)
    return tuple(sorted(chosen))
