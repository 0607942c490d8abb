"""What a submission froze besides readings and writing: attached files, by their digests; what was seen."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from assessment.calculations.frozen_paper import FrozenRemark, FrozenTextError


@dataclass(frozen=True, slots=True)
class FrozenAttachment:
    """A file that was handed in with the work; `size` in bytes."""

    title: str
    kind: str
    media_type: str
    sha256: str
    size: int


def read_attachments(text: str) -> tuple[FrozenAttachment, ...]:
    """Read the list of attached files that a submission froze.

    Parameters
    ----------
    text : str
        JSON list of objects with title, kind, media_type, sha256 and size [byte].

    Returns
    -------
    tuple of FrozenAttachment
        The files, in the order in which they were added.

    Raises
    ------
    FrozenTextError
        If the text is not such a list.

    References
    ----------
    RFC 8259 (JSON). The schema is this project's own.
    """
    try:
        return tuple(
            FrozenAttachment(
                str(item["title"]),
                str(item["kind"]),
                str(item["media_type"]),
                str(item["sha256"]),
                int(item["size"]),
            )
            for item in json.loads(text)
        )
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise FrozenTextError("This part is no list of attached files.") from error


@dataclass(frozen=True, slots=True)
class FrozenItem:
    """What was ticked, in the words of the criterion it belongs to."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class FrozenObservation:
    """An observation record as it was handed in; people stand in it by token."""

    practical: str
    assessor: str
    criteria: tuple[str, ...]
    did: str
    items: tuple[FrozenItem, ...]
    notes: tuple[FrozenRemark, ...]
    signed_at: datetime
    learner_signed_at: datetime | None
    learner_comment: str


@dataclass(frozen=True, slots=True)
class FrozenStatement:
    """A witness statement as it was handed in; the witness stands in it by token and role."""

    practical: str
    witness: str
    witness_role: str
    criteria: tuple[str, ...]
    asked_for: str
    saw: str
    signed_at: datetime
    accepted_at: datetime | None
    worth: str


def read_observations(text: str) -> tuple[FrozenObservation, ...]:
    """Read the observation records that a submission froze.

    Parameters
    ----------
    text : str
        JSON list of records.

    Returns
    -------
    tuple of FrozenObservation
        The records, in the order in which they were signed.

    Raises
    ------
    FrozenTextError
        If the text is not such a list.

    References
    ----------
    RFC 8259 (JSON), RFC 3339 (times). The schema is this project's own.
    """
    try:
        return tuple(_observation(item) for item in json.loads(text))
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise FrozenTextError("This part is no list of observation records.") from error


def read_statements(text: str) -> tuple[FrozenStatement, ...]:
    """Read the witness statements that a submission froze.

    Parameters
    ----------
    text : str
        JSON list of statements.

    Returns
    -------
    tuple of FrozenStatement
        The statements, in the order in which they were signed.

    Raises
    ------
    FrozenTextError
        If the text is not such a list.

    References
    ----------
    RFC 8259 (JSON), RFC 3339 (times). The schema is this project's own.
    """
    try:
        return tuple(_statement(item) for item in json.loads(text))
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise FrozenTextError("This part is no list of witness statements.") from error


def _observation(item: Any) -> FrozenObservation:
    return FrozenObservation(
        practical=str(item["practical"]),
        assessor=str(item["assessor"]),
        criteria=tuple(str(code) for code in item["criteria"]),
        did=str(item["did"]),
        items=tuple(FrozenItem(str(one["code"]), str(one["text"])) for one in item["items"]),
        notes=tuple(
            FrozenRemark(datetime.fromisoformat(one["at"]), str(one["text"])) for one in item["notes"]
        ),
        signed_at=datetime.fromisoformat(item["signed_at"]),
        learner_signed_at=_moment(item["learner_signed_at"]),
        learner_comment=str(item["learner_comment"]),
    )


def _statement(item: Any) -> FrozenStatement:
    return FrozenStatement(
        practical=str(item["practical"]),
        witness=str(item["witness"]),
        witness_role=str(item["witness_role"]),
        criteria=tuple(str(code) for code in item["criteria"]),
        asked_for=str(item["asked_for"]),
        saw=str(item["saw"]),
        signed_at=datetime.fromisoformat(item["signed_at"]),
        accepted_at=_moment(item["accepted_at"]),
        worth=str(item["worth"]),
    )


def _moment(text: str) -> datetime | None:
    return datetime.fromisoformat(text) if text else None
