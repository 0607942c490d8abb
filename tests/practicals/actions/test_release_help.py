"""More help for one learner: recorded, never taken back."""

import uuid

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from practicals.actions.release_help import CannotReleaseHelp, release_help
from practicals.models import AuditEntry, HelpGiven, HelpReleased, Paper
from practicals.models.help_setting import help_setting_for
from tests.factories import NOW, make_readings


def release(cast, setting="explanation", *, by=None, learner=None):
    return release_help(
        by=by or cast.teacher,
        session=cast.session,
        learner=learner or cast.learner,
        setting=setting,
        now=NOW,
    )


@pytest.fixture
def quiet(cast):
    cast.session.help_setting = "nothing"
    cast.session.save()
    return cast


def test_the_higher_of_setting_and_release_counts_for_this_learner_alone(quiet):
    release(quiet, "hint")
    assert help_setting_for(quiet.session, quiet.learner) == "hint"
    assert help_setting_for(quiet.session, quiet.group_mate) == "nothing"
    quiet.session.help_setting = "explanation"
    assert help_setting_for(quiet.session, quiet.learner) == "explanation"


def test_it_stands_among_the_help_given_and_in_the_audit_without_a_name(quiet):
    release(quiet, "hint")
    given = HelpGiven.objects.get()
    assert (given.learner, given.by) == (quiet.learner, quiet.teacher)
    assert given.text == "Released more help by the program: a hint instead of nothing."
    entry = AuditEntry.objects.get(action="release_help")
    assert quiet.learner.name not in entry.sentence


@pytest.mark.parametrize("setting", ["nothing", "something", "hint", "", "everything"])
def test_only_more_than_now_can_be_released(quiet, setting):
    release(quiet, "hint")
    with pytest.raises(CannotReleaseHelp, match="a hint"):
        release(quiet, setting)
    assert HelpReleased.objects.count() == 1


def test_only_whoever_leads_the_lesson_and_only_for_its_learners(quiet):
    for person in (quiet.other_teacher, quiet.technician, quiet.learner, quiet.verifier):
        with pytest.raises(PermissionDenied):
            release(quiet, by=person)
    with pytest.raises(PermissionDenied):
        release(quiet, learner=quiet.stranger)


def test_on_the_learners_page_and_at_the_bench(quiet, as_):
    paper = Paper.objects.get(group__session=quiet.session, group__members__learner=quiet.learner)
    # 130 mm is beyond the front at 95 mm.
    make_readings(paper, quiet.learner, centres=("35", "45", "130", "74"), locked_at=NOW)
    bench = reverse("bench:paper", args=[paper.uuid])
    assert "Worth another look" not in as_(quiet.learner).get(bench).content.decode()
    page = reverse("board:learner", args=[quiet.session.uuid, quiet.learner.uuid])
    send = reverse("board:release_help", args=[quiet.session.uuid, quiet.learner.uuid])
    teacher = as_(quiet.teacher)
    assert "Show this learner more" in teacher.get(page).content.decode()
    refused = teacher.post(send, {"once": str(uuid.uuid4()), "release-setting": "all of it"})
    assert refused.status_code == 200
    assert "Select a valid choice" in refused.content.decode()
    assert teacher.post(send, {"once": str(uuid.uuid4()), "release-setting": "explanation"}).url == page
    assert "More cannot be shown" in teacher.get(page).content.decode()
    assert "Worth another look" in as_(quiet.learner).get(bench).content.decode()


def test_looking_at_the_address_releases_nothing(quiet, as_):
    send = reverse("board:release_help", args=[quiet.session.uuid, quiet.learner.uuid])
    assert as_(quiet.teacher).get(send).status_code == 302
    assert not HelpReleased.objects.exists()
