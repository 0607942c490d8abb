"""The molar mass of a substance from its formula."""

import re
from decimal import Decimal

from reagents.calculations.tables import rows

LONGEST_FORMULA = 60


class NotAFormula(ValueError):
    """A formula that cannot be read, or with an element that has no weight here."""

    def __init__(self, formula: str, message: str) -> None:
        super().__init__(message)
        self.formula = formula


_ATOMS = re.compile(r"([A-Z][a-z]?)|\(|\)")
_COUNT = re.compile(r"[0-9]{0,3}")
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_DOTS = re.compile(r"[·.•*∙]")


def molar_mass_of(formula: str) -> Decimal:
    """Molar mass from a formula, with brackets and water of crystallisation, without charges.

    Parameters
    ----------
    formula : str
        Such as "C2H4O2", "Ca(NO3)2" or "CuSO4.5H2O" [-].

    Returns
    -------
    Decimal
        Sum of the abridged atomic weights [g/mol].

    Raises
    ------
    NotAFormula
        When it cannot be read or holds an element not in the table.

    References
    ----------
    .. [1] IUPAC CIAAW, standard atomic weights, abridged values (2021): `atomic_weights.csv`.
    """
    tidy = re.sub(r"\s", "", formula).translate(_SUBSCRIPTS)
    if not tidy or len(tidy) > LONGEST_FORMULA:
        raise NotAFormula(formula, f"“{formula[:60]}” is not a formula such as C2H4O2.")
    mass = Decimal(0)
    for place, piece in enumerate(_DOTS.split(tidy)):
        count = re.match(r"[0-9]{0,2}", piece) if place else None
        times = count[0] if count else ""
        mass += int(times or 1) * _mass_of_piece(formula, piece[len(times) :])
    if not mass:
        raise NotAFormula(formula, f"“{formula[:60]}” is not a formula such as C2H4O2.")
    return mass


def _mass_of_piece(formula: str, piece: str) -> Decimal:
    weights = {row["symbol"]: Decimal(row["weight"]) for row in rows("atomic_weights")}
    nested: list[Decimal] = [Decimal(0)]
    at = 0
    while at < len(piece):
        found = _ATOMS.match(piece, at)
        if found is None:
            raise NotAFormula(formula, f"“{formula[:60]}” is not a formula such as C2H4O2.")
        at = found.end()
        if found[0] == "(":
            nested.append(Decimal(0))
            continue
        count = _COUNT.match(piece, at)
        number = count[0] if count else ""
        at += len(number)
        if found[0] == ")":
            if len(nested) == 1:
                raise NotAFormula(formula, f"The brackets in “{formula[:60]}” do not match.")
            inner = nested.pop()
        elif found[0] in weights:
            inner = weights[found[0]]
        else:
            raise NotAFormula(formula, f"The element {found[0]} in {formula[:60]} has no atomic weight here.")
        nested[-1] += inner * int(number or 1)
    if len(nested) > 1 or not piece:
        raise NotAFormula(formula, f"The brackets in “{formula[:60]}” do not match.")
    return nested[0]
