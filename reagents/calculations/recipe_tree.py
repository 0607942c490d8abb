"""Recipes made of recipes: no loops, stocks first, and when two recipes are the same."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from reagents.calculations.preparation import (
    MOLAR,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WV,
    PERCENT_WW,
    SHARES,
    TO_VOLUME,
    MadeFrom,
    PartWanted,
)
from reagents.calculations.proportions import Part, in_lowest_terms
from reagents.calculations.quantities import format_quantity
from reagents.calculations.solutions import ImpossibleSolution
from reagents.calculations.substances import Substance, UnknownSubstance, substance

DEEPEST = 3  # a stock of a stock of a stock; each step adds the error of another measuring


class RecipeLoop(ValueError):
    """A recipe is made from itself; the message is a sentence, `loop` the way round."""

    def __init__(self, message: str, loop: Sequence[str]) -> None:
        super().__init__(message)
        self.loop = tuple(loop)


def making_order(made_from: Mapping[str, Iterable[str]]) -> tuple[str, ...]:
    """The order in which recipes are made: each after all that it is made from.

    Parameters
    ----------
    made_from : mapping of str to iterable of str
        Name of each recipe, and the recipes it is made from [-].

    Returns
    -------
    tuple of str
        Every name once; names that are only used, such as a substance's, are left out.

    Raises
    ------
    RecipeLoop
        When a recipe contains itself, directly or through others, or recipes are nested too deep.

    References
    ----------
    .. [1] Order of a graph without cycles, depth first.
    """
    done: dict[str, int] = {}

    def visit(name: str, way: tuple[str, ...]) -> int:
        if name in way:
            loop = (*way[way.index(name) :], name)
            raise RecipeLoop(_loop_sentence(loop), loop)
        if name not in done:
            under = [visit(one, (*way, name)) for one in made_from[name] if one in made_from]
            depth = 1 + max(under, default=-1)
            if depth > DEEPEST:
                raise RecipeLoop(
                    f"“{name}” is made through more than {DEEPEST} stocks in turn; each adds an error. "
                    "Make it from fewer.",
                    (name,),
                )
            done[name] = depth
        return done[name]

    for name in made_from:
        visit(name, ())
    return tuple(done)


def _loop_sentence(loop: Sequence[str]) -> str:
    first = loop[0]
    if len(loop) == 2:
        return f"“{first}” is made from itself; a recipe cannot contain itself."
    way = ", which is made from ".join(f"“{name}”" for name in loop[1:])
    return f"“{first}” is made from {way}; a recipe cannot contain itself."


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def _same_name(name: str) -> str:
    known = _known(name)
    return known.name if known else " ".join(name.casefold().split())


def canonical(parts: Sequence[PartWanted]) -> tuple[object, ...]:
    """A form in which two recipes are equal when they make the same liquid.

    Parts are in lowest terms, names are the substances', percentages by volume or by mass of a whole that
    they fill are parts; the order of mixing does not count.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe [-].

    Returns
    -------
    tuple
        To compare with another; not for people.

    Raises
    ------
    ImpossibleProportion
        As `proportions.in_lowest_terms`, for a recipe of parts.

    References
    ----------
    .. [1] 6 : 1.5 : 2.5 is 12 : 3 : 5: `proportions.in_lowest_terms`.
    """
    basis = _whole_basis(parts)
    if basis:
        numbered = [Part(str(place), part.amount or Decimal(0)) for place, part in enumerate(parts)]
        amounts = [one.parts for one in in_lowest_terms(numbered)]
        said = [(*_content(part), basis, amount) for part, amount in zip(parts, amounts, strict=True)]
    else:
        said = [
            (*_content(part), part.basis, None if part.amount is None else part.amount.normalize())
            for part in parts
        ]
    return tuple(sorted(said, key=repr))


def _whole_basis(parts: Sequence[PartWanted]) -> str:
    """The basis when the parts share out a whole; percentages that fill it are parts."""
    bases = {part.basis for part in parts}
    if len(bases) != 1:
        return ""
    (basis,) = bases
    if basis in SHARES:
        return basis
    if sum((part.amount or Decimal(0) for part in parts), Decimal(0)) == 100:
        return {PERCENT_VV: PARTS, PERCENT_WW: PARTS_BY_MASS}.get(basis, "")
    return ""


def _content(part: PartWanted) -> tuple[object, ...]:
    if part.made_from is None:
        return (_same_name(part.substance), ())
    solute = _same_name(part.substance) if part.basis in {MOLAR, PERCENT_WV} else ""
    return (solute, canonical(part.made_from.parts))


def same_recipe(first: Sequence[PartWanted], second: Sequence[PartWanted]) -> bool:
    """Whether two recipes make the same liquid, whatever multiple their parts are written in.

    Parameters
    ----------
    first, second : sequence of PartWanted
        The recipes [-].

    Returns
    -------
    bool
        True when their canonical forms are equal.

    References
    ----------
    .. [1] `canonical`.
    """
    return canonical(first) == canonical(second)


def substances_of(parts: Sequence[PartWanted]) -> tuple[str, ...]:
    """Every substance in a recipe, those of its stocks too, each once.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe [-].

    Returns
    -------
    tuple of str
        Names, in the order of the recipe [-].

    References
    ----------
    No formula.
    """
    found: list[str] = []
    for part in parts:
        found += substances_of(part.made_from.parts) if part.made_from else [part.substance]
    return tuple(dict.fromkeys(found))


def strength_in(stock: MadeFrom, solute: str, basis: str) -> Decimal:
    """How strong a stock is in one of its solutes, in the basis asked for.

    Parameters
    ----------
    stock : MadeFrom
        The stock's recipe [-].
    solute : str
        Name of the substance [-].
    basis : str
        "% w/v" or "mol/L" [-].

    Returns
    -------
    Decimal
        Strength [% w/v or mol/L].

    Raises
    ------
    ImpossibleSolution
        When the stock does not hold the solute, or its strength cannot be said in that basis.

    References
    ----------
    .. [1] 1 % w/v is 10/M mol/L: definitions of both.
    """
    held = next((p for p in stock.parts if _same_name(p.substance) == _same_name(solute)), None)
    if held is None or held.basis == TO_VOLUME or held.amount is None:
        raise ImpossibleSolution(
            f"“{stock.title}” has no {solute} in it, so it cannot give it a strength.", solute
        )
    if held.basis == basis:
        return held.amount
    known = _known(solute)
    molar_mass = known.molar_mass if known else None
    if {held.basis, basis} == {MOLAR, PERCENT_WV} and molar_mass:
        return held.amount * 10 / molar_mass if basis == MOLAR else held.amount * molar_mass / 10
    raise ImpossibleSolution(
        f"“{stock.title}” gives its {solute} in {held.basis}; write it in {basis} to take it as a stock.",
        solute,
    )


def stock_volume_ml(part: PartWanted, total_ml: Decimal) -> Decimal:
    """How much of its stock one part of a filled-up solution needs.

    Parameters
    ----------
    part : PartWanted
        A part with `made_from`, in % v/v (so much stock in 100 mL), % w/v or mol/L (strength wanted) [-].
    total_ml : Decimal
        Volume of the finished solution [mL].

    Returns
    -------
    Decimal
        Volume of stock, unrounded [mL].

    Raises
    ------
    ImpossibleSolution
        A part without stock or amount, a basis that says no volume, or a stock weaker than what is wanted.

    References
    ----------
    .. [1] V1 = C2 V2 / C1: `solutions.dilution_volume`.
    """
    if part.made_from is None or part.amount is None:
        raise ImpossibleSolution(f"{part.substance} has no stock or no amount.", part.substance)
    if part.basis == PERCENT_VV:
        return part.amount * total_ml / 100
    if part.basis not in {PERCENT_WV, MOLAR}:
        raise ImpossibleSolution(
            f"{part.basis} says not how much of “{part.made_from.title}” to take; use % v/v, % w/v or mol/L.",
            part.basis,
        )
    strength = strength_in(part.made_from, part.substance, part.basis)
    if part.amount > strength:
        wanted, has = (format_quantity(value.normalize(), part.basis) for value in (part.amount, strength))
        raise ImpossibleSolution(
            f"“{part.made_from.title}” has {has} of {part.substance}, weaker than the {wanted} wanted; "
            "make a stronger stock.",
            part.amount,
        )
    return part.amount * total_ml / strength
