"""What is known of each substance, each value with its source, and short sentences for its hazard codes."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from functools import cache, lru_cache

from reagents.calculations.tables import number, rows

LONGEST_FORMULA = 60
_HYPHENS = str.maketrans(dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014", "-"))
LABEL_NOTICE = (
    "These sentences are short wording for a prep list, not the legal text: the supplier's label and "
    "safety data sheet have that, and the employer's risk assessment and local rules decide."
)


class UnknownSubstance(ValueError):
    """No shipped record has this name; the message is a sentence, `name` what was asked for."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(message)
        self.name = name


class NotAFormula(ValueError):
    """A formula that cannot be read, or with an element that has no weight here."""

    def __init__(self, formula: str, message: str) -> None:
        super().__init__(message)
        self.formula = formula


class NotACasNumber(ValueError):
    """A CAS number of the wrong form, or with a wrong check digit; the message says which is expected."""

    def __init__(self, cas: str, message: str) -> None:
        super().__init__(message)
        self.cas = cas


@dataclass(frozen=True)
class Substance:
    """One substance; None where no value is known. Limits in parts per million are the British ones."""

    name: str
    synonyms: tuple[str, ...]
    cas: str
    formula: str
    molar_mass: Decimal | None
    density_20: Decimal | None
    boiling_point_c: str
    flash_point_c: Decimal | None
    lower_flammable_percent: Decimal | None
    upper_flammable_percent: Decimal | None
    long_term_limit_ppm: Decimal | None
    short_term_limit_ppm: Decimal | None
    pictograms: tuple[str, ...]
    signal_word: str
    hazard_codes: tuple[str, ...]
    possible_codes: tuple[str, ...]
    classification_note: str
    ate_oral_mg_per_kg: Decimal | None
    source_keys: tuple[str, ...]
    read_or_memory: str


@dataclass(frozen=True)
class Statement:
    """A hazard or precaution code and a short sentence of our own for it."""

    code: str
    kind: str
    short: str
    source_keys: tuple[str, ...]
    read_or_memory: str


@dataclass(frozen=True)
class BottleForm:
    """A salt or hydrate in which a substance is usually sold; molar mass is that of the whole form."""

    name: str
    substance: str
    formula: str
    molar_mass: Decimal
    note: str
    read_or_memory: str


def _pieces(text: str) -> tuple[str, ...]:
    return tuple(piece.strip() for piece in text.split(";") if piece.strip())


_CODE = re.compile(r"EUH\d{3}|H\d{3}[A-Za-z]{0,2}")


def _from_row(row: dict[str, str]) -> Substance:
    certain, _, conditional = row["h_codes"].partition("(")
    return Substance(
        name=row["name"],
        synonyms=_pieces(row["synonym"]),
        cas=row["cas"],
        formula=row["formula"],
        molar_mass=number(row["molar_mass"]),
        density_20=number(row["density_20"]),
        boiling_point_c=row["bp_c"],
        flash_point_c=number(row["flash_c"]),
        lower_flammable_percent=number(row["lel_pct"]),
        upper_flammable_percent=number(row["uel_pct"]),
        long_term_limit_ppm=number(row["wel_twa_ppm"]),
        short_term_limit_ppm=number(row["wel_stel_ppm"]),
        pictograms=_pieces(row["ghs_pictograms"]),
        signal_word=row["signal"],
        hazard_codes=tuple(_CODE.findall(certain)),
        possible_codes=tuple(_CODE.findall(conditional)),
        classification_note=row["h_codes"] if row["h_codes"].startswith("not") else conditional.rstrip(")"),
        ate_oral_mg_per_kg=number(row["ate_oral"]),
        source_keys=_pieces(row["source_key"]),
        read_or_memory=row["read_or_memory"],
    )


@cache
def substances() -> tuple[Substance, ...]:
    """Every shipped substance.

    Returns
    -------
    tuple of Substance
        In the order of the table.

    References
    ----------
    .. [1] `reagents/data/substances.csv`; keys in `reagents/data/SOURCES.csv`.
    """
    return tuple(_from_row(row) for row in rows("substances"))


def _key(name: str) -> str:
    return re.sub(r"[\s\u00a0]+", " ", name).strip().casefold()


@cache
def _by_name() -> dict[str, Substance]:
    found: dict[str, Substance] = {}
    for one in substances():
        for name in (one.name, one.cas, *one.synonyms):
            found.setdefault(_key(name), one)
    return found


def substance(name: str) -> Substance:
    """Find a substance by its name, another name or its CAS number.

    Parameters
    ----------
    name : str
        Such as "butan-1-ol", "n-butanol" or "71-36-3"; case and spaces do not matter [-].

    Returns
    -------
    Substance
        The shipped record.

    Raises
    ------
    UnknownSubstance
        With a sentence that offers names like it.

    References
    ----------
    .. [1] `reagents/data/substances.csv`; keys in `reagents/data/SOURCES.csv`.
    """
    found = _by_name().get(_key(name))
    if found is not None:
        return found
    raise UnknownSubstance(
        name, f"“{name[:60]}” is not among the substances known here; {_hint(_key(name)[:60])}"
    )


