"""Units, briefs and assignments by their pages: few clicks, plain words, nothing typed is lost."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from assessment.calculations.brief_points import POINTS
from assessment.models import Assignment, Brief, Unit
from practicals.models import Role
from tests.assessment.actions.test_add_unit import FILE
from tests.factories import NOW, make_session, make_unit, make_user


@pytest.fixture
def brief(cast):
    brief = Brief.objects.create(
        slug="b", unit=make_unit(), title="Which acid?", tasks="Run it.", author=cast.teacher, written_at=NOW
    )
    brief.criteria.set(brief.unit.criteria.all())
    return brief


@pytest.fixture
def signed(cast, brief):
    brief.signed_off_by, brief.signed_off_at = cast.verifier, NOW
    brief.save()
    return brief


def send(client, name, *args, query="", **data):
    return client.post(reverse(name, args=args) + query, {"once": str(uuid4()), **data})


def text_of(brief):
    return {
        "title": brief.title,
        "scenario": brief.scenario,
        "tasks": brief.tasks,
        "conditions": brief.conditions,
        "criteria": [criterion.pk for criterion in brief.criteria.all()],
        "based_on": str(brief.uuid),
    }


def round_text(**more):
    answers = {f"point_{point.key}": "yes" for point in POINTS}
    return {**answers, "comment": "Clear.", "verdict": "fit", **more}


def assignment_text(cast, brief, **more):
    return {
        "brief": brief.pk,
        "sessions": [cast.session.pk],
        "due_day": f"{timezone.localdate() + timedelta(days=14)}",
        "due_time": "23:59",
        "assessor": cast.teacher.pk,
        **more,
    }


def test_a_unit_shows_each_criterion_with_its_evidence_in_words(cast, as_):
    answer = send(as_(cast.teacher), "briefs:add_unit", text=FILE.replace("\n", "\r\n"))
    unit = Unit.objects.get()
    assert answer.url == reverse("briefs:unit", args=[unit.uuid])
    assert unit.text == FILE
    page = as_(cast.verifier).get(answer.url).content.decode()
    assert "complete readings of 2 papers" in page
    assert reverse("briefs:write_brief") not in page
    assert unit.title in as_(cast.verifier).get(reverse("briefs:units")).content.decode()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Paste the text"),
        ("slug = 'x'\nfree text = ", "not readable as TOML"),
        ("slug = 'x y'", "small letters"),
        ("1e9", "not readable as TOML"),
    ],
)
def test_every_problem_of_a_unit_file_is_said_and_the_text_kept(cast, as_, text, sentence):
    page = send(as_(cast.teacher), "briefs:add_unit", text=text).content.decode()
    assert sentence in page
    assert escape(text) in page
    assert not Unit.objects.exists()


def test_a_brief_is_written_for_the_only_unit_without_choosing(cast, as_):
    unit = make_unit()
    client = as_(cast.teacher)
    assert "What P1 asks" in client.get(reverse("briefs:write_brief")).content.decode()
    criteria = [criterion.pk for criterion in unit.criteria.all()]
    send(client, "briefs:write_brief", title="Which acid?", tasks="Run\r\nit.", criteria=criteria)
    brief = Brief.objects.get()
    assert (brief.tasks, brief.author) == ("Run\nit.", cast.teacher)
    assert brief.criteria.count() == 4


def test_with_two_units_the_page_asks_which(cast, as_):
    first, second = make_unit(), make_unit()
    client = as_(cast.teacher)
    page = client.get(reverse("briefs:write_brief")).content.decode()
    assert str(first.uuid) in page
    assert str(second.uuid) in page
    chosen = client.get(reverse("briefs:write_brief") + f"?unit={second.uuid}")
    assert chosen.context["unit"] == second
    assert client.get(reverse("briefs:write_brief") + "?unit=nonsense").status_code == 200


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"title": ""}, "Give the brief a title"),
        ({"title": "t" * 161}, "160"),
        ({"tasks": "  "}, "Write the tasks"),
        ({"criteria": []}, "at least one criterion"),
        ({"criteria": ["1e9"]}, "not in this unit"),
        ({"criteria": ["-1"]}, "not in this unit"),
    ],
)
def test_a_brief_with_something_wrong_keeps_what_was_typed(cast, as_, brief, wrong, sentence):
    typed = text_of(brief) | {"scenario": "A keeper of texts."} | wrong
    page = send(as_(cast.teacher), "briefs:edit_brief", brief.uuid, **typed).content.decode()
    assert sentence in page
    assert "A keeper of texts." in page
    assert Brief.objects.count() == 1


def test_an_edit_says_that_it_loses_the_sign_off_and_makes_the_next_edition(cast, as_, signed):
    client = as_(cast.teacher)
    assert "not carried over" in client.get(reverse("briefs:edit_brief", args=[signed.uuid])).content.decode()
    send(client, "briefs:edit_brief", signed.uuid, **text_of(signed) | {"tasks": "Run it twice."})
    newest = Brief.objects.get(edition=2)
    assert newest.signed_off_at is None
    page = client.get(reverse("briefs:brief", args=[newest.uuid])).content.decode()
    assert "Not signed off yet" in page
    assert str(cast.verifier) in page


def test_saving_without_a_change_keeps_the_sign_off(cast, as_, signed):
    answer = send(as_(cast.teacher), "briefs:edit_brief", signed.uuid, **text_of(signed))
    assert answer.url == reverse("briefs:brief", args=[signed.uuid])
    assert Brief.objects.get().signed_off_at


def test_a_stale_edit_shows_both_texts_and_can_be_saved_after_all(cast, as_, brief):
    client = as_(cast.teacher)
    send(client, "briefs:edit_brief", brief.uuid, **text_of(brief) | {"tasks": "Theirs."})
    theirs = Brief.objects.get(edition=2)
    page = send(
        client, "briefs:edit_brief", brief.uuid, **text_of(brief) | {"tasks": "Mine."}
    ).content.decode()
    assert "Theirs." in page
    assert "Mine." in page
    assert str(theirs.uuid) in page
    again = text_of(brief) | {"tasks": "Mine.", "based_on": str(theirs.uuid)}
    send(client, "briefs:edit_brief", brief.uuid, **again)
    assert Brief.objects.get(edition=3).tasks == "Mine."


def test_only_the_newest_edition_is_offered_for_editing(cast, as_, brief):
    client = as_(cast.teacher)
    send(client, "briefs:edit_brief", brief.uuid, **text_of(brief) | {"tasks": "New."})
    newest = Brief.objects.get(edition=2)
    answer = client.get(reverse("briefs:edit_brief", args=[brief.uuid]))
    assert answer.url == reverse("briefs:edit_brief", args=[newest.uuid])


def test_a_verifier_signs_off_with_a_comment(cast, as_, brief):
    answer = send(as_(cast.verifier), "briefs:sign_off", brief.uuid, **round_text())
    page = as_(cast.teacher).get(answer.url).content.decode()
    assert f"by {cast.verifier}" in page
    assert "Clear." in page
    assert "Signed off" in page


def test_a_verifier_asks_for_changes_and_the_author_answers_with_the_next_edition(cast, as_, brief):
    said = round_text(verdict="changes wanted", comment="Task 1 is vague.", point_language="no")
    answer = send(as_(cast.verifier), "briefs:sign_off", brief.uuid, **said)
    page = as_(cast.teacher).get(answer.url).content.decode()
    assert "Changes wanted" in page
    assert "Task 1 is vague." in page
    assert "A learner can tell from the text alone" in page
    texts = text_of(brief) | {"tasks": "Run it and hand in the table."}
    send(as_(cast.teacher), "briefs:edit_brief", brief.uuid, **texts)
    second = Brief.objects.get(edition=2)
    page = as_(cast.verifier).get(reverse("briefs:sign_off", args=[second.uuid])).content.decode()
    assert "Task 1 is vague." in page
    assert "Changed since the edition before: tasks." in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"comment": " "}, "Write a sentence at least"),
        ({"verdict": ""}, "Say whether it is fit"),
        ({"verdict": "1e9"}, "Say whether it is fit"),
        ({"point_level": ""}, "Answer this point"),
        ({"point_level": "does not apply"}, "Answer this point with yes or no"),
        ({"point_level": "no"}, "not fit yet"),
    ],
)
def test_a_round_with_something_wrong_keeps_what_was_typed(cast, as_, brief, wrong, sentence):
    said = round_text(**{"comment": "I looked at the tasks.", **wrong})
    page = send(as_(cast.verifier), "briefs:sign_off", brief.uuid, **said).content.decode()
    assert sentence in page
    assert "comment" in wrong or "I looked at the tasks." in page
    assert Brief.objects.get().signed_off_at is None


def test_another_use_on_other_dates_keeps_the_sign_off_and_stands_beside_the_first(cast, as_, signed):
    client, query = as_(cast.teacher), f"?session={cast.session.uuid}"
    days = [timezone.localdate() + timedelta(days=ahead) for ahead in (14, 60)]
    for day in days:
        send(client, "briefs:new_assignment", query=query, **assignment_text(cast, signed, due_day=f"{day}"))
    page = as_(cast.verifier).get(reverse("briefs:brief", args=[signed.uuid])).content.decode()
    assert page.count("planned</span>") == 2
    assert all(f"{day.day} {day:%b} {day.year}" in page for day in days)
    signed.refresh_from_db()
    assert (signed.signed_off_by, Brief.objects.count()) == (cast.verifier, 1)


def test_conditions_are_kept_and_shown(cast, as_, brief):
    texts = text_of(brief) | {"conditions": "Two hours in the laboratory,\r\nwith a data table."}
    send(as_(cast.teacher), "briefs:edit_brief", brief.uuid, **texts)
    newest = Brief.objects.get(edition=2)
    assert newest.conditions == "Two hours in the laboratory,\nwith a data table."
    assert "with a data table." in (
        as_(cast.verifier).get(reverse("briefs:brief", args=[newest.uuid])).content.decode()
    )


def next_unit(unit):
    """The next edition of a unit, which leaves out the last criterion."""
    newer = Unit.objects.create(
        slug=unit.slug, edition=unit.edition + 1, title=unit.title, text="", grade_rule=unit.grade_rule,
        added_at=NOW,
    )  # fmt: skip
    for criterion in list(unit.criteria.all())[:-1]:
        newer.criteria.create(
            order=criterion.order, code=criterion.code, level=criterion.level, text=f"Anew: {criterion.code}"
        )
    return newer


def test_a_brief_on_an_older_edition_of_its_unit_says_so_and_can_be_brought_up(cast, as_, signed):
    newer = next_unit(signed.unit)
    client = as_(cast.teacher)
    page = client.get(reverse("briefs:brief", args=[signed.uuid])).content.decode()
    assert "It is written for edition 1 of the unit" in page
    address = reverse("briefs:edit_brief", args=[signed.uuid]) + "?newest_unit=yes"
    form = client.get(address).context["form"]
    assert [c.code for c in form["criteria"].initial] == ["P1", "P2", "M1"]
    texts = text_of(signed) | {"criteria": [c.pk for c in newer.criteria.all()]}
    client.post(address, {"once": str(uuid4()), **texts})
    second = Brief.objects.get(edition=2)
    assert (second.unit, second.signed_off_at, second.criteria.count()) == (newer, None, 3)
    signed.refresh_from_db()
    assert signed.unit.edition == 1


def test_an_assignment_keeps_the_edition_of_its_unit_and_says_so(cast, as_, signed):
    send(
        as_(cast.teacher), "briefs:new_assignment", query=f"?session={cast.session.uuid}",
        **assignment_text(cast, signed, issue="yes"),
    )  # fmt: skip
    newer = next_unit(signed.unit)
    assert Assignment.objects.get().brief.unit == signed.unit
    page = as_(cast.teacher).get(reverse("briefs:unit", args=[newer.uuid])).content.decode()
    assert "1 issued assignment keeps it" in page
    page = as_(cast.teacher).get(reverse("briefs:unit", args=[signed.unit.uuid])).content.decode()
    assert "There is a newer edition" in page
    page = reverse("marking:assignment", args=[Assignment.objects.get().uuid])
    assert "This assignment keeps edition 1" in as_(cast.teacher).get(page).content.decode()


def test_the_author_is_told_that_someone_else_signs(cast, as_, brief):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    Brief.objects.update(author=both)
    page = as_(both).get(reverse("briefs:sign_off", args=[brief.uuid])).content.decode()
    assert "Someone else must check it" in page
    assert "You wrote this brief" in send(as_(both), "briefs:sign_off", brief.uuid).content.decode()
    assert Brief.objects.get().signed_off_at is None


def test_make_and_issue_is_one_choice_and_one_button(cast, as_, signed):
    """Everything but the brief is filled in: choosing it and pressing the button are the only clicks."""
    client = as_(cast.teacher)
    address = reverse("briefs:new_assignment") + f"?session={cast.session.uuid}"
    form = client.get(address).context["form"]
    filled = {
        "brief": signed.pk,
        "sessions": [session.pk for session in form["sessions"].initial],
        "hand_out_on": form["hand_out_on"].value(),
        "due_day": form["due_day"].value(),
        "due_time": form["due_time"].value(),
        "assessor": form["assessor"].initial.pk,
        "issue": "yes",
    }
    answer = client.post(address, {"once": str(uuid4()), **filled})
    assignment = Assignment.objects.get()
    assert answer.url == reverse("marking:assignment", args=[assignment.uuid])
    assert assignment.issued_at
    assert assignment.hand_out_on == timezone.localdate()
    local = timezone.localtime(assignment.due_at)
    assert (local.date(), f"{local:%H:%M}") == (timezone.localdate() + timedelta(days=14), "23:59")


def test_with_an_unsigned_brief_it_is_made_but_not_issued_and_says_why(cast, as_, brief):
    client = as_(cast.teacher)
    query = f"?session={cast.session.uuid}"
    data = assignment_text(cast, brief, issue="yes")
    answer = send(client, "briefs:new_assignment", query=query, **data)
    assert Assignment.objects.get().issued_at is None
    page = client.get(answer.url).content.decode()
    assert "the brief is not signed off" in page
    assert "Not issued." in page


def test_issued_later_by_one_button(cast, as_, signed):
    client = as_(cast.teacher)
    query = f"?session={cast.session.uuid}"
    answer = send(client, "briefs:new_assignment", query=query, **assignment_text(cast, signed))
    made = Assignment.objects.get()
    assert made.issued_at is None
    assert reverse("briefs:issue", args=[made.uuid]) in client.get(answer.url).content.decode()
    send(client, "briefs:issue", made.uuid)
    made.refresh_from_db()
    assert made.issued_at


def test_a_double_click_makes_one_assignment(cast, as_, signed):
    client = as_(cast.teacher)
    data = {"once": str(uuid4()), **assignment_text(cast, signed)}
    address = reverse("briefs:new_assignment") + f"?session={cast.session.uuid}"
    assert client.post(address, data).url == client.post(address, data).url
    assert Assignment.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"brief": ""}, "Choose the brief"),
        ({"brief": "1e9"}, "Choose another"),
        ({"sessions": []}, "at least one session"),
        ({"sessions": ["abc"]}, "not of this class"),
        ({"due_day": "soon"}, "This is no date"),
        ({"due_day": "2020-01-01"}, "from today"),
        ({"due_day": "9999-12-31"}, "from today"),
        ({"due_day": "-1"}, "This is no date"),
        ({"hand_out_on": "soon"}, "This is no date"),
        ({"hand_out_on": "9999-12-31"}, "within three years"),
        ({"hand_out_on": f"{timezone.localdate() + timedelta(days=15)}"}, "cannot be handed out after"),
        ({"due_time": "25:99"}, "This is no time"),
        ({"due_time": ""}, "Give the time"),
        ({"assessor": "0"}, "must be a teacher"),
        ({"due_day": None, "due_time": "00:00"}, "has passed"),
    ],
)
def test_bad_input_for_an_assignment_is_said_in_a_sentence(cast, as_, signed, wrong, sentence):
    if wrong.get("due_day", "") is None:
        wrong = wrong | {"due_day": f"{timezone.localdate()}"}
    query = f"?session={cast.session.uuid}"
    data = assignment_text(cast, signed) | wrong
    answer = send(as_(cast.teacher), "briefs:new_assignment", query=query, **data)
    assert answer.status_code == 200
    assert sentence in answer.content.decode()
    assert not Assignment.objects.exists()


def test_only_sessions_of_that_class_are_offered_and_accepted(cast, as_, signed):
    other = cast.stranger.memberships.get().session
    other.teaching_class.teachers.add(cast.teacher)
    second = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    query = f"?session={cast.session.uuid}"
    client = as_(cast.teacher)
    form = client.get(reverse("briefs:new_assignment") + query).context["form"]
    assert set(form.fields["sessions"].queryset) == {cast.session, second}
    data = assignment_text(cast, signed, sessions=[other.pk])
    assert "not of this class" in send(client, "briefs:new_assignment", query=query, **data).content.decode()


def test_without_a_session_the_page_asks_which(cast, as_):
    client = as_(cast.teacher)
    page = client.get(reverse("briefs:new_assignment")).content.decode()
    assert str(cast.session.uuid) in page
    assert client.get(reverse("briefs:new_assignment") + "?session=nonsense").status_code == 200


def test_another_teachers_session_and_assignment_are_not_there(cast, as_, signed):
    query = f"?session={cast.session.uuid}"
    client = as_(cast.other_teacher)
    assert client.get(reverse("briefs:new_assignment") + query).status_code == 404
    send(as_(cast.teacher), "briefs:new_assignment", query=query, **assignment_text(cast, signed))
    assert send(client, "briefs:issue", Assignment.objects.get().uuid).status_code == 404


@pytest.mark.parametrize("who", ["technician", "learner", "administrator"])
def test_briefs_are_not_there_for_others(cast, as_, brief, who):
    client = as_(getattr(cast, who))
    for name, args in [
        ("briefs:briefs", []),
        ("briefs:units", []),
        ("briefs:brief", [brief.uuid]),
        ("briefs:edit_brief", [brief.uuid]),
        ("briefs:sign_off", [brief.uuid]),
        ("briefs:new_assignment", []),
    ]:
        assert client.get(reverse(name, args=args)).status_code == 404


def test_lists_take_the_same_queries_for_few_and_many(cast, as_):
    def count(name, query=""):
        client = as_(cast.teacher)
        with CaptureQueriesContext(connection) as seen:
            assert client.get(reverse(name) + query).status_code == 200
        return len(seen)

    def more():
        unit = make_unit()
        for number in range(8):
            brief = Brief.objects.create(
                slug=f"q{unit.pk}-{number}",
                unit=unit,
                title="T",
                tasks="T",
                author=cast.teacher,
                written_at=NOW,
            )
            brief.criteria.set(unit.criteria.all())
            make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)

    more()
    query = f"?session={cast.session.uuid}"
    pages = [("briefs:briefs", ""), ("briefs:units", ""), ("briefs:new_assignment", query)]
    few = [count(*page) for page in pages]
    more()
    assert [count(*page) for page in pages] == few


def test_a_session_that_has_an_assignment_says_so_before_a_second_is_made(cast, signed, as_):
    page = f"{reverse('briefs:new_assignment')}?session={cast.session.uuid}"
    assert "has an assignment already" not in as_(cast.teacher).get(page).content.decode()
    sent = assignment_text(cast, signed)
    send(as_(cast.teacher), "briefs:new_assignment", query=f"?session={cast.session.uuid}", **sent)
    shown = as_(cast.teacher).get(page).content.decode()
    assert "has an assignment already" in shown
    assert reverse("marking:assignment", args=[Assignment.objects.get().uuid]) in shown
