"""Bench codes: eight letters on a slip of paper that open one session for one learner.

A code is derived, not drawn: whoever holds the centre's key and knows session, learner and serial can
print it again, so that nobody needs to keep it. What is kept is a keyed digest under another name.
"""

from __future__ import annotations

import hashlib
import hmac
import re

#: 32 signs, so each stands for 5 bits. Without I, L, O (read as 1, 1, 0) and U (read as V).
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 8
LOOK_ALIKES = str.maketrans({"O": "0", "I": "1", "L": "1", "U": "V"})
_SEPARATORS = re.compile(r"[\s\-_.\u2010-\u2015\u2212\u00ad\u200b]+")

#: A whole class shares one address: this many slips of the finger cost nobody any time.
FREE_TRIES = 10
LONGEST_WAIT_S = 60


class UnreadableCode(ValueError):
    """What was typed cannot be a bench code; the message says why."""

    def __init__(self, typed: str, why: str) -> None:
        self.typed = typed
        super().__init__(why)


def bench_code(key: bytes, *, session: str, learner: str, serial: int) -> str:
    """Derive the code of one learner for one session: the first 40 bits of a keyed digest.

    Parameters
    ----------
    key : bytes
        The centre's secret [-].
    session : str
        Public identity of the session [-].
    learner : str
        Token of the learner [-].
    serial : int
        Rises by one when the code is replaced [-], 1 or more.

    Returns
    -------
    str
        Eight signs of `ALPHABET`.

    References
    ----------
    .. [1] RFC 2104, HMAC: Keyed-Hashing for Message Authentication; RFC 4231 has test values.
    .. [2] D. Crockford, Base 32, the alphabet and its look-alikes.
    """
    text = f"bench code|{session}|{learner}|{serial}"
    number = int.from_bytes(hmac.new(key, text.encode(), hashlib.sha256).digest()[:5], "big")
    return "".join(ALPHABET[number >> shift & 31] for shift in range(5 * (LENGTH - 1), -1, -5))


def code_digest(key: bytes, code: str) -> str:
    """Give the only form of a code that is kept: it finds the code's row and cannot be turned back.

    Parameters
    ----------
    key : bytes
        The centre's secret [-].
    code : str
        A code as `read_code` gives it [-].

    Returns
    -------
    str
        64 hexadecimal digits.

    References
    ----------
    .. [1] RFC 2104, HMAC: Keyed-Hashing for Message Authentication.
    """
    return hmac.new(key, f"digest of a bench code|{code}".encode(), hashlib.sha256).hexdigest()


def read_code(typed: str) -> str:
    """Read a code as people type it: any case, with spaces or hyphens, O for 0, I or L for 1, U for V.

    Parameters
    ----------
    typed : str
        What stands in the field [-].

    Returns
    -------
    str
        Eight signs of `ALPHABET`.

    Raises
    ------
    UnreadableCode
        If it is empty, too short, too long or holds a sign that no code has.

    References
    ----------
    .. [1] D. Crockford, Base 32: decoding accepts either case and the look-alikes.
    """
    code = _SEPARATORS.sub("", typed).upper().translate(LOOK_ALIKES)
    if not code:
        raise UnreadableCode(typed, "Type the bench code from your slip: eight letters and digits.")
    for sign in code:
        if sign not in ALPHABET:
            why = f"A bench code has letters and digits only; “{sign}” is neither. Look at your slip again."
            raise UnreadableCode(typed, why)
    if len(code) != LENGTH:
        why = f"A bench code has {LENGTH} letters and digits; this has {len(code)}. Look at your slip again."
        raise UnreadableCode(typed, why)
    return code


def grouped(code: str) -> str:
    """Write a code the way it is printed, in two groups of four.

    Parameters
    ----------
    code : str
        Eight signs [-].

    Returns
    -------
    str
        Such as ``7KQ2-M9XA``.

    References
    ----------
    .. [1] Common practice, no source.
    """
    return f"{code[:4]}-{code[4:]}"


def wait_s(wrong_tries: int) -> int:
    """Say how long after the last of some wrong tries the next one is heard.

    Parameters
    ----------
    wrong_tries : int
        How many there were lately for one class word at one address [-], 0 or more.

    Returns
    -------
    int
        Nothing for the first ten, then 5 s, 10 s, 20 s, 40 s and 60 s from then on [s]. At one try a
        minute, one of thirty valid codes out of 2^40 is guessed in about 67 000 years on average.

    References
    ----------
    .. [1] Common practice, no source.
    """
    beyond = wrong_tries - FREE_TRIES
    return 0 if beyond < 0 else min(LONGEST_WAIT_S, 5 * 2 ** min(beyond, 10))
