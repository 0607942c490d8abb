"""Sums of planning: clashes, what a class needs, published values of a practical's own system."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from practicals.calculations.clashes import Booking, clashes
from practicals.calculations.class_needs import (
    equipment_count,
    kept_total_ml,
    liquid_depth_mm,
    liquid_for_groups,
)
from practicals.calculations.published_system import PhasePart, published_in_system

LESSON = Booking("one", datetime(2026, 12, 8, 10, 0, tzinfo=UTC), 60, "Lab 2", "tess", "1A")


def other(minutes_later, **changed):
    start = LESSON.starts_at + timedelta(minutes=minutes_later)
    return replace(
        LESSON,
        session="two",
        room="Lab 9",
        leader="olu",
        teaching_class="2B",
        **changed,
        starts_at=start,
    )


def test_lessons_that_only_touch_do_not_clash_common_practice():
    same = {"room": "Lab 2", "leader": "tess", "teaching_class": "1A"}
    touching = [replace(other(minutes), **same) for minutes in (-60, 60)]
    assert clashes(LESSON, touching) == []


@pytest.mark.parametrize(
    ("shared", "word"),
    [({"room": " lab  2"}, "Lab 2"), ({"leader": "tess"}, "leader"), ({"teaching_class": "1A"}, "class")],
)
def test_what_two_overlapping_lessons_share_is_said(shared, word):
    (sentence,) = clashes(LESSON, [replace(other(59), **shared)])
    assert word in sentence


def test_overlapping_lessons_that_share_nothing_do_not_clash():
    assert clashes(LESSON, [other(10)]) == []


def test_two_lessons_of_one_session_at_once_are_said_once():
    assert len(clashes(LESSON, [replace(LESSON), replace(LESSON)])) == 1


def test_the_depth_is_that_of_a_cylinder():
    # Volume of a cylinder: 100 mL in 10 cm across stand 4 * 100 / (pi * 100) = 1.273 cm deep.
    assert liquid_depth_mm(Decimal(100), Decimal(100)) == Decimal("12.7")


def test_a_total_is_kept_rounded_up():
    assert kept_total_ml(Decimal("117.03")) == Decimal("117.1")
    assert kept_total_ml(Decimal(120)) == Decimal(120)


def test_liquid_and_equipment_go_by_their_numbers():
    assert liquid_for_groups(0, Decimal(2)) == liquid_for_groups(1, Decimal(2)) == 2
    assert [equipment_count(per, 2, groups=5, learners=16) for per in ("class", "group", "learner")] == [
        2,
        10,
        32,
    ]
    with pytest.raises(KeyError):
        equipment_count("school", 1, groups=1, learners=1)


def parts(*given):
    return [PhasePart(name, Decimal(amount) if amount else None, basis) for name, amount, basis in given]


def test_published_values_are_found_in_any_order_of_mixing():
    # Shipped row of the 12 : 3 : 5 table for leucine, unconfirmed: 0.73.
    volume = "parts by volume"
    mixture = parts(("butan-1-ol", "6", volume), ("water", "2.5", volume), ("ethanoic acid", "1.5", volume))
    (row,) = published_in_system("L-leucine", support="paper", parts=mixture)
    assert (row.rf, row.confirmed) == (Decimal("0.73"), False)


def test_another_ratio_has_no_published_value():
    volume = "parts by volume"
    mixture = parts(("butan-1-ol", "4", volume), ("water", "5", volume), ("ethanoic acid", "1", volume))
    assert published_in_system("L-leucine", support="paper", parts=mixture) == []


def test_a_salt_solution_is_found_by_its_strength():
    mixture = parts(("sodium chloride", "0.1", "% w/v"), ("water", None, "to volume"))
    assert published_in_system("Tartrazine", support="paper", parts=mixture)
    stronger = parts(("sodium chloride", "2", "% w/v"), ("water", None, "to volume"))
    assert published_in_system("Tartrazine", support="paper", parts=stronger) == []
