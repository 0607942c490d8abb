"""What a criterion can ask for as evidence, as data that a unit file and a record can hold."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

MOST_ASKED_FOR = 5000
MOST_ITEMS, LONGEST_ITEM = 20, 160


class EvidenceNeedError(ValueError):
    """An evidence need that cannot be read; the message says why."""


@dataclass(frozen=True)
class EvidenceNeed:
    """One kind of evidence a criterion asks for.

    `at_least` counts papers for readings, values for own_rf and checks, unknowns for identification, words
    for conclusion and evaluation, photos for photo, files for attachment; an observation is one record that
    names the criterion, and `items` are what to look for at the bench, to be ticked in it.
    `other_source` says that readings of another group's paper or of supplied data count as well.
    """

    kind: str
    at_least: int = 1
    other_source: bool = False
    items: tuple[str, ...] = ()


def read_need(data: Mapping[str, object]) -> EvidenceNeed:
    """Read one evidence need, as it stands in a unit file or in stored JSON.

    Parameters
    ----------
    data : mapping
        ``kind`` and optionally ``at_least``, ``other_source`` and, for an observation, ``items``.

    Returns
    -------
    EvidenceNeed
        The need.

    Raises
    ------
    EvidenceNeedError
        If the kind is unknown, the count is out of range, a key is not known, or items are no short texts.

    References
    ----------
    The form is this project's own.
    """
    unknown = sorted(set(data) - {"kind", "at_least", "other_source", "items"})
    if unknown:
        raise EvidenceNeedError(f"An evidence need has no entry “{unknown[0]}”.")
    kind, at_least, other = data.get("kind"), data.get("at_least", 1), data.get("other_source", False)
    if not isinstance(kind, str) or kind not in NEED_KINDS:
        raise EvidenceNeedError(f"“{kind}” is no kind of evidence. Use one of {', '.join(NEED_KINDS)}.")
    if isinstance(at_least, bool) or not isinstance(at_least, int) or not 1 <= at_least <= MOST_ASKED_FOR:
        raise EvidenceNeedError(
            f"“at_least” must be a whole number from 1 to {MOST_ASKED_FOR}, not {at_least!r}."
        )
    if not isinstance(other, bool):
        raise EvidenceNeedError("“other_source” must be true or false.")
    return EvidenceNeed(kind, at_least, other, _items(kind, data.get("items", [])))


def need_as_dict(need: EvidenceNeed) -> dict[str, object]:
    """Return a need in the form that `read_need` reads.

    Parameters
    ----------
    need : EvidenceNeed
        The need.

    Returns
    -------
    dict
        Text, numbers and booleans only, ready for JSON.

    References
    ----------
    The form is this project's own.
    """
    data: dict[str, object] = {
        "kind": need.kind,
        "at_least": need.at_least,
        "other_source": need.other_source,
    }
    return {**data, "items": list(need.items)} if need.items else data


def describe_need(need: EvidenceNeed) -> str:
    """Say in words what a need asks for, for a brief or a page.

    Parameters
    ----------
    need : EvidenceNeed
        The need.

    Returns
    -------
    str
        A phrase without a full stop.

    Raises
    ------
    EvidenceNeedError
        If the kind is unknown.

    References
    ----------
    The words are this project's own.
    """
    if need.kind not in NEED_KINDS:
        raise EvidenceNeedError(f"“{need.kind}” is no kind of evidence. Use one of {', '.join(NEED_KINDS)}.")
    phrase = _PHRASES[need.kind](need.at_least)
    if need.items:
        phrase = f"{phrase} ({'; '.join(need.items)})"
    return f"{phrase}, or supplied instead" if need.other_source else phrase


def _items(kind: str, data: object) -> tuple[str, ...]:
    if not isinstance(data, list | tuple) or not all(isinstance(item, str) and item.strip() for item in data):
        raise EvidenceNeedError('“items” is a list of short texts, such as ["origin drawn in pencil"].')
    if data and kind != "observation":
        raise EvidenceNeedError(f"Only an observation has items to tick, not “{kind}”.")
    items = tuple(" ".join(item.split()) for item in data)
    if len(items) > MOST_ITEMS or any(len(item) > LONGEST_ITEM for item in items):
        raise EvidenceNeedError(
            f"An observation has at most {MOST_ITEMS} items of at most {LONGEST_ITEM} characters each."
        )
    if len(set(items)) < len(items):
        raise EvidenceNeedError("The same item stands twice in one observation.")
    return items


def _writing_words(what: str, words: int) -> str:
    return f"a written {what}, about {words} words or more" if words > 1 else f"a written {what}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun if number == 1 else noun + 's'}"


_PHRASES: dict[str, Callable[[int], str]] = {
    "readings": lambda n: f"complete readings of {_count(n, 'paper')}",
    "own_rf": lambda n: f"{_count(n, 'own retardation factor')}, checked against the readings",
    "identification": lambda n: f"{_count(n, 'unknown')} identified",
    "conclusion": lambda n: _writing_words("conclusion", n),
    "evaluation": lambda n: _writing_words("evaluation", n),
    "observation": lambda _: "an observation record by the assessor",
    "photo": lambda n: f"{_count(n, 'photo')} of the paper",
    "checks": lambda n: f"every own value agrees with its readings, {n} or more of them, none flagged",
    "attachment": lambda n: f"{_count(n, 'attached report')}, or a page made elsewhere",
}

NEED_KINDS = tuple(_PHRASES)
"""The kinds of evidence that can be named, in the order to show them."""
