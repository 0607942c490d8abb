"""What readings are worth, on the pages of the lesson: uncertainty, R_rel, unknowns, also for the learner."""

import pytest
from django.urls import reverse

from practicals.models import HelpGiven, Paper, ReferenceValue, SpotReading
from tests.factories import NOW, make_readings

# Origin 15 mm, front 95 mm, 1 mm ruler: u(R_f) of 35 mm is sqrt(1 + 0.75^2 + 0.25^2) / sqrt(12) / 80 = 0.0046
# by JCGM 100:2008, 5.1.2, so 0.25 is 0.250 +/- 0.009 with k = 2.
WORTH = "0.250 ± 0.009 (k = 2)"


@pytest.fixture
def paper(cast):
    found = Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)
    mine = make_readings(found, cast.learner, locked_at=NOW)
    unknown = SpotReading.objects.get(lane_reading__reading_set=mine, lane_reading__lane__number=4)
    unknown.identified_as = cast.session.practical.analytes.get(key="glycine")
    unknown.save()
    return found


def setting(cast, chosen):
    cast.session.help_setting = chosen
    cast.session.save()


def test_whoever_leads_the_lesson_sees_all_of_it(cast, paper, page):
    setting(cast, "nothing")
    for shown in (
        page(cast.teacher, "paper", paper.uuid),
        page(cast.teacher, "learner", cast.session.uuid, cast.learner.uuid),
    ):
        assert WORTH in shown
        assert "relative to glycine" in shown
        assert "Compatible with leucine, on the same paper" in shown
        assert "naming, glycine, is not compatible" in shown
        assert "z = " in shown


@pytest.mark.parametrize(
    ("chosen", "told", "untold"),
    [
        ("nothing", WORTH, "Something is off"),
        ("something", "Something is off with the name: lane 4, spot 1", "which standards"),
        ("hint", "which standards on this paper stand as high", "Compatible with"),
        ("explanation", "Compatible with leucine, on the same paper", "Something is off"),
    ],
)
def test_the_learner_sees_what_the_setting_allows_and_it_is_recorded(cast, paper, as_, chosen, told, untold):
    setting(cast, chosen)
    shown = as_(cast.learner).get(reverse("bench:paper", args=[paper.uuid])).content.decode()
    assert told in shown
    assert untold not in shown
    recorded = " ".join(HelpGiven.objects.filter(learner=cast.learner).values_list("text", flat=True))
    assert "with their uncertainty" in recorded
    assert (told in recorded) is (chosen != "nothing")


def test_before_locking_the_learner_is_shown_none_of_it(cast, as_):
    setting(cast, "explanation")
    found = Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)
    make_readings(found, cast.learner)
    shown = as_(cast.learner).get(reverse("bench:paper", args=[found.uuid])).content.decode()
    assert WORTH not in shown
    assert "Compatible with" not in shown


def without_leucine(cast):
    """The cast's own paper: 74 mm in the unknown's lane, nothing read of leucine."""
    found = Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)
    mine = make_readings(found, cast.learner)
    mine.lanes.get(lane__number=3).spots.all().delete()
    return found


def test_a_standard_that_the_own_paper_lacks_is_looked_for_on_the_other_papers(cast, page):
    found = without_leucine(cast)
    assert "No match" in page(cast.teacher, "paper", found.uuid)
    other = Paper.objects.exclude(pk=found.pk).get(group__session=cast.session)
    make_readings(other, cast.rival)
    shown = page(cast.teacher, "paper", found.uuid)
    assert "Compatible with leucine, on other papers of this session, which is weaker" in shown


def test_then_confirmed_published_values_of_the_very_system(cast, page):
    found = without_leucine(cast)
    value = ReferenceValue.objects.create(
        analyte="L-leucine",
        support="paper",
        mobile_phase="butan-1-ol/ethanoic acid/water",
        ratio="12:3:5",
        rf_low="0.73",
        rf_high="0.75",
        source="An invented table",
        confirmed=True,
        added_at=NOW,
    )
    assert "Compatible with leucine, by published values" in page(cast.teacher, "paper", found.uuid)
    ReferenceValue.objects.filter(pk=value.pk).update(confirmed=False)
    assert "No match" in page(cast.teacher, "paper", found.uuid)
