import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.actions.amend_readings import amend_readings
from practicals.actions.keep_file import keep_file
from practicals.calculations.entry import LaneEntry, ReadingEntry, SpotEntry
from practicals.models import (
    BenchNote,
    HelpGiven,
    LessonHelper,
    PaperPhoto,
    ReadingSet,
    Role,
    Session,
    SpotReading,
)
from tests.factories import NOW, make_class, make_readings, make_session, make_user

PNG = b"\x89PNG\r\n\x1a\n and so on"


@pytest.fixture
def paper(cast):
    return cast.session.groups.first().papers.get()


@pytest.fixture
def other(cast):
    return cast.session.groups.last().papers.get()


def who(cast, learner=None):
    return [cast.session.uuid, (learner or cast.learner).uuid]


def add_photo(paper, learner, content=PNG, media_type="image/png"):
    kept = keep_file(content=content, media_type=media_type, now=NOW)
    return PaperPhoto.objects.create(
        paper=paper, learner=learner, file=kept, width_px=40, height_px=30, added_at=NOW
    )


def test_all_readers_stand_beside_each_other_with_recomputed_values(cast, paper, page):
    make_readings(paper, cast.learner)
    mine = make_readings(paper, cast.group_mate, centres=("36", "45", "75", "74"))
    SpotReading.objects.filter(lane_reading__reading_set=mine, centre_mm=36).update(own_rf="3.81")
    lane = paper.lanes.get(number=1)
    lane.applied_by = cast.group_mate
    lane.save()
    shown = page(cast.teacher, "paper", paper.uuid)
    # (35 - 15) / (95 - 15) = 0.25; (36 - 15) / 80 = 0.2625 = 0.26; inverted 80 / 21 = 3.81
    assert "35 mm, <i>R</i><sub>f</sub> 0.25" in " ".join(shown.split()).replace("35.000", "35")
    assert "0.26" in shown
    assert "invert" in shown
    assert f"applied by {cast.group_mate.name}" in shown
    assert shown.count('class="paper-drawing') == 2


def test_the_key_of_the_unknowns_is_behind_a_word_of_caution_and_for_staff_alone(cast, paper, page, get):
    shown = page(cast.teacher, "paper", paper.uuid)
    key = shown[shown.index("<details") : shown.index("</details>")]
    assert "projector" in key
    assert "<dd>leucine</dd>" in key
    assert "open" not in key.split(">")[0]
    for person in (cast.learner, cast.technician, cast.other_teacher):
        assert get(person, "paper", paper.uuid).status_code == 404


def test_the_board_says_nothing_of_what_an_unknown_holds(cast, page, paper):
    """The board is what stands on a projector."""
    unknown = cast.session.practical.analytes.get(role="unknown")
    unknown.contains = ["secret-amine"]
    unknown.save()
    make_readings(paper, cast.learner)
    assert "secret-amine" not in page(cast.teacher, "board", cast.session.uuid)
    assert "secret-amine" in page(cast.teacher, "paper", paper.uuid)


def test_no_result_is_declared_and_taken_back_on_the_page(cast, paper, post, page):
    post(cast.teacher, "no_result", [paper.uuid], reason="front lost")
    paper.refresh_from_db()
    assert (paper.no_result, paper.no_result_by) == ("front lost", cast.teacher)
    assert "No result:" in page(cast.teacher, "paper", paper.uuid)
    post(cast.teacher, "no_result", [paper.uuid], reason="result")
    paper.refresh_from_db()
    assert paper.no_result == ""


@pytest.mark.parametrize("reason", ["the cat ate it", "1e9", "-1", "Torn", ""])
def test_a_reason_that_is_none_is_refused_with_a_sentence(cast, paper, post, reason):
    answer = post(cast.teacher, "no_result", [paper.uuid], reason=reason)
    paper.refresh_from_db()
    assert answer.status_code == 200
    assert re.search("Choose (one of the reasons|whether)", answer.content.decode())
    assert paper.no_result == ""


def test_a_photo_comes_through_the_gate_as_what_it_is(cast, paper, get):
    photo = add_photo(paper, cast.learner)
    response = get(cast.teacher, "photo", photo.uuid)
    assert response.status_code == 200
    assert b"".join(response.streaming_content) == PNG
    assert response["Content-Type"] == "image/png"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Content-Disposition"] == "inline"
    assert response["Cache-Control"].startswith("private")
    for person in (cast.other_teacher, cast.technician, cast.learner, cast.verifier):
        assert get(person, "photo", photo.uuid).status_code == 404


def test_what_is_no_picture_or_was_withdrawn_is_not_served(cast, paper, get):
    page = add_photo(paper, cast.learner, b"<script>alert(1)</script>", "text/html")
    gone = add_photo(paper, cast.learner)
    gone.withdrawn_at = NOW
    gone.save()
    for photo in (page, gone):
        assert get(cast.teacher, "photo", photo.uuid).status_code == 404


