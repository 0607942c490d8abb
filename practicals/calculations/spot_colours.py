"""What the colour of a located spot says about a substance: further evidence, never the only one."""

from __future__ import annotations

import re
from typing import Literal

ColourEvidence = Literal["supports", "against", "silent"]

_FAMILIES = {
    "yellow": ("yellow", "golden"),
    "orange": ("orange", "amber"),
    "brown": ("brown", "brownish", "tan"),
    "red": ("red", "reddish", "crimson", "scarlet"),
    "pink": ("pink", "pinkish", "rose"),
    "purple": ("purple", "violet", "mauve", "lilac", "magenta"),
    "blue": ("blue", "bluish", "indigo", "navy"),
    "green": ("green", "greenish"),
    "grey": ("grey", "gray", "black"),
}
_FAMILY = {word: family for family, words in _FAMILIES.items() for word in words}
# Two people call one spot by either name, so such a pair speaks neither for nor against: common practice,
# no source.
_NEAR = {
    frozenset(pair)
    for pair in (
        ("yellow", "orange"),
        ("yellow", "green"),
        ("yellow", "brown"),
        ("orange", "brown"),
        ("orange", "red"),
        ("red", "brown"),
        ("red", "pink"),
        ("pink", "purple"),
        ("purple", "blue"),
        ("blue", "green"),
        ("grey", "purple"),
        ("grey", "blue"),
        ("grey", "green"),
        ("grey", "brown"),
    )
}


def colour_evidence(seen: str, expected: str) -> ColourEvidence:
    """Whether a colour as seen speaks for or against a substance.

    Parameters
    ----------
    seen : str
        The colour that was noted, in words [-]; empty if none was.
    expected : str
        The colour that the substance gives, in words [-]; several are alternatives.

    Returns
    -------
    {"supports", "against", "silent"}
        "silent" where either is not known, or the two are often called by each other's name.

    References
    ----------
    .. [1] With ninhydrin proline yellow, asparagine brown, other amino acids purple: NIN1, NIN2 in
       SOURCES.csv.
    """
    found, wanted = _families(seen), _families(expected)
    if not found or not wanted:
        return "silent"
    if found & wanted:
        return "supports"
    near = any(frozenset((one, other)) in _NEAR for one in found for other in wanted)
    return "silent" if near else "against"


def _families(text: str) -> set[str]:
    return {_FAMILY[word] for word in re.findall(r"[a-z]+", text.casefold()) if word in _FAMILY}
