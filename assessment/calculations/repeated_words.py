"""Whether a sentence about one learner says something of its own, and whether many learners got the same.

It compares words, not meanings: it asks, it never accuses and never refuses for likeness.
"""

import re
import unicodedata
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

#: Words of its own that a sentence needs, and the share of equal words from which two are called alike.
#: Common practice, no source; both are arguments wherever they count.
LEAST_WORDS = 4
ALIKE_FROM = 0.85

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")


@dataclass(frozen=True, slots=True)
class Repeated:
    """Texts that are the same or nearly so: `keys` in the order given, least `share` of equal words [-]."""

    keys: tuple[str, ...]
    share: float


def words_in(text: str, ignored: Collection[str] = ()) -> tuple[str, ...]:
    """Split a text into words that can be compared: small letters, no punctuation, one form of each letter.

    Parameters
    ----------
    text : str
        What somebody wrote.
    ignored : collection of str
        Texts whose words do not count, such as the learners' names.

    Returns
    -------
    tuple of str
        The words in their order.

    References
    ----------
    Unicode Standard Annex 15 (normalisation form KC). What counts as a word is this project's own.
    """
    dropped = {word for one in ignored for word in words_in(one)}
    whole = unicodedata.normalize("NFKC", text).casefold()
    return tuple(word for word in _WORD.findall(whole) if word not in dropped)


def share_of_equal_words(first: Sequence[str], second: Sequence[str]) -> float:
    """Say how much two texts have in common, each word counted as often as it stands there.

    Parameters
    ----------
    first, second : sequence of str
        Words, as `words_in` gives them.

    Returns
    -------
    float
        Twice the words in common over the words of both [-]: 0 nothing, 1 the same words; two empty
        texts are the same.

    References
    ----------
    Dice, L. R. (1945). Measures of the amount of ecologic association between species. Ecology 26,
    297-302 (the coefficient; here over words with their counts).
    """
    both = len(first) + len(second)
    if not both:
        return 1.0
    return 2 * (Counter(first) & Counter(second)).total() / both


def find_repeated(
    texts: Mapping[str, str], *, ignored: Collection[str] = (), alike_from: float = ALIKE_FROM
) -> list[Repeated]:
    """Find the texts that many learners share, word for word or nearly so.

    Parameters
    ----------
    texts : mapping of str to str
        What was written, by whom it is about. Empty texts do not count.
    ignored : collection of str
        Texts whose words do not count, such as the learners' names.
    alike_from : float
        Share of equal words from which two texts are called alike [-].

    Returns
    -------
    list of Repeated
        One for each set of alike texts, the largest first. A text belongs to a set if it is alike to
        the first of it.

    Raises
    ------
    ValueError
        If the share is not above 0 and at most 1.

    References
    ----------
    Identical text for many learners as the commonest complaint of verifiers: common practice, no source.
    """
    if not 0 < alike_from <= 1:
        raise ValueError("The share from which texts are alike lies above 0 and is at most 1.")
    dropped = {word for one in ignored for word in words_in(one)}
    split = {key: words_in(text, dropped) for key, text in texts.items()}
    sets: list[tuple[tuple[str, ...], list[str], float]] = []
    for key, words in split.items():
        if not words:
            continue
        for place, (head, keys, least) in enumerate(sets):
            share = share_of_equal_words(head, words)
            if share >= alike_from:
                keys.append(key)
                sets[place] = (head, keys, min(least, share))
                break
        else:
            sets.append((words, [key], 1.0))
    found = [Repeated(tuple(keys), least) for _, keys, least in sets if len(keys) > 1]
    return sorted(found, key=lambda one: -len(one.keys))


def words_of_its_own(text: str, sources: Iterable[str]) -> int:
    """Count the words that are not copied from a criterion or an item.

    Parameters
    ----------
    text : str
        What somebody wrote about one learner.
    sources : iterable of str
        Texts it may have been copied from.

    Returns
    -------
    int
        Words left when every run of the text that is a whole source is taken out, and none if the text as
        a whole stands in a source [-].

    References
    ----------
    A record is to say what this learner did, in enough detail for another person to judge, and not to
    repeat what is asked: two generations of public guidance on observation records, read side by side.
    """
    words = words_in(text)
    copied = sorted({words_in(source) for source in sources} - {()}, key=len, reverse=True)
    if any(_place(words, source) is not None for source in copied):
        return 0
    left = words
    for source in copied:
        while (at := _place(source, left)) is not None:
            left = left[:at] + left[at + len(source) :]
    return len(left)


def _place(wanted: tuple[str, ...], inside: tuple[str, ...]) -> int | None:
    """Where a run of words stands in another, if it does."""
    if not wanted:
        return None
    starts = range(len(inside) - len(wanted) + 1)
    return next((at for at in starts if inside[at : at + len(wanted)] == wanted), None)
