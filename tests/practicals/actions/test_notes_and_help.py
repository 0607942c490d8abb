import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.give_help import HelpRefused, give_help
from practicals.actions.note_at_bench import NoteRefused, note_at_bench
from practicals.models import AuditEntry, BenchNote, HelpGiven, LessonHelper, Role, Session
from tests.factories import NOW, make_user


def test_a_note_is_kept_with_its_time_and_its_author(cast):
    note = note_at_bench(
        by=cast.teacher, session=cast.session, learner=cast.learner, text="  Wears gloves. ", now=NOW
    )
    assert (note.text, note.at, note.by, note.learner) == ("Wears gloves.", NOW, cast.teacher, cast.learner)
    entry = AuditEntry.objects.get(action="note_at_bench")
    assert entry.detail["learner"] == str(cast.learner.token)
    assert cast.learner.name not in entry.sentence


@pytest.mark.parametrize("text", ["", "   ", "x" * 501])
def test_an_empty_or_overlong_note_is_refused_with_a_sentence(cast, text):
    with pytest.raises(NoteRefused, match=r"\.$"):
        note_at_bench(by=cast.teacher, session=cast.session, learner=cast.learner, text=text, now=NOW)
    assert not BenchNote.objects.exists()


def test_help_given_is_recorded_for_one_paper_or_the_whole(cast):
    paper = cast.session.groups.first().papers.get()
    for chosen in (paper, None):
        given = give_help(
            by=cast.teacher,
            session=cast.session,
            learner=cast.learner,
            text="Showed the front.",
            paper=chosen,
            now=NOW,
        )
        assert (given.paper, given.by, given.at) == (chosen, cast.teacher, NOW)
    assert AuditEntry.objects.filter(action="give_help").count() == 2


def test_help_on_a_paper_of_another_session_and_empty_help_are_refused(cast):
    other = Session.objects.get(teacher=cast.other_teacher).groups.first().papers.get()
    for text, paper in (("Showed it.", other), (" ", None), ("x" * 1001, None)):
        with pytest.raises(HelpRefused):
            give_help(
                by=cast.teacher, session=cast.session, learner=cast.learner, text=text, paper=paper, now=NOW
            )
    assert not HelpGiven.objects.exists()


@pytest.mark.parametrize("act", [note_at_bench, give_help])
def test_notes_and_help_are_for_those_who_are_in_the_lesson(cast, act):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    for person in (cast.other_teacher, cast.technician, cast.learner, cast.group_mate, helper):
        with pytest.raises(PermissionDenied):
            act(by=person, session=cast.session, learner=cast.learner, text="Saw it.", now=NOW)
    with pytest.raises(PermissionDenied):
        act(by=cast.teacher, session=cast.session, learner=cast.stranger, text="Saw it.", now=NOW)
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=helper, part="cover leader")
    assert act(by=helper, session=cast.session, learner=cast.learner, text="Saw it.", now=NOW).by == helper
