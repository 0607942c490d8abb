"""Sentences that many learners share, and sentences that are the criterion's own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.repeated_words import (
    find_repeated,
    share_of_equal_words,
    words_in,
    words_of_its_own,
)

WORDS = st.lists(st.sampled_from(["drew", "the", "origin", "in", "pencil", "steady", "spots"]), max_size=12)
CRITERION = "Set up a paper so that it can run: a pencil origin above the liquid."


def test_words_are_compared_without_case_punctuation_and_names():
    assert words_in("Drew the ORIGIN, in pencil!") == ("drew", "the", "origin", "in", "pencil")
    assert words_in("Amina's origin; Ámina drew.", ignored=["Ámina Bell"]) == ("amina's", "origin", "drew")


def test_share_of_equal_words_dice_1945():
    # Dice, L. R. (1945), Ecology 26, 297-302: 2h / (a + b); here h = 3, a = 4, b = 5 words.
    assert share_of_equal_words(["a", "b", "c", "d"], ["a", "b", "c", "x", "y"]) == pytest.approx(6 / 9)
    assert share_of_equal_words(["a", "a"], ["a"]) == pytest.approx(2 / 3)


@given(WORDS, WORDS)
def test_the_share_is_even_handed_and_lies_between_nothing_and_all(first, second):
    share = share_of_equal_words(first, second)
    assert 0 <= share <= 1
    assert share == share_of_equal_words(second, first)
    assert (share == 1) == (sorted(first) == sorted(second))


@given(st.text(max_size=60))
def test_the_same_text_twice_is_always_found_if_it_has_a_word(text):
    found = find_repeated({"a": text, "b": text.upper().lower()})
    if words_in(text) and words_in(text) == words_in(text.upper().lower()):
        assert [one.keys for one in found] == [("a", "b")]
    if not words_in(text):
        assert found == []


def test_a_text_that_differs_by_the_name_alone_is_repeated_and_one_of_its_own_is_not():
    texts = {
        "1": "Amina drew the origin in pencil and kept the spots small.",
        "2": "Ben drew the origin in pencil and kept the spots small!",
        "3": "Drew a second line after the first was smudged, then spotted with a steady hand.",
        "4": "",
        "5": "",
    }
    found = find_repeated(texts, ignored=["Amina Bell", "Ben Cole"])
    assert [(one.keys, one.share) for one in found] == [(("1", "2"), 1.0)]


def test_how_alike_texts_must_be_is_an_argument():
    texts = {"1": "one two three four", "2": "one two three five"}
    assert find_repeated(texts) == []
    assert find_repeated(texts, alike_from=0.75)[0].share == 0.75
    with pytest.raises(ValueError, match="at most 1"):
        find_repeated(texts, alike_from=0)


@pytest.mark.parametrize(
    ("text", "own"),
    [
        (CRITERION, 0),
        ("set up a paper SO that it can run", 0),
        ("", 0),
        ("...", 0),
        (f"Amina: {CRITERION}", 1),
        (f"{CRITERION} Wore goggles. {CRITERION}", 2),
        ("Redrew the origin after smudging it.", 6),
    ],
)
def test_words_copied_from_the_criterion_are_not_words_about_the_learner_public_guidance(text, own):
    # Enough detail for another person to judge, no list of skills: guidance on observation records, read.
    assert words_of_its_own(text, [CRITERION, "Wore goggles all the time."]) == own


@given(WORDS, WORDS)
def test_a_source_between_own_words_takes_away_just_itself(before, after):
    source = ["copied", "from", "elsewhere"]
    assert words_of_its_own(" ".join(before + source + after), [" ".join(source)]) == len(before + after)
