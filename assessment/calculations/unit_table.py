"""A unit as a table: one row for each criterion, from a spreadsheet. Every faulty row is named at once."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assessment.calculations.evidence_needs import EvidenceNeed, EvidenceNeedError, read_need
from assessment.calculations.evidence_words import kind_called, read_count, read_needs
from assessment.calculations.unit_file import LONGEST_CODE, CriterionDefinition

MOST_CRITERIA = 200
LONGEST_TEXT = 2000
HEADINGS: dict[str, tuple[str, ...]] = {
    "code": ("code", "criterion code", "criterion no", "no", "number", "ref", "reference"),
    "level": ("level", "grade", "band"),
    "text": ("text", "criterion", "what is asked", "description", "wording", "statement"),
    "evidence": ("evidence", "evidence needed", "needs", "what evidence", "evidence it needs"),
    "other source": ("other source", "or another source", "another source", "supplied data"),
}
_MEANING = {heading: meaning for meaning, headings in HEADINGS.items() for heading in headings}
_WANTED = ("code", "level", "text")


class NotAUnitTable(ValueError):
    """The table has no headings for criteria, or no criteria; the message says what was found."""


@dataclass(frozen=True, slots=True)
class RowFault:
    """What is wrong with one row, counted from 1 as a spreadsheet does."""

    row: int
    sentence: str


@dataclass(frozen=True, slots=True)
class UnitTable:
    """What was read: criteria, faulty rows, levels in their order, columns used and left out."""

    criteria: tuple[CriterionDefinition, ...]
    rows: tuple[int, ...]
    faults: tuple[RowFault, ...]
    levels: tuple[str, ...]
    used: tuple[str, ...]
    dropped: tuple[str, ...]


def are_unit_headings(cells: Sequence[str]) -> bool:
    """Tell whether a row has the headings that criteria need.

    Parameters
    ----------
    cells : Sequence[str]
        Cells of the row [-].

    Returns
    -------
    bool
        True with columns for code, level and text.

    References
    ----------
    .. [1] Headings: common practice, no source.
    """
    return set(_WANTED) <= set(_columns(cells).values())


def read_unit_table(table: Sequence[Sequence[str]], *, levels: Sequence[str] = ()) -> UnitTable:
    """Read criteria from the rows of a table.

    Parameters
    ----------
    table : Sequence[Sequence[str]]
        Rows of cells as text; headings among the first ten rows: code, level, text and optionally evidence in
        the words of `evidence_words`, or one column for each kind of evidence with its number [-].
    levels : Sequence[str]
        The levels allowed, lowest first; empty to take them in the order in which the rows name them [-].

    Returns
    -------
    UnitTable
        Criteria in the order of the rows, and a sentence for everything to correct.

    Raises
    ------
    NotAUnitTable
        If no row has the headings, or nothing stands below them.

    References
    ----------
    .. [1] Headings: common practice, no source.
    """
    place, columns = _find_headings(table)
    rows = [
        (number, [_tidy(cell) for cell in cells])
        for number, cells in enumerate(table[place + 1 :], start=place + 2)
        if any(_tidy(cell) for cell in cells)
    ]
    if not rows:
        raise NotAUnitTable(
            "There are headings and no criterion below them. Choose the file with the criteria."
        )
    if len(rows) > MOST_CRITERIA:
        raise NotAUnitTable(f"The table has {len(rows)} rows; a unit holds at most {MOST_CRITERIA} criteria.")
    faults: list[RowFault] = []
    criteria = [_criterion(row, cells, columns, levels, faults) for row, cells in rows]
    faults += _twice([(row, one.code) for (row, _), one in zip(rows, criteria, strict=True)])
    headings = [_tidy(cell) for cell in table[place]]
    return UnitTable(
        criteria=tuple(criteria),
        rows=tuple(row for row, _ in rows),
        faults=tuple(sorted(faults, key=lambda fault: fault.row)),
        levels=tuple(levels) or tuple(dict.fromkeys(one.level for one in criteria if one.level)),
        used=tuple(headings[at] for at in columns),
        dropped=tuple(name for at, name in enumerate(headings) if name and at not in columns),
    )


def _find_headings(table: Sequence[Sequence[str]]) -> tuple[int, dict[int, str]]:
    first: Sequence[str] = ()
    for place, cells in enumerate(table[:10]):
        if are_unit_headings(cells):
            return place, _columns(cells)
        first = first or [cell for cell in map(_tidy, cells) if cell]
    if not first:
        raise NotAUnitTable("The file is empty. Choose the file with the criteria.")
    seen = ", ".join(f"“{cell[:30]}”" for cell in first[:8])
    raise NotAUnitTable(
        f"No headings for criteria were found. The first row says {seen}. Head the columns Code, Level and "
        "Text; Evidence may stand beside them."
    )


def _columns(cells: Sequence[str]) -> dict[int, str]:
    """What each column means; the first one counts where two mean the same."""
    found: dict[int, str] = {}
    for at, cell in enumerate(cells):
        heading = re.sub(r"[\W_]+", " ", cell.casefold()).strip()
        meaning = _MEANING.get(heading) or kind_called(heading)
        if meaning and meaning not in found.values():
            found[at] = meaning
    return found


def _criterion(
    row: int,
    cells: Sequence[str],
    columns: Mapping[int, str],
    levels: Sequence[str],
    faults: list[RowFault],
) -> CriterionDefinition:
    held = {meaning: cells[at] if at < len(cells) else "" for at, meaning in columns.items()}
    for name, longest in (("code", LONGEST_CODE), ("text", LONGEST_TEXT), ("level", 20)):
        if not held[name]:
            faults.append(RowFault(row, f"The {name} is missing."))
        elif len(held[name]) > longest:
            faults.append(RowFault(row, f"The {name} is longer than {longest} characters. Shorten it."))
    level = _level(held["level"], levels)
    if level and levels and level not in levels:
        faults.append(RowFault(row, f"“{level}” is none of the levels {', '.join(levels)}."))
    return CriterionDefinition(held["code"], level, held["text"], _needs(row, held, faults))


def _level(typed: str, levels: Sequence[str]) -> str:
    """A level as it is listed; without a list in small letters, since people write Pass and PASS."""
    return next(
        (level for level in levels if level.casefold() == typed.casefold()),
        typed if levels else typed.lower(),
    )


def _needs(row: int, held: Mapping[str, str], faults: list[RowFault]) -> tuple[EvidenceNeed, ...]:
    needs: list[EvidenceNeed] = []
    try:
        needs += read_needs(held.get("evidence", ""))
    except EvidenceNeedError as error:
        faults.append(RowFault(row, str(error)))
    for meaning, cell in held.items():
        if kind_called(meaning) is None:
            continue
        try:
            number = read_count(cell)
            if number:
                other = meaning == "readings" and read_count(held.get("other source", "")) > 0
                needs.append(read_need({"kind": meaning, "at_least": number, "other_source": other}))
        except EvidenceNeedError as error:
            faults.append(RowFault(row, f"Under {meaning}: {error}"))
    kinds = [need.kind for need in needs]
    for kind in sorted({kind for kind in kinds if kinds.count(kind) > 1}):
        faults.append(RowFault(row, f"“{kind}” is asked for in two places; keep one of them."))
    return tuple(needs)


def _twice(codes: Sequence[tuple[int, str]]) -> list[RowFault]:
    first: dict[str, int] = {}
    faults = []
    for row, code in codes:
        if code and code.casefold() in first:
            stands = first[code.casefold()]
            faults.append(RowFault(row, f"The code {code} stands in row {stands} too; give each its own."))
        first.setdefault(code.casefold(), row)
    return faults


def _tidy(cell: str) -> str:
    """Without the invisible signs that spreadsheets and web pages leave, on one line."""
    plain = "".join(
        sign for sign in cell if unicodedata.category(sign) not in ("Cf", "Cc") or sign in "\n\t\r"
    )
    return "\n".join(" ".join(line.split()) for line in plain.splitlines() if line.strip())
