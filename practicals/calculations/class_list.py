"""Class lists as offices export them: which columns are needed, which rows can be used, and why not."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MOST_ROWS = 500
LONGEST_NAME = 120
LONGEST_REFERENCE = 40

#: Usual headings, in small letters without signs.
HEADINGS: dict[str, tuple[str, ...]] = {
    "name": (
        "name",
        "full name",
        "learner",
        "learner name",
        "student",
        "student name",
        "pupil",
        "pupil name",
        "display name",
    ),
    "first name": (
        "first name",
        "firstname",
        "forename",
        "forenames",
        "given name",
        "givenname",
        "given names",
        "preferred name",
        "preferred forename",
        "known as",
    ),
    "last name": (
        "last name",
        "lastname",
        "surname",
        "family name",
        "familyname",
        "legal surname",
        "preferred surname",
    ),
    "learner number": (
        "learner number",
        "learner no",
        "learner id",
        "learner reference",
        "learner ref",
        "student number",
        "student no",
        "student id",
        "student reference",
        "student ref",
        "pupil number",
        "admission number",
        "admission no",
        "adno",
        "reference",
        "ref",
        "number",
        "no",
        "id",
        "identifier",
    ),
}
_MEANING = {heading: meaning for meaning, headings in HEADINGS.items() for heading in headings}


class NotAClassList(ValueError):
    """The table has no column of names; the message says what was found."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One learner of the list, and the row of the file it stands in."""

    row: int
    name: str
    sort_name: str
    reference: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one row."""

    row: int
    sentence: str


@dataclass(frozen=True, slots=True)
class ClassList:
    """What was read: learners, faulty rows, and which columns were used and left out."""

    entries: tuple[Entry, ...]
    faults: tuple[Fault, ...]
    used: tuple[str, ...]
    dropped: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """A learner the centre has already."""

    name: str
    reference: str = ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """The list held against the class and the centre."""

    new: tuple[Entry, ...]
    elsewhere: tuple[Entry, ...]
    already: tuple[Entry, ...]
    faults: tuple[Fault, ...]


def read_class_list(table: Sequence[Sequence[str]]) -> ClassList:
    """Find names and learner numbers in a table; every other column is left out.

    Parameters
    ----------
    table : Sequence[Sequence[str]]
        Rows of cells as text, headings among the first ten rows [-].

    Returns
    -------
    ClassList
        Learners and faulty rows; rows are counted from 1 as a spreadsheet does.

    Raises
    ------
    NotAClassList
        If no row has a heading for names, or nothing stands below it.

    References
    ----------
    .. [1] Headings: common practice, no source.
    """
    place, columns = _find_headings(table)
    headings = [_tidy(cell) for cell in table[place]]
    faults: list[Fault] = []
    entries: list[Entry] = []
    for row, cells in enumerate(table[place + 1 :], start=place + 2):
        tidied = [_tidy(cell) for cell in cells]
        if not any(tidied):
            continue
        try:
            entries.append(_entry(row, tidied, columns))
        except ValueError as error:
            faults.append(Fault(row, str(error)))
    if not entries and not faults:
        raise NotAClassList("There are headings and no learner below them. Choose the file with the list.")
    if len(entries) > MOST_ROWS:
        raise NotAClassList(f"The list has {len(entries)} learners; {MOST_ROWS} can be taken at once.")
    faults += _twice(entries)
    taken = set(columns.values())
    return ClassList(
        entries=tuple(entries),
        faults=tuple(sorted(faults, key=lambda fault: fault.row)),
        used=tuple(headings[index] for index in sorted(taken)),
        dropped=tuple(name for index, name in enumerate(headings) if name and index not in taken),
    )


def are_headings(cells: Sequence[str]) -> bool:
    """Tell whether a row has headings for names.

    Parameters
    ----------
    cells : Sequence[str]
        Cells of the row [-].

    Returns
    -------
    bool
        True if a name, or a first and a last name, can be taken from the columns.

    References
    ----------
    .. [1] Headings: common practice, no source.
    """
    columns = _columns(cells)
    return "name" in columns or {"first name", "last name"} <= columns.keys()


def compare(
    entries: Sequence[Entry], *, in_class: Sequence[Known], in_centre: Mapping[str, Known]
) -> Comparison:
    """Hold a list against the learners that the class and the centre have already.

    A learner number decides who is who. Without one a name that the class has already is a fault: it may
    be the same person or a namesake.

    Parameters
    ----------
    entries : Sequence[Entry]
        The list [-].
    in_class : Sequence[Known]
        Learners of the class [-].
    in_centre : Mapping[str, Known]
        Every learner who has a number, by that number in small letters [-].

    Returns
    -------
    Comparison
        Who is new, who comes from elsewhere in the centre, who is in the class already, and faults.

    References
    ----------
    .. [1] Common practice, no source.
    """
    numbers = {known.reference.casefold() for known in in_class if known.reference}
    names = {_alike(known.name) for known in in_class}
    new: list[Entry] = []
    elsewhere: list[Entry] = []
    already: list[Entry] = []
    faults: list[Fault] = []
    for entry in entries:
        number = entry.reference.casefold()
        known = in_centre.get(number) if number else None
        if known and _alike(known.name) != _alike(entry.name):
            faults.append(Fault(entry.row, _other_name(entry)))
        elif known:
            (already if number in numbers else elsewhere).append(entry)
        elif _alike(entry.name) in names:
            faults.append(Fault(entry.row, _namesake(entry)))
        else:
            new.append(entry)
    return Comparison(tuple(new), tuple(elsewhere), tuple(already), tuple(faults))


def sign_in_stem(name: str) -> str:
    """Take the letters that a learner's sign-in name starts with from their first name.

    Parameters
    ----------
    name : str
        Name as it is said, first name first [-].

    Returns
    -------
    str
        Up to ten letters a to z; ``learner`` where the name has none.

    References
    ----------
    .. [1] Unicode Standard Annex 15, normalisation form KD, takes accents off.
    """
    first = name.split()[0] if name.split() else ""
    plain = unicodedata.normalize("NFKD", first).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z]", "", plain)[:10] or "learner"


def _find_headings(table: Sequence[Sequence[str]]) -> tuple[int, dict[str, int]]:
    first_filled: Sequence[str] = ()
    for place, cells in enumerate(table[:10]):
        if are_headings(cells):
            return place, _columns(cells)
        if not first_filled and any(cell.strip() for cell in cells):
            first_filled = cells
    if not first_filled:
        raise NotAClassList("The file is empty. Choose the file with the class list.")
    seen = ", ".join(f"“{_tidy(cell)[:30]}”" for cell in first_filled[:8] if cell.strip())
    raise NotAClassList(
        f"No column of names was found. The first row says {seen}. "
        "Head the columns Name, or First name and Last name; Learner number may stand beside them."
    )


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """Meaning of each column that is needed; the first one counts where two mean the same."""
    found: dict[str, int] = {}
    for index, cell in enumerate(cells):
        heading = re.sub(r"[^a-z0-9]+", " ", cell.casefold()).strip()
        meaning = _MEANING.get(heading)
        if meaning:
            found.setdefault(meaning, index)
    if {"first name", "last name"} <= found.keys():
        found.pop("name", None)
    elif "name" in found:
        found = {meaning: at for meaning, at in found.items() if meaning in {"name", "learner number"}}
    return found


def _entry(row: int, cells: Sequence[str], columns: Mapping[str, int]) -> Entry:
    def at(meaning: str) -> str:
        place = columns.get(meaning)
        return cells[place] if place is not None and place < len(cells) else ""

    name, sort_name = _names(at("first name"), at("last name"), at("name"))
    reference = at("learner number")
    if not any(letter.isalpha() for letter in name):
        raise ValueError("The name is missing." if not name else f"“{name[:40]}” is not a name.")
    if max(len(name), len(sort_name)) > LONGEST_NAME:
        raise ValueError(f"The name is longer than {LONGEST_NAME} letters. Are two columns swapped?")
    if len(reference) > LONGEST_REFERENCE:
        raise ValueError(f"The learner number is longer than {LONGEST_REFERENCE} signs.")
    return Entry(row, name, sort_name, reference)


def _names(first: str, last: str, whole: str) -> tuple[str, str]:
    """Give the name as it is said and the name to sort by."""
    if first or last:
        return f"{first} {last}".strip(), ", ".join(part for part in (last, first) if part)
    if "," in whole:
        last, first = (part.strip() for part in whole.split(",", 1))
        return f"{first} {last}".strip(), ", ".join(part for part in (last, first) if part)
    *given, family = whole.split() or [""]
    return whole, f"{family}, {' '.join(given)}" if given else family


def _twice(entries: Sequence[Entry]) -> list[Fault]:
    """Rows that name somebody who stands further up. Namesakes are told apart by their numbers."""
    faults: list[Fault] = []
    numbers: dict[str, Entry] = {}
    names: dict[str, Entry] = {}
    for entry in entries:
        number, name = entry.reference.casefold(), _alike(entry.name)
        if number and number in numbers:
            faults.append(
                Fault(
                    entry.row,
                    f"Learner number {entry.reference} stands in row {numbers[number].row} too. "
                    "Remove one of the two rows or correct the number.",
                )
            )
        elif name in names and not (number and names[name].reference):
            faults.append(
                Fault(
                    entry.row,
                    f"{entry.name} stands in row {names[name].row} too. Remove one of the two rows, or "
                    "give both their learner numbers if they are two people.",
                )
            )
        if number:
            numbers.setdefault(number, entry)
        names.setdefault(name, entry)
    return faults


def _other_name(entry: Entry) -> str:
    return (
        f"Learner number {entry.reference} belongs to somebody whose name is written otherwise. "
        "Check the number and the name."
    )


def _namesake(entry: Entry) -> str:
    return (
        f"A learner named {entry.name} is in the class already. Remove the row, or give learner numbers "
        "if they are two people."
    )


def _tidy(cell: str) -> str:
    """Text without control signs and doubled spaces; databases refuse the one, people mean neither."""
    printable = "".join(" " if unicodedata.category(sign)[0] in "CZ" else sign for sign in cell)
    return " ".join(unicodedata.normalize("NFC", printable).split())


def _alike(name: str) -> str:
    return unicodedata.normalize("NFKC", name).casefold()
