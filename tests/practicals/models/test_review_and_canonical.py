"""Records become values and a text that never changes of itself."""

import json
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from practicals.models import ReadingSet, Role, SpotReading
from practicals.models.canonical import canonical_text
from practicals.models.review import drawing_of, entry_of, review
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


def test_what_an_unknown_contains_is_neither_in_text_nor_in_review(readings):
    fetched = whole(readings)
    lane = review(fetched).unknowns[0]
    assert (lane.name, lane.key) == ("unknown X", "x")
    assert "contains" not in canonical_text(fetched)
    assert json.loads(canonical_text(fetched))["lanes"][3]["spots"][0]["identified_as"] == ""
