"""The class's values as a learner sees them: late, without names, and only from five readers up."""

import pytest
from django.urls import reverse

from practicals.models import ReadingSet
from tests.factories import NOW, make_readings


@pytest.fixture
def text(cast, as_):
    def read(person=None):
        response = as_(person or cast.learner).get(reverse("bench:results", args=[cast.session.uuid]))
        assert response.status_code == 200
        return response.content.decode()

    return read


def everybody_reads(cast, count=6, **more):
    places = cast.session.members.select_related("learner", "group")
    for number, place in enumerate(places[:count]):
        centres = (str(35 + number % 3), "45", "75", "74")
        make_readings(place.group.papers.get(), place.learner, centres=centres, **more)


def release(cast):
    cast.session.readings_locked_at = cast.session.results_released_at = NOW
    cast.session.save()


def test_each_condition_is_said_until_it_is_met(cast, text):
    assert "You have no readings in this session" in text()
    everybody_reads(cast)
    assert "Finish measuring first." in text()
    ReadingSet.objects.update(locked_at=NOW)
    assert "has not released" in text()
    release(cast)
    shown = text()
    assert "Your <i>R</i><sub>f</sub> is 0." in shown
    assert "the mean of the others is" in shown


def test_no_name_and_no_group_is_shown(cast, text):
    everybody_reads(cast, locked_at=NOW)
    release(cast)
    shown = text()
    for place in cast.session.members.exclude(learner=cast.learner):
        assert place.learner.name not in shown
    assert "Group" not in shown
    assert "the others, 5 values" in shown
    assert "your own, 1 value" in shown


def test_fewer_than_five_readers_are_not_shown(cast, text):
    everybody_reads(cast, count=4, locked_at=NOW)
    cast.session.readings_locked_at = cast.session.results_released_at = NOW
    cast.session.save()
    shown = text(cast.session.members.first().learner)
    assert 'class="chart"' not in shown
    assert "it takes at least five readers" in shown


def test_the_same_number_of_queries_for_two_readers_as_for_six(cast, as_, django_assert_max_num_queries):
    everybody_reads(cast, locked_at=NOW)
    release(cast)
    client = as_(cast.learner)
    with django_assert_max_num_queries(16):
        client.get(reverse("bench:results", args=[cast.session.uuid]))


def test_the_session_links_to_it_once_released(cast, as_):
    page = reverse("bench:session", args=[cast.session.uuid])
    link = reverse("bench:results", args=[cast.session.uuid])
    assert link not in as_(cast.learner).get(page).content.decode()
    release(cast)
    assert link in as_(cast.learner).get(page).content.decode()


def test_the_summary_stands_with_and_without_what_stands_out(cast, text):
    places = list(cast.session.members.select_related("learner", "group"))
    # Six readings of leucine's lane, one far off: G = 2.04 is above 1.887, the two-sided 5 % point for six
    # values (Grubbs and Beck 1972; see statistics_grubbs_critical.csv).
    for place, centre in zip(places, ("75", "75.2", "74.8", "75.1", "74.9", "30"), strict=True):
        make_readings(
            place.group.papers.get(), place.learner, centres=("35", "45", centre, "74"), locked_at=NOW
        )
    release(cast)
    shown = text()
    assert "6 values: median" in shown
    assert "Without what stands out, 5 values: median 0.75" in shown
    assert "Nothing was removed." in shown
