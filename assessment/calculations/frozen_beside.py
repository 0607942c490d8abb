"""What a submission froze besides readings and writing: attached files, by their digests."""

import json
from dataclasses import dataclass

from assessment.calculations.frozen_paper import FrozenTextError


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