def test_the_learners_page_shows_readings_checks_help_notes_and_amendments(cast, paper, page):
    readings = make_readings(paper, cast.learner, locked_at=NOW)
    entry = ReadingEntry(
        origin_mm=Decimal(15),
        front_mm=Decimal(95),
        lanes=(LaneEntry(1, (SpotEntry(Decimal(110), own_rf="1.19"),)),),
    )
    amend_readings(
        by=cast.learner, readings=readings, entry=entry, reason="Read upside down", seen_version=1, now=NOW
    )
    HelpGiven.objects.create(
        session=cast.session, learner=cast.learner, at=NOW, text="Shown a hint.", about="a"
    )
    BenchNote.objects.create(
        session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="Careful work."
    )
    shown = page(cast.teacher, "learner", *who(cast))
    for words in ("Read upside down", "Shown a hint.", "the program", "Careful work.", "impossible:"):
        assert words in shown
    cells = shown[shown.index("lane 1, spot 1, centre [mm]") :][:200]
    assert "35" in cells
    assert "110" in cells


def test_a_note_and_help_are_kept_from_the_learners_page(cast, paper, post):
    post(cast.teacher, "note", who(cast), **{"what": "note", "note-text": "Steady hand."})
    given = {"what": "help", "help-text": "Showed the front.", "help-paper": str(paper.uuid)}
    post(cast.teacher, "note", who(cast), **given)
    assert BenchNote.objects.get().text == "Steady hand."
    assert HelpGiven.objects.get().paper == paper


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"what": "note", "note-text": ""}, "Write what you saw"),
        ({"what": "note", "note-text": "x" * 501}, "500"),
        ({"what": "help", "help-text": "  "}, "Write what you helped with"),
        ({"what": "help", "help-text": "kept words", "help-paper": "nonsense"}, "kept words"),
        ({}, "Write what you saw"),
    ],
)
def test_a_note_that_cannot_be_kept_comes_back_with_a_sentence(cast, post, data, sentence):
    answer = post(cast.teacher, "note", who(cast), **data)
    assert answer.status_code == 200
    assert sentence in answer.content.decode()
    assert not BenchNote.objects.exists()
    assert not HelpGiven.objects.exists()


def test_another_paper_is_given_from_the_learners_page(cast, other, post, page):
    data = {"give-paper": str(other.uuid), "give-source": "supplied data", "give-reason": ""}
    refused = post(cast.teacher, "give_paper", who(cast), **data)
    assert refused.status_code == 200
    assert "Say why they measure another one." in refused.content.decode()
    post(cast.teacher, "give_paper", who(cast), **{**data, "give-reason": "Came late"})
    assert ReadingSet.objects.get().source == "supplied data"
    assert "Came late" in page(cast.teacher, "learner", *who(cast))


def test_a_form_without_choices_or_with_a_strangers_paper_is_refused(cast, post):
    elsewhere = Session.objects.get(teacher=cast.other_teacher).groups.first().papers.get()
    for data in ({}, {"give-paper": str(elsewhere.uuid), "give-source": "supplied data"}):
        answer = post(cast.teacher, "give_paper", who(cast), **data)
        assert answer.status_code == 200
        assert "error-summary" in answer.content.decode() or "alert" in answer.content.decode()
    assert not ReadingSet.objects.exists()


def test_pages_for_posting_lead_back_when_opened(cast, paper, get):
    for name, args in (("note", who(cast)), ("give_paper", who(cast)), ("no_result", [paper.uuid])):
        assert get(cast.teacher, name, *args).status_code == 302


def test_only_the_session_s_own_people_and_learners_are_there(cast, paper, get, post):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    for person in (cast.other_teacher, cast.technician, cast.learner, cast.verifier, helper):
        assert get(person, "learner", *who(cast)).status_code == 404
        assert post(person, "note", who(cast), **{"note-text": "x"}).status_code == 404
        assert post(person, "give_paper", who(cast)).status_code == 404
        assert post(person, "no_result", [paper.uuid], reason="torn").status_code == 404
    assert get(cast.teacher, "learner", *who(cast, cast.stranger)).status_code == 404
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=helper, part="support assistant")
    assert get(helper, "learner", *who(cast)).status_code == 200
    assert post(helper, "note", who(cast), **{"note-text": "Saw it."}).status_code == 302


def test_who_supports_a_lesson_changes_no_conditions(cast, paper, get, post):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=helper, part="support assistant")
    shown = {person: get(person, "learner", *who(cast)).content.decode() for person in (cast.teacher, helper)}
    for name in ("give_paper", "release_help"):
        address = reverse(f"board:{name}", args=who(cast))
        assert address in shown[cast.teacher]
        assert address not in shown[helper]
        assert post(helper, name, who(cast)).status_code == 404


@pytest.mark.parametrize("name", ["learner", "paper"])
def test_as_many_questions_for_thirty_as_for_three(cast, as_, name):
    def count(learners):
        teaching_class = make_class(teacher=cast.teacher, learners=learners)
        session = make_session(teacher=cast.teacher, teaching_class=teaching_class, group_size=learners)
        paper = session.groups.get().papers.get()
        for member in session.members.all():
            make_readings(paper, member.learner)
        args = [paper.uuid] if name == "paper" else [session.uuid, session.members.first().learner.uuid]
        client = as_(cast.teacher)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(reverse(f"board:{name}", args=args)).status_code == 200
        return len(asked)

    assert count(3) == count(30)
