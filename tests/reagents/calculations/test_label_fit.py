"""A label's words, pictograms and QR code never leave it and never lie on each other."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reagents.calculations.label_fit import Limits, TooSmall, Words, fit, wrap
from reagents.calculations.label_size import pictogram_width

LIMITS = Limits(wanted_side=16, least_side=10, wanted_letters=2.3, least_letters=1.9, qr=13)
WORDS = Words(
    title="Butan-1-ol mixture",
    contents=("butan-1-ol 54 %, ethanoic acid 18 %, water 28 % by mass",),
    signal_word="Danger",
    hazards=("H226: Catches fire when warm.", "H315: Irritates skin.", "H318: Damages eyes seriously."),
    precautions=tuple(f"P{number}: Do this and that with care." for number in (210, 261, 280, 310, 403, 501)),
    data=("Batch 24N-AAA", "made 24 Nov 2026", "use by 25 Nov 2026", "by TT"),
    notices=("The legal wording and the supplier's safety data sheet come first.",),
)


def half(text, bold):
    """Every letter half as wide as high: the sums can be done in the head."""
    return 0.5 * len(text)


def laid(words=WORDS, width=71.0, height=49.0, pictograms=3, limits=LIMITS):
    return fit(words, width_mm=width, height_mm=height, pictograms=pictograms, limits=limits, measure=half)


def rectangles(found):
    for block in found.blocks:
        long = max(half(line, block.bold) for line in block.lines) * block.letters
        yield block.left, block.top, block.left + long, block.bottom
    for spot in (*found.pictograms, found.qr):
        yield spot.left, spot.top, spot.left + spot.size, spot.top + spot.size


def apart(one, other, slack=1e-6):
    return (
        one[2] <= other[0] + slack
        or other[2] <= one[0] + slack
        or one[3] <= other[1] + slack
        or other[3] <= one[1] + slack
    )


def check(found):
    boxes = list(rectangles(found))
    for left, top, right, bottom in boxes:
        assert min(left, top) >= 0
        assert right <= found.width + 1e-6
        assert bottom <= found.height + 1e-6
    for place, one in enumerate(boxes):
        assert all(apart(one, other) for other in boxes[place + 1 :])


def test_lines_break_between_words_hand_worked():
    # Letters of 2 mm, each 1 mm wide with a hundredth of slack: 10 mm hold 9 letters.
    assert wrap("one two three", 10, 2, bold=False, measure=half) == ("one two", "three")


def test_a_long_word_is_cut_and_a_no_break_space_holds_together():
    assert wrap("abcdefghijkl", 10, 2, bold=False, measure=half) == ("abcdefghi", "jkl")
    assert wrap("a 12\u00a0mL x", 6, 2, bold=False, measure=half) == ("a", "12\u00a0mL", "x")


def test_no_room_for_a_letter_is_refused():
    with pytest.raises(TooSmall):
        wrap("a", 0.5, 2, bold=False, measure=half)


@pytest.mark.parametrize("pictograms", range(6))
@pytest.mark.parametrize(("width", "height"), [(102, 71), (71, 102), (145, 102), (84, 65)])
def test_nothing_leaves_the_label_and_nothing_overlaps(width, height, pictograms):
    check(laid(width=width, height=height, pictograms=pictograms))


def test_it_is_read_along_the_longer_side():
    assert not laid(width=102, height=71).turned
    assert laid(width=71, height=102).turned
    assert (laid(width=71, height=102).width, laid(width=71, height=102).height) == (102, 71)


def test_all_that_is_said_is_printed_word_for_word():
    found = laid(width=102, height=71)
    printed: dict[str, list[str]] = {}
    for block in found.blocks:
        printed.setdefault(block.part, []).append(" ".join(block.lines))
    assert printed["title"] == ["Butan-1-ol mixture"]
    assert printed["hazards"] == [" ".join(WORDS.hazards)]
    assert printed["precautions"] == [" ".join(WORDS.precautions)]
    assert printed["signal"] == ["Danger"]
    assert printed["notice"] == list(WORDS.notices)


def test_letters_give_way_first_then_pictograms_then_precautions_then_the_last_of_the_letters():
    wide, narrower, small, smallest = (laid(width=71, height=high) for high in (90, 56, 46, 44))
    assert (wide.side, wide.left_off) == (16, 0)
    assert wide.letters > LIMITS.wanted_letters
    assert narrower.side < 16
    assert narrower.left_off == 0
    assert narrower.letters >= LIMITS.wanted_letters
    assert small.side == 10
    assert 0 < small.left_off <= 2
    assert small.letters >= LIMITS.wanted_letters
    assert LIMITS.least_letters <= smallest.letters < LIMITS.wanted_letters


def test_contents_and_hazards_never_give_way():
    long = replace(WORDS, contents=(", ".join(f"amino acid {n} 0.01 mol/L" for n in range(60)),))
    with pytest.raises(TooSmall, match="larger labels"):
        laid(long)


def test_a_large_pictogram_on_a_narrow_label_is_refused():
    with pytest.raises(TooSmall):
        laid(width=30, height=30, limits=replace(LIMITS, wanted_side=23, least_side=23))


def test_pictograms_are_squares_on_their_corners():
    found = laid(width=102, height=71)
    assert {round(spot.size, 6) for spot in found.pictograms} == {round(pictogram_width(found.side), 6)}


@settings(max_examples=60, deadline=None)
@given(
    contents=st.text(alphabet="abcdefgh ,%", max_size=400),
    title=st.text(alphabet="ABCDEFGHijklmnop ", min_size=1, max_size=160),
    pictograms=st.integers(0, 5),
    width=st.floats(40, 150),
    height=st.floats(30, 200),
)
def test_whatever_it_says_it_fits_or_is_refused(contents, title, pictograms, width, height):
    words = replace(WORDS, title=title, contents=(contents,))
    try:
        found = laid(words, width=width, height=height, pictograms=pictograms)
    except TooSmall:
        return
    check(found)
    assert 10 <= found.side <= 16