@lru_cache(maxsize=512)
def _hint(key: str) -> str:
    """A name like the one asked for. Kept, since a list asks for the same unknown dye again and again."""
    near = get_close_matches(key, _by_name(), n=1, cutoff=0.7)
    return f"did you mean {_by_name()[near[0]].name}?" if near else "check the spelling or enter its data."


def check_cas(cas: str) -> bool:
    """Whether a CAS number is well formed and its check digit holds.

    The last digit is the sum of the others, each times its place from the right, modulo 10.

    Parameters
    ----------
    cas : str
        Such as "71-36-3" [-].

    Returns
    -------
    bool
        True when the form and the digit are right.

    References
    ----------
    .. [1] CAS, Check Digit Verification of CAS Registry Numbers (from memory).
    """
    if not re.fullmatch(r"[1-9][0-9]{1,6}-[0-9]{2}-[0-9]", cas):
        return False
    *digits, check = (int(digit) for digit in cas.replace("-", ""))
    return sum(place * digit for place, digit in enumerate(reversed(digits), start=1)) % 10 == check


def check_digit_of(cas: str) -> int:
    """The check digit that belongs to the other digits of a CAS number.

    Parameters
    ----------
    cas : str
        Such as "71-36-3"; its last digit is not looked at [-].

    Returns
    -------
    int
        The digit that should stand last [-].

    References
    ----------
    .. [1] CAS, Check Digit Verification of CAS Registry Numbers (from memory).
    """
    digits = [int(digit) for digit in cas if digit.isascii() and digit.isdigit()][:-1]
    return sum(place * digit for place, digit in enumerate(reversed(digits), start=1)) % 10


def checked_cas(cas: str) -> str:
    """A CAS number as it was typed, without spaces, when its form and check digit are right.

    Parameters
    ----------
    cas : str
        What was typed [-].

    Returns
    -------
    str
        The number.

    Raises
    ------
    NotACasNumber
        With the digit that was expected.

    References
    ----------
    .. [1] `check_digit_of`.
    """
    tidy = re.sub(r"[\s\u200b]", "", cas).translate(_HYPHENS)
    if check_cas(tidy):
        return tidy
    if not re.fullmatch(r"[1-9][0-9]{1,6}-[0-9]{2}-[0-9]", tidy):
        raise NotACasNumber(
            cas, f"“{cas.strip()[:30]}” is not a CAS number; write it with its two hyphens, such as 71-36-3."
        )
    digit = check_digit_of(tidy)
    raise NotACasNumber(
        cas,
        f"The CAS number {tidy} is mistyped: its last digit should be {digit}, or another digit is wrong. "
        "Compare it with the bottle.",
    )


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


def bottle_forms(name: str) -> tuple[BottleForm, ...]:
    """Salts and hydrates in which a substance is usually sold: ask which before weighing.

    Parameters
    ----------
    name : str
        Name of the substance [-].

    Returns
    -------
    tuple of BottleForm
        Empty when none is listed.

    Raises
    ------
    UnknownSubstance
        When the name is not known.

    References
    ----------
    .. [1] `reagents/data/bottle_forms.csv`: from memory, checked against the formula.
    """
    wanted = substance(name).name
    return tuple(
        BottleForm(
            name=row["name"],
            substance=row["substance"],
            formula=row["formula"],
            molar_mass=Decimal(row["molar_mass"]),
            note=row["note"],
            read_or_memory=row["read_or_memory"],
        )
        for row in rows("bottle_forms")
        if row["substance"] == wanted
    )


@cache
def _statements() -> dict[str, Statement]:
    return {
        row["code"]: Statement(
            row["code"], row["kind"], row["short"], _pieces(row["source_key"]), row["read_or_memory"]
        )
        for row in rows("statements")
    }


def statement(code: str) -> Statement:
    """The short sentence for a hazard or precaution code; see `LABEL_NOTICE`.

    Parameters
    ----------
    code : str
        Such as "H226" or "P403+P233" [-].

    Returns
    -------
    Statement
        Code and sentence.

    Raises
    ------
    UnknownSubstance
        When no sentence is shipped for the code.

    References
    ----------
    .. [1] `reagents/data/statements.csv`: our own words; the legal text is in CLP Annexes III and IV.
    """
    found = _statements().get(code.strip())
    if found is None:
        raise UnknownSubstance(code, f"No sentence is known here for the code {code[:20]}; read the label.")
    return found


def hazard_sentences(codes: Iterable[str]) -> list[str]:
    """Code and short sentence for each, for a prep list that also shows `LABEL_NOTICE`.

    Parameters
    ----------
    codes : iterable of str
        Hazard codes [-].

    Returns
    -------
    list of str
        Such as "H226: Flammable liquid and vapour: ...".

    Raises
    ------
    UnknownSubstance
        When no sentence is shipped for a code.

    References
    ----------
    .. [1] `reagents/data/statements.csv`: our own words; the legal text is in CLP Annex III.
    """
    return [f"{code}: {statement(code).short}" for code in codes]
