"""Records become values and a text that never changes of itself."""

import json
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from practicals.models import ReadingSet, Role, SpotReading
from practicals.models.canonical import canonical_text
from practicals.models.review import drawing_of, entry_of, measured_of, review
from tests.factories import enrol, make_readings, make_session, make_user


@pytest.fixture
def readings(cast):
    return make_readings(cast.session.groups.first().papers.first(), cast.learner)


def whole(readings):
    return ReadingSet.objects.whole().prefetch_related("paper__lanes__analyte").get(pk=readings.pk)


def test_review_recomputes_each_lane(readings):
    # IUPAC Gold Book R05353: (35-15)/80, (45-15)/80, (75-15)/80, (74-15)/80, half up to two decimals.
    values = [spot.rounded_rf for spot in review(whole(readings)).spots]
    assert values == [Decimal("0.25"), Decimal("0.38"), Decimal("0.75"), Decimal("0.74")]


def test_review_and_text_need_no_query_beyond_whole(readings, django_assert_num_queries):
    fetched = whole(readings)
    with django_assert_num_queries(0):
        checked = review(fetched)
        drawing_of(fetched.paper, checked, entry_of(fetched))
        canonical_text(fetched)


def test_a_class_of_thirty_takes_as_many_queries_as_three(cast):
    counts = []
    for learners in (3, 27):
        for _ in range(learners):
            enrol(cast.teaching_class, make_user("", Role.LEARNER))
        session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
        for group in session.groups.all():
            for member in group.members.all():
                make_readings(group.papers.get(), member.learner)
        with CaptureQueriesContext(connection) as queries:
            sets = (
                ReadingSet.objects.whole().prefetch_related("paper__lanes__analyte").filter(session=session)
            )
            reviewed = [review(one) for one in sets]
        counts.append((len(queries), len(reviewed) > 5))
    assert counts[0] == counts[1]


def test_the_text_is_the_same_fresh_from_the_form_and_from_the_database(readings):
    unsaved = whole(readings)
    unsaved.front_mm = Decimal(95)
    assert canonical_text(unsaved) == canonical_text(whole(readings))
    unsaved.front_mm = Decimal("9.5E+1")
    assert canonical_text(unsaved) == canonical_text(whole(readings))


def test_the_text_holds_decimals_as_strings_and_people_by_token(readings, cast):
    text = canonical_text(whole(readings))
    values = json.loads(text)
    assert (values["origin_mm"], values["front_mm"], values["learner"]) == (
        "15",
        "95",
        str(cast.learner.token),
    )
    assert values["lanes"][0]["spots"][0]["centre_mm"] == "35"
    assert cast.learner.name not in text
    assert list(values) == sorted(values)


def test_the_text_changes_with_the_readings_and_with_nothing_else(readings):
    before = canonical_text(whole(readings))
    ReadingSet.objects.filter(pk=readings.pk).update(version=9)
    assert canonical_text(whole(readings)) == before
    SpotReading.objects.filter(lane_reading__reading_set=readings, centre_mm=Decimal(35)).update(
        centre_mm=Decimal("35.5")
    )
    assert canonical_text(whole(readings)) != before


SPOT_2 = {"number", "centre_mm", "leading_mm", "trailing_mm", "own_rf", "identified_as", "cannot_tell"}


def test_what_nobody_stated_has_no_key_so_that_kept_hashes_stay(readings):
    """The text of readings without a half-width or a colour is the text that it was before there were any."""
    text = canonical_text(whole(readings))
    assert {frozenset(spot) for lane in json.loads(text)["lanes"] for spot in lane["spots"]} == {
        frozenset(SPOT_2)
    }
    token, session, paper = cast_ids(readings)
    lane = (
        '{"analyte":"glycine","front_mm":null,"no_result":"","number":1,"spots":[{"cannot_tell":false,'
        '"centre_mm":"35","identified_as":"","leading_mm":null,"number":1,"own_rf":"","trailing_mm":null}]}'
    )
    assert text.startswith(f'{{"front_mm":"95","lanes":[{lane},')
    assert text.endswith(
        f'"learner":"{token}","no_result":"","origin_mm":"15","paper":"{paper}",'
        f'"schema":"wickmark readings 2","session":"{session}","source":"own group\'s paper","unit":"mm"}}'
    )


def cast_ids(readings):
    paper = readings.paper
    return readings.learner.token, paper.group.session.uuid, paper.uuid


def test_a_half_width_and_a_colour_stand_in_the_text_and_come_back(readings):
    SpotReading.objects.filter(lane_reading__reading_set=readings, centre_mm=Decimal(35)).update(
        judged_to_mm=Decimal("1.500"), colour="pale purple"
    )
    first, second = (lane["spots"][0] for lane in json.loads(canonical_text(whole(readings)))["lanes"][:2])
    assert (first["judged_to_mm"], first["colour"]) == ("1.5", "pale purple")
    assert set(first) - SPOT_2 == {"judged_to_mm", "colour"}
    assert set(second) == SPOT_2
    spot = entry_of(whole(readings)).lanes[0].spots[0]
    assert (str(spot.judged_to_mm), spot.colour) == ("1.5", "pale purple")


def test_a_half_width_counts_in_what_the_readings_are_worth(readings):
    """JCGM 100:2008, 4.3.7: a rectangular half-width of 1.5 mm is u = 0.87 mm, and more than the ruler."""
    before = measured_of(whole(readings)).spots[0].rf
    SpotReading.objects.filter(lane_reading__reading_set=readings, centre_mm=Decimal(35)).update(
        judged_to_mm=Decimal("1.5")
    )
    after = measured_of(whole(readings)).spots[0].rf
    assert before.dominant == "ruler"
    assert (after.dominant, after.rf) == ("spot", before.rf)
    # On the run of 80 mm: u^2 grows by (0.8660/80)^2.
    assert after.u**2 - before.u**2 == pytest.approx((0.8660254 / 80) ** 2, rel=1e-6)
    assert review(whole(readings)).spots[0].uncertainty == pytest.approx(after.u, rel=1e-9)


def test_what_an_unknown_contains_is_neither_in_text_nor_in_review(readings):
    fetched = whole(readings)
    lane = review(fetched).unknowns[0]
    assert (lane.name, lane.key) == ("unknown X", "x")
    assert "contains" not in canonical_text(fetched)
    assert json.loads(canonical_text(fetched))["lanes"][3]["spots"][0]["identified_as"] == ""
