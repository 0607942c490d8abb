"""What the colour of a located spot says about a substance: further evidence, never the only one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
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
# "Not yellow" or "no purple seen" names a colour that was not there.
_DENIED = frozenset({"no", "not", "non", "none", "nothing", "never", "without", "neither", "nor"})
# "Yellowish", "yellowy": the same family; "reddish" and others that change their letters stand above.
_ENDINGS = ("ish", "y")
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


def names_a_colour(text: str) -> bool:
    """Whether a text names a colour that is told apart here; "none seen" and "not yellow" do not.

    Parameters
    ----------
    text : str
        A colour as noted, in words [-].

    Returns
    -------
    bool
        False also for words that are not known, which then say nothing.

    References
    ----------
    .. [1] Common practice, no source.
    """
    return bool(_families(text))


def colour_remark(compatible: Sequence[tuple[str, str]], others: Iterable[str]) -> str:
    """Where the colour of a spot would tell more than its place, as a sentence.

    Parameters
    ----------
    compatible : sequence of (str, str)
        Name and colour in words of each standard that the spot is compatible with [-].
    others : iterable of str
        Colours of the other standards on the paper [-].

    Returns
    -------
    str
        What to look for; empty if the colours tell nothing or none is stated.

    References
    ----------
    .. [1] With ninhydrin proline yellow, other amino acids purple: NIN1, NIN2 in SOURCES.csv.
    """
    colours = dict(compatible)
    named = ", ".join(f"{name} gives {colour}" for name, colour in colours.items() if colour)
    if not named:
        return ""
    here = list(colours.values())
    if len(here) > 1:
        apart = any(colour_evidence(here[0], colour) == "against" for colour in here[1:])
        return f"The colour of the spot may tell them apart: {named}." if apart else ""
    if any(colour_evidence(here[0], colour) == "against" for colour in others):
        return f"The colour of the spot is further evidence: {named}."
    return ""


def _families(text: str) -> set[str]:
    words = re.findall(r"[a-z]+", text.casefold())
    if _DENIED.intersection(words):
        return set()
    return {family for word in words if (family := _family(word))}


def _family(word: str) -> str:
    if word in _FAMILY:
        return _FAMILY[word]
    stems = (word.removesuffix(ending) for ending in _ENDINGS if word.endswith(ending))
    return next((_FAMILY[end] for stem in stems for end in (stem, f"{stem}e") if end in _FAMILY), "")
