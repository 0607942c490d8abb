"""What is known of each substance, each value with its source, and short sentences for its hazard codes."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from functools import cache, lru_cache

from reagents.calculations.tables import number, rows

LABEL_NOTICE = (
    "These sentences are short wording for a prep list, not the legal text: the supplier's label and "
    "safety data sheet have that, and the employer's risk assessment and local rules decide."
)


class UnknownSubstance(ValueError):
    """No shipped record has this name; the message is a sentence, `name` what was asked for."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(message)
        self.name = name


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
