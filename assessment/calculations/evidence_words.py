"""Evidence needs as a teacher writes them in a table or a form: ``readings 2; photo; own values 7``."""

import re
from collections.abc import Iterable

from assessment.calculations.evidence_needs import (
    MOST_ASKED_FOR,
    NEED_KINDS,
    EvidenceNeed,
    EvidenceNeedError,
    read_need,
)

#: What people write for a kind, beside its own name.
ALSO = {
    "complete readings": "readings",
    "reading": "readings",
    "papers": "readings",
    "own values": "own_rf",
    "own value": "own_rf",
    "own rf": "own_rf",
    "own r f": "own_rf",
    "checks passed": "checks",
    "checked values": "checks",
    "unknowns identified": "identification",
    "identified": "identification",
    "unknowns": "identification",
    "photos": "photo",
    "observation record": "observation",
    "observed": "observation",
    "attached report": "attachment",
    "attachments": "attachment",
    "report": "attachment",
    "attached file": "attachment",
}
OTHER_SOURCE = "or another source"
_BETWEEN_NEEDS, _BETWEEN_ITEMS = ";|+\n", ","
_NUMBER = re.compile(r"\d+(?:[.,]0+)?")
_ITEMS = re.compile(r"^(?P<head>[^:]*):(?P<items>.*)$", re.DOTALL)


def read_needs(text: str) -> tuple[EvidenceNeed, ...]:
    """Read what evidence a criterion needs from the words for it.

    Parameters
    ----------
    text : str
        Parts between semicolons, vertical bars, plus signs or line ends: a kind of evidence, how many, and
        ``or another source`` where readings need not be one's own. What is to be seen follows an observation
        after a colon, between commas: ``observation: origin in pencil, lanes labelled``. An item with such a
        sign in it stands in quotation marks.

    Returns
    -------
    tuple of EvidenceNeed
        In the order written; empty for an empty text.

    Raises
    ------
    EvidenceNeedError
        If a part is of no known kind or asks for an impossible number; the message quotes it.

    References
    ----------
    The words are this project's own.
    """
    needs = [_read(part) for part in _parts(text, _BETWEEN_NEEDS)]
    kinds = [need.kind for need in needs]
    for kind in NEED_KINDS:
        if kinds.count(kind) > 1:
            raise EvidenceNeedError(f"“{kind}” stands twice; write it once with the larger number.")
    return tuple(needs)


def needs_in_words(needs: Iterable[EvidenceNeed]) -> str:
    """Write needs in the words that `read_needs` reads.

    Parameters
    ----------
    needs : iterable of EvidenceNeed
        The needs.

    Returns
    -------
    str
        Parts between semicolons.

    References
    ----------
    The words are this project's own.
    """
    return "; ".join(_written(need) for need in needs)


def read_count(text: str) -> int:
    """Read a number of pieces as a spreadsheet cell may hold it.

    Parameters
    ----------
    text : str
        ``3``, ``3.0``, ``3,0``; ``x`` or ``yes`` for one; empty, ``no``, ``-`` or ``0`` for none.

    Returns
    -------
    int
        The number [-].

    Raises
    ------
    EvidenceNeedError
        If it is no whole number from 0 to 5000.

    References
    ----------
    Common practice, no source.
    """
    tidy = " ".join(text.split()).casefold()
    if tidy in {"", "-", "–", "no", "n", "0", "false"}:
        return 0
    if tidy in {"x", "yes", "y", "✓", "true"}:
        return 1
    number = int(re.split("[.,]", tidy)[0][:9]) if _NUMBER.fullmatch(tidy) and tidy.isascii() else -1
    if not 0 <= number <= MOST_ASKED_FOR:
        raise EvidenceNeedError(f"“{text.strip()[:40]}” is no whole number up to {MOST_ASKED_FOR}.")
    return number


def kind_called(name: str) -> str | None:
    """Return the kind of evidence that somebody's words name.

    Parameters
    ----------
    name : str
        Such as ``Own values``.

    Returns
    -------
    str or None
        The kind, or None when the words name none.

    References
    ----------
    The words are this project's own.
    """
    tidy = " ".join(re.split(r"[\s_]+", name)).strip().casefold()
    if tidy.replace(" ", "_") in NEED_KINDS:
        return tidy.replace(" ", "_")
    return ALSO.get(tidy)


def _read(part: str) -> EvidenceNeed:
    items: list[str] = []
    head = part
    if found := _ITEMS.match(part):
        head, items = found["head"], [item.strip('"') for item in _parts(found["items"], _BETWEEN_ITEMS)]
    words = " ".join(head.split())
    other = words.casefold().endswith(OTHER_SOURCE)
    if other:
        words = words[: -len(OTHER_SOURCE)].strip()
    counts = [word for word in words.split() if word[0].isdigit() or word[0] in "-−"]
    name = " ".join(word for word in words.split() if word not in counts)
    kind = kind_called(name)
    if kind is None or len(counts) > 1:
        raise EvidenceNeedError(
            f"“{part[:60]}” is no kind of evidence. Write one of {', '.join(NEED_KINDS)}, and how many."
        )
    data: dict[str, object] = {"kind": kind, "at_least": _at_least(counts), "other_source": other}
    return read_need({**data, "items": items} if items else data)


def _parts(text: str, between: str) -> list[str]:
    """Cut at the signs that stand outside quotation marks."""
    parts, quoted = [""], False
    for sign in text:
        quoted ^= sign == '"'
        if sign in between and not quoted:
            parts.append("")
        else:
            parts[-1] += sign
    return [part.strip() for part in parts if part.strip()]


def _at_least(counts: list[str]) -> int:
    return read_count(counts[0]) if counts else 1


def _written(need: EvidenceNeed) -> str:
    words = need.kind if need.at_least == 1 else f"{need.kind} {need.at_least}"
    if need.other_source:
        words += f" {OTHER_SOURCE}"
    return f"{words}: {', '.join(map(_item, need.items))}" if need.items else words


def _item(item: str) -> str:
    plain = item.replace('"', "”")
    return f'"{plain}"' if any(sign in plain for sign in _BETWEEN_NEEDS + _BETWEEN_ITEMS) else plain
