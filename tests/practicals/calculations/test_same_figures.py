from decimal import Decimal
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, norm

from practicals.calculations.same_figures import (
    ReadSet,
    agreement_chance,
    chance_of_as_many,
    in_words,
    same_figures,
)

NAMES = ["front", *(f"lane {lane} spot 1" for lane in range(1, 16))]


def read(reader, figures, paper="1"):
    return ReadSet(
        reader, paper, {name: Decimal(figure) for name, figure in zip(NAMES, figures, strict=False)}
    )


def test_four_readings_agree_one_time_in_five_known_figure():
    # Two honest readers, s 0.3 mm, ruler in 1 mm: four readings agree 20 % of the time (figure set for
    # this job beforehand). Here by calculation, 0.664 ** 4 = 0.19.
    assert agreement_chance(division_mm=1, reader_sd_mm=0.3) ** 4 == pytest.approx(0.20, abs=0.01)


@pytest.mark.parametrize("sd", [0.1, 0.3, 0.8])
def test_the_closed_form_agrees_with_integration_over_the_place(sd):
    # Independent route: both readers fall to the same mark; summed over marks, averaged over the place.
    places = [(step + 0.5) / 200 for step in range(200)]
    marks = range(-6, 8)
    both = [
        sum(
            (norm.cdf((mark + 0.5 - place) / sd) - norm.cdf((mark - 0.5 - place) / sd)) ** 2 for mark in marks
        )
        for place in places
    ]
    assert agreement_chance(division_mm=1, reader_sd_mm=sd) == pytest.approx(sum(both) / 200, abs=1e-5)


def test_the_chance_agrees_with_simulated_readers():
    random = Random(7)
    agree = 0
    for _ in range(20_000):
        place = random.uniform(0, 100)
        agree += round(place + random.gauss(0, 0.3)) == round(place + random.gauss(0, 0.3))
    assert agree / 20_000 == pytest.approx(agreement_chance(division_mm=1, reader_sd_mm=0.3), abs=0.012)


def test_as_many_agreeing_is_the_binomial_tail():
    for agreeing, readings in ((4, 4), (9, 10), (0, 5)):
        expected = binom.sf(agreeing - 1, readings, 0.664)
        assert chance_of_as_many(agreeing, readings, 0.664) == pytest.approx(expected, rel=1e-9)


def test_a_finer_ruler_makes_agreement_rarer():
    assert agreement_chance(division_mm=0.5) < agreement_chance(division_mm=1)
    assert agreement_chance(division_mm=1, reader_sd_mm=0) == 1


def test_four_whole_millimetre_readings_are_never_a_question():
    same = [10, 52, 61, 33]
    assert same_figures([read("a", same), read("b", same)], division_mm=1) == ()


def test_sixteen_equal_readings_are_a_question_with_the_chance_and_the_pairs():
    same = list(range(20, 36))
    sets = [read("a", same), read("b", same), read("c", [figure + 1 for figure in same])]
    (found,) = same_figures(sets, division_mm=1)
    assert {found.first, found.second} == {"a", "b"}
    assert found.pairs == 3
    assert found.chance == pytest.approx(0.6641**16, rel=0.01)
    assert found.at_most == pytest.approx(3 * found.chance)
    assert found.sentence.endswith("Did both read for themselves?")
    assert "all 16 readings" in found.sentence
    assert "3 pairs compared" in found.sentence


def test_one_changed_figure_does_not_hide_the_rest():
    same = list(range(20, 36))
    changed = [same[0] + 2, *same[1:]]
    (found,) = same_figures([read("a", same), read("b", changed)], division_mm=1)
    assert (found.agreeing, found.readings) == (15, 16)
    assert "15 of 16 readings" in found.sentence


def test_the_more_pairs_the_less_one_of_them_says():
    same = list(range(20, 30))
    others = [read(f"r{n}", [figure + n for figure in same], paper=str(n // 4)) for n in range(2, 40)]
    pair = [read("a", same, paper="x"), read("b", same, paper="x")]
    assert len(same_figures(pair, division_mm=1)) == 1
    assert same_figures([*pair, *others], division_mm=1) == ()


def test_different_papers_are_compared_only_where_asked_and_rarely_agree():
    same = [10, 52, 61, 33]
    sets = [read("a", same, paper="1"), read("b", same, paper="2")]
    assert same_figures(sets, division_mm=1) == ()
    (found,) = same_figures(sets, division_mm=1, between_papers_sd_mm=3)
    assert found.papers == ("1", "2")
    assert "two different papers" in found.sentence


def test_only_readings_that_both_made_are_compared():
    same = list(range(20, 36))
    first = read("a", same)
    second = ReadSet("b", "1", dict(list(first.readings.items())[6:]))
    (found,) = same_figures([first, second], division_mm=1)
    assert found.readings == 10


def test_a_reading_that_neither_made_is_no_agreement():
    short = read("a", [10, 20, 31, 44]), read("b", [11, 21, 32, 45])
    found = same_figures([*short, read("c", [12, 22, 33, 46, 50, 60])], division_mm=1, shown_at_most=9)
    assert found == ()


def test_ten_and_ten_point_nought_are_the_same_figure():
    first = read("a", [f"{figure}.0" for figure in range(20, 36)])
    assert len(same_figures([first, read("b", list(range(20, 36)))], division_mm=1)) == 1


@pytest.mark.parametrize("sets", [[], [read("a", [])], [read("a", []), read("b", [])]])
def test_nobody_one_reader_and_no_readings_give_nothing(sets):
    assert same_figures(sets, division_mm=1) == ()


def test_a_reader_is_not_compared_with_their_own_amendment():
    same = list(range(20, 36))
    assert same_figures([read("a", same), read("a", same)], division_mm=1) == ()


def test_five_hundred_readers_of_one_paper():
    random = Random(5)
    places = [random.uniform(20, 100) for _ in range(12)]
    sets = [read(f"r{n}", [round(place + random.gauss(0, 0.3)) for place in places]) for n in range(500)]
    # Honest readers: after correction for 124,750 pairs hardly any pair remains.
    assert len(same_figures(sets, division_mm=1)) == 0


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.194, "19 % of the time"),
        (0.05, "1 time in 20"),
        (0.0372, "1 time in 27"),
        (0.00022, "1 time in 4,500"),
        (1e-9, "less than 1 time in 100,000"),
    ],
)
def test_a_chance_in_words(chance, words):
    assert in_words(chance) == words


@pytest.mark.parametrize(
    "call",
    [
        lambda: agreement_chance(division_mm=0),
        lambda: agreement_chance(division_mm=1, reader_sd_mm=-1),
        lambda: chance_of_as_many(5, 4, 0.5),
    ],
)
def test_impossible_rulers_and_counts_are_refused(call):
    with pytest.raises(ValueError, match=r"above 0 mm|below 0 mm|cannot agree"):
        call()


@given(st.floats(0.05, 5), st.floats(0, 5), st.floats(0, 20))
def test_a_chance_is_a_chance(division, sd, apart):
    single = agreement_chance(division_mm=division, reader_sd_mm=sd, apart_mm=apart)
    assert -1e-12 <= single <= 1


@given(
    st.lists(st.integers(0, 3), min_size=4, max_size=10), st.lists(st.integers(0, 3), min_size=4, max_size=10)
)
def test_the_order_of_readers_does_not_matter(first, second):
    there = same_figures([read("a", first), read("b", second)], division_mm=1, shown_at_most=1)
    back = same_figures([read("b", second), read("a", first)], division_mm=1, shown_at_most=1)
    assert [(one.agreeing, one.chance) for one in there] == [(one.agreeing, one.chance) for one in back]
