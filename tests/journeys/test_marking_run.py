"""A marking run by keyboard alone: with the page's script a few keys a learner, without it Tab and Space."""

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from assessment.models import Decision
from practicals.models import Role
from tests.assessment.submitting import hand_in
from tests.factories import make_assignment, make_class, make_readings, make_session, make_user

pytestmark = [pytest.mark.browser]

LEARNERS = 3
#: Met, valid, sufficient, to the comment; Control and Enter when it is written.
WITH_SCRIPT = ("1", "3", "4", "5"), ("Control+Enter",)
#: Down to “met”, Tab and Space for each tick, Tab to the comment; past the references to the button.
WITHOUT = ("ArrowDown", "Tab", "Space", "Tab", "Space", "Tab"), ("Tab", "Tab", "Enter")


@pytest.fixture
def run(transactional_db):
    teacher = make_user("", Role.TEACHER, username="marker")
    session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=LEARNERS))
    assignment = make_assignment(session=session)
    assignment.brief.criteria.update(needs=[{"kind": "readings", "at_least": 1}])
    for member in session.members.all():
        make_readings(member.group.papers.get(), member.learner)
        hand_in(assignment, member.learner)
    return reverse("marking:run", args=[assignment.uuid, "P1"])


def press(page: Page, keys: tuple[str, ...]) -> int:
    for key in keys:
        page.keyboard.press(key)
    return len(keys)


@pytest.mark.parametrize(("script", "keys", "most"), [(True, WITH_SCRIPT, 5), (False, WITHOUT, 9)])
def test_each_decision_takes_few_keys_beside_its_comment(seat, run, script, keys, most):
    person = seat(java_script_enabled=script)
    person.signs_in("marker", "correct horse battery")
    page = person.page
    page.goto(run)
    before, after = keys
    for number in range(LEARNERS):
        expect(page.get_by_text(f"{number} of {LEARNERS} decided on P1")).to_be_visible()
        pressed = press(page, before)
        page.keyboard.type(f"Lanes 1 to 4, learner {number}.")
        pressed += press(page, after)
        assert pressed <= most
    expect(page.get_by_text("everybody who has submitted")).to_be_visible()
    met = Decision.objects.filter(outcome="met", valid=True, sufficient=True)
    assert sorted(met.values_list("comment", flat=True)) == [
        f"Lanes 1 to 4, learner {number}." for number in range(LEARNERS)
    ]


def test_a_reference_is_inserted_where_the_cursor_stands(seat, run):
    person = seat()
    person.signs_in("marker", "correct horse battery")
    person.page.goto(run)
    comment = person.page.get_by_label("Comment on P1")
    comment.fill("Complete.")
    comment.press("Home")
    person.click("button", "Insert: Group 1, paper A")
    assert comment.input_value().startswith("Group 1, paper A, lanes 1–")
    assert comment.input_value().endswith(": Complete.")
