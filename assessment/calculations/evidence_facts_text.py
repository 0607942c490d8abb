"""Facts about a learner's evidence as one exact text, so that a submission can freeze them."""

import json
from dataclasses import asdict, fields
from typing import Any

from assessment.calculations.evidence_map import EvidenceFacts
from assessment.calculations.manifest import canonical_text

#: Facts that came after work had been frozen: written only where there are any, so that equal evidence
#: keeps the text, and with it the hash, that it always had.
ADDED_LATER = frozenset({"attachments", "half_signed"})


class EvidenceFactsError(ValueError):
    """A text that holds no facts; the message says what is wrong with it."""


def facts_as_json(facts: EvidenceFacts) -> str:
    """Return the one JSON text of the facts; sets of codes become sorted lists.

    Parameters
    ----------
    facts : EvidenceFacts
        What a learner has for an assignment.

    Returns
    -------
    str
        Canonical JSON.

    References
    ----------
    RFC 8259 (JSON). The order of keys is this project's rule, see `manifest.canonical_text`.
    """
    return canonical_text(
        {
            name: sorted(value) if isinstance(value, frozenset) else value
            for name, value in asdict(facts).items()
            if value or name not in ADDED_LATER
        }
    )


def facts_from_json(text: str) -> EvidenceFacts:
    """Read facts back from their text.

    Parameters
    ----------
    text : str
        What `facts_as_json` wrote, in this or an earlier version: a fact it does not name counts as none.

    Returns
    -------
    EvidenceFacts
        The facts.

    Raises
    ------
    EvidenceFactsError
        If the text is not an object, names a fact that is not known, or holds a value of another kind.

    References
    ----------
    RFC 8259 (JSON).
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise EvidenceFactsError(f"These facts are not readable as JSON: {error}.") from error
    if not isinstance(data, dict):
        raise EvidenceFactsError("Facts are an object of names and values, not a bare value.")
    defaults = {field.name: field.default for field in fields(EvidenceFacts)}
    unknown = sorted(set(data) - set(defaults))
    if unknown:
        raise EvidenceFactsError(f"“{unknown[0]}” is no fact that this version knows.")
    values: dict[str, Any] = {name: _value(name, value, defaults[name]) for name, value in data.items()}
    return EvidenceFacts(**values)


def _value(name: str, value: object, default: object) -> object:
    if isinstance(default, frozenset):
        if isinstance(value, list) and all(isinstance(code, str) for code in value):
            return frozenset(value)
    elif type(value) is type(default) and not (isinstance(value, int) and value < 0):
        return value
    raise EvidenceFactsError(f"The fact “{name}” has the value {value!r}, which is of the wrong kind.")
