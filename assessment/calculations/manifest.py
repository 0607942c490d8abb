"""The freeze: a manifest that says, by digest, exactly what evidence a submission held.

The manifest names the learner by a token, so that erasing the person breaks no hash, and gives the
SHA-256 and the length of each part. Equal evidence gives an equal text and so an equal hash. An erased
part leaves its digest behind.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

PartState = Literal["matches", "differs", "missing", "erased", "not in the manifest"]


class ManifestError(ValueError):
    """Evidence that cannot be frozen, or a manifest that cannot be read; the message says why."""


@dataclass(frozen=True)
class Manifest:
    """The canonical text of a freeze and the SHA-256 of that text as UTF-8."""

    text: str
    sha256: str


@dataclass(frozen=True)
class PartCheck:
    """What was found when one part was held against the manifest."""

    part: str
    state: PartState


def digest(content: bytes) -> str:
    """Return the SHA-256 of some bytes.

    Parameters
    ----------
    content : bytes
        The exact bytes.

    Returns
    -------
    str
        64 lower-case hexadecimal digits.

    References
    ----------
    FIPS 180-4, Secure Hash Standard.
    """
    return hashlib.sha256(content).hexdigest()


def canonical_text(value: object) -> str:
    """Return the one JSON text of a value, so that equal values give equal bytes.

    Parameters
    ----------
    value : object
        Mappings with text keys, lists, text, whole numbers, booleans, None, and decimals, which become
        text exactly as they were typed ("12.50" stays "12.50").

    Returns
    -------
    str
        JSON with keys sorted by code point, no spaces, characters unescaped.

    Raises
    ------
    ManifestError
        If a binary float or anything else without one exact text is inside.

    References
    ----------
    RFC 8259 (JSON). The order of keys and the decimals as text are this project's rule.
    """
    text = json.dumps(
        _exact(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise ManifestError(
            "The text holds half a character, which cannot be stored. Type it again."
        ) from error
    return text


def freeze(schema_version: int, learner_token: str, parts: Mapping[str, bytes]) -> Manifest:
    """Freeze a submission's evidence.

    Parameters
    ----------
    schema_version : int
        Version of the form the parts are written in, from 1 [-].
    learner_token : str
        Token that stands for the learner, never the name.
    parts : mapping of str to bytes
        Name and exact bytes of each part, such as readings, writing, photo.

    Returns
    -------
    Manifest
        Canonical text and its SHA-256.

    Raises
    ------
    ManifestError
        If there is no part, a part has no name, or token or version are absent.

    References
    ----------
    FIPS 180-4 (SHA-256); RFC 8259 (JSON).
    """
    if isinstance(schema_version, bool) or schema_version < 1:
        raise ManifestError("A freeze needs the version of its form, 1 or higher.")
    if not learner_token.strip():
        raise ManifestError("A freeze needs the learner's token.")
    if not parts:
        raise ManifestError("There is nothing to freeze: no part of the evidence was given.")
    if any(not name.strip() for name in parts):
        raise ManifestError("Every part of the evidence needs a name.")
    text = canonical_text(
        {
            "learner": learner_token,
            "parts": {name: {"bytes": len(part), "sha256": digest(part)} for name, part in parts.items()},
            "schema_version": schema_version,
        }
    )
    return Manifest(text, digest(text.encode("utf-8")))


def is_intact(manifest_text: str, sha256: str) -> bool:
    """Say whether a manifest's text is still the one that was hashed.

    Parameters
    ----------
    manifest_text : str
        The text as kept.
    sha256 : str
        The hash as printed, capitals and spaces at its ends ignored.

    Returns
    -------
    bool
        True when they belong together.

    References
    ----------
    FIPS 180-4, Secure Hash Standard.
    """
    return digest(manifest_text.encode("utf-8", errors="surrogatepass")) == sha256.strip().lower()


def check(manifest_text: str, parts: Mapping[str, bytes | None]) -> list[PartCheck]:
    """Hold the parts that are kept against a manifest.

    Parameters
    ----------
    manifest_text : str
        Text of the manifest.
    parts : mapping of str to bytes or None
        The bytes that are kept now; None for a part known to have been erased.

    Returns
    -------
    list of PartCheck
        One for each part of the manifest in order of name, then one for each part it does not name.

    Raises
    ------
    ManifestError
        If the text is not a manifest.

    References
    ----------
    FIPS 180-4 (SHA-256); RFC 8259 (JSON).
    """
    frozen = _frozen_parts(manifest_text)
    found = [PartCheck(name, _state(name, frozen[name], parts)) for name in sorted(frozen)]
    return found + [PartCheck(name, "not in the manifest") for name in sorted(set(parts) - set(frozen))]


def _state(name: str, frozen: tuple[str, int], parts: Mapping[str, bytes | None]) -> PartState:
    if name not in parts:
        return "missing"
    kept = parts[name]
    if kept is None:
        return "erased"
    return "matches" if (digest(kept), len(kept)) == frozen else "differs"


def _frozen_parts(manifest_text: str) -> dict[str, tuple[str, int]]:
    try:
        parts = json.loads(manifest_text)["parts"]
        return {name: (str(part["sha256"]), int(part["bytes"])) for name, part in parts.items()}
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError) as error:
        raise ManifestError(
            "This text is not a manifest of evidence. Give the manifest as it was issued."
        ) from error


def _exact(value: object) -> object:
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, Decimal) and value.is_finite():
        return str(value)
    if isinstance(value, Mapping):
        if not all(isinstance(key, str) for key in value):
            raise ManifestError("Only names made of text can stand in frozen evidence.")
        return {key: _exact(item) for key, item in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return [_exact(item) for item in value]
    raise ManifestError(
        f"{value!r} has no single exact text and cannot be frozen. Give text, whole numbers or decimals."
    )
