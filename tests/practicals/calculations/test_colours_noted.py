"""The colour that a learner noted is evidence beside the place, never in its stead.

With ninhydrin proline gives yellow, other amino acids purple: NIN1, NIN2 in SOURCES.csv.
"""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from practicals.calculations.colours_noted import noted_words, standard_colour
from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.measured import measure
from practicals.calculations.review import review_readings

D = Decimal

PAPER = PaperFacts(
    width_mm=D(120),
    height_mm=D(150),
    origin_height_mm=D(10),
    ruler_division_mm=D(1),
    lanes=(
        LaneFacts(1, "alanine", "L-alanine", True, "purple"),
        LaneFacts(2, "proline", "L-proline", True, "yellow to orange-brown, slow to appear"),
        LaneFacts(3, "leucine", "L-leucine", True, "purple"),
        LaneFacts(4, "x", "unknown X", False),
    ),
)


def found(unknown="", *, alanine="", proline="", named="", at=54, places=(53, 55, 85)):
    """Alanine and proline 2 mm apart on a run of 100 mm; the unknown between them."""
    colours = (alanine, proline, "")
    lanes = [
        LaneEntry(number, (SpotEntry(D(place), colour=colour),))
        for number, (place, colour) in enumerate(zip(places, colours, strict=True), start=1)
    ]
    lanes.append(LaneEntry(4, (SpotEntry(D(at), colour=unknown, identified_as=named),)))
    entry = ReadingEntry(origin_mm=D(10), front_mm=D(110), lanes=tuple(lanes))
    return measure(review_readings(entry, paper=PAPER), paper=PAPER)


def unknown(*colours, **more):
    (one,) = found(*colours, **more).unknowns
    return one


def test_without_a_colour_the_two_cannot_be_told_apart():
    one = unknown()
    assert one.identification.names == ("L-alanine", "L-proline")
    assert "may tell them apart" in one.colour


def test_yellow_leaves_proline_and_purple_leaves_alanine():
    yellow, purple = unknown("yellow"), unknown("Purple")
    assert yellow.identification.names == ("L-proline",)
    assert "L-alanine would stand there too, but the colour speaks against it" in yellow.identification.words
    assert purple.identification.names == ("L-alanine",)
    assert yellow.colour == (
        "Its colour was noted as yellow; L-alanine gives purple; L-proline gives yellow to orange-brown, slow"
        " to appear."
    )


def test_what_was_noted_of_the_standard_on_the_same_paper_counts_too():
    # Proline noted as green, near its stated yellow; only beside that standard is a green unknown supported.
    one = unknown("green", alanine="purple", proline="yellow-green")
    assert one.identification.names == ("L-proline",)
    assert one.colour == (
        "Its colour was noted as green; that of L-alanine beside it as purple; that of L-proline beside it as"
        " yellow-green."
    )


def test_a_standard_that_came_out_in_another_colour_says_nothing_by_it_and_is_pointed_out():
    measured = found("yellow", proline="purple")
    (one,) = measured.unknowns
    assert one.identification.names == ("L-proline",)
    assert "Its colour fits as well" not in one.identification.words
    (odd,) = measured.odd_colours
    assert odd.startswith(
        "Lane 2, L-proline: its colour was noted as purple, but it is stated to give yellow"
    )
    assert found("yellow", proline="yellow").odd_colours == ()


@pytest.mark.parametrize("noted", ["none seen", "not yellow", "no colour", "?x", "faint", "colourless"])
def test_words_that_name_no_colour_tell_nothing(noted):
    one = unknown(noted)
    assert one.identification.names == ("L-alanine", "L-proline")
    assert f"noted as {noted}" in one.colour


def test_colour_alone_makes_no_match():
    one = unknown("yellow", at=70)
    assert one.identification.verdict == "none"
    assert one.colour == "Its colour was noted as yellow."


def test_a_colour_against_the_only_candidate_is_said_and_the_place_still_counts():
    one = unknown("yellow", at=85, named="leucine")
    assert one.identification.names == ("L-leucine",)
    assert "its colour speaks against this" in one.identification.words
    assert one.naming.verdict == "agrees"
    assert "the colour that was noted speaks against it" in one.naming.sentence


def test_a_naming_that_the_colour_contradicts_is_judged_and_kept():
    one = unknown("yellow", named="alanine")
    assert one.naming.verdict == "not compatible"
    assert one.spot.identified_as == "alanine"


@pytest.mark.parametrize(
    ("noted", "stated", "counts"),
    [
        ("yellow", "", "yellow"),
        ("", "purple", "purple"),
        ("violet", "purple", "violet, purple"),
        ("purple", "purple", "purple"),
        ("yellow", "purple", ""),
        ("none seen", "purple", "purple"),
    ],
)
def test_the_colour_that_counts_for_a_standard(noted, stated, counts):
    assert standard_colour(noted, stated) == counts


def test_none_seen_of_a_standard_leaves_what_is_stated():
    assert unknown("yellow", alanine="none seen").identification.names == ("L-proline",)


def test_nothing_noted_is_no_sentence():
    assert noted_words("", [("alanine", "purple", "purple")]) == ""


WORDS = st.sampled_from(
    ["", "purple", "yellow", "none seen", "blue", "not yellow", "brown-red", "\N{SNOWMAN}"]
)


@settings(deadline=None, max_examples=60)
@given(
    st.tuples(WORDS, WORDS, WORDS),
    st.sampled_from(["", "alanine", "proline", "leucine"]),
    st.integers(15, 105),
)
def test_places_decide_and_colours_only_choose_among_them(colours, named, at):
    """Whatever is noted, what is compatible stands at the place, and something that stands there is left."""
    own, alanine, proline = colours
    plain = unknown(at=at, named=named).identification
    with_colours = unknown(own, alanine=alanine, proline=proline, at=at, named=named)
    assert set(with_colours.identification.compatible) <= set(plain.compatible)
    assert bool(with_colours.identification.compatible) == bool(plain.compatible)
    assert with_colours.spot.identified_as == named
