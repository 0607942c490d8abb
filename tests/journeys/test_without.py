"""The same pages without a mouse, and without JavaScript."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.actions.start_session import start_session
from practicals.models import Practical, Session
from tests.journeys.browser import Person
from tests.journeys.college import PASSWORD, College

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]
MOST_TABS = 60


def tab_to(page: Page, wanted: Locator) -> None:
    """Press Tab until the wanted thing has the focus, which must then be seen."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if wanted.evaluate("one => one === document.activeElement"):
            break
    expect(wanted).to_be_focused()
    outline = wanted.evaluate("one => getComputedStyle(one).outlineStyle + getComputedStyle(one).boxShadow")
    assert outline != "nonenone"


def test_a_session_is_planned_with_the_keyboard_alone(college: College, seat: Callable[..., Person]):
    page = seat().page
    keys = page.keyboard
    # The same in every language's order of day and month.
    day = f"1212{timezone.localdate().year + 1}"
    page.goto("/sign-in/")
    tab_to(page, page.get_by_label("Sign-in name"))
    keys.type("tess")
    tab_to(page, page.get_by_label("Password"))
    keys.type(PASSWORD)
    keys.press("Enter")
    expect(page.get_by_role("heading", name="Today")).to_be_visible()
    tab_to(page, page.get_by_role("link", name="Set up a session"))
    keys.press("Enter")
    expect(page.get_by_role("heading", name="Plan a session")).to_be_visible()
    # The skip link is the first stop of every page, and leads past the menu.
    keys.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page's content")).to_be_focused()
    keys.press("Enter")
    first = page.locator("[name=practical]").first
    tab_to(page, first)
    keys.press("Space")
    expect(first).to_be_checked()
    tab_to(page, page.locator("[name=teaching_class]"))
    keys.type("Class 1A")
    tab_to(page, page.get_by_label("Date").first)
    keys.type(day)
    tab_to(page, page.get_by_label("Starts at").first)
    keys.type("1015A")  # the letter where the browser asks for a.m.
    tab_to(page, page.get_by_label("Room").first)
    keys.type("Lab 2")
    tab_to(page, page.get_by_role("button", name="Plan the session"))
    keys.press("Enter")
    expect(page.get_by_text("The session is planned and its groups are drawn.")).to_be_visible()
    planned = college.session
    assert planned.teaching_class == college.teaching_class
    assert timezone.localtime(planned.lessons.get().starts_at).strftime("%d%m%Y %H:%M") == f"{day} 10:15"


@pytest.fixture
def running(college: College) -> Session:
    """The college's session, started a moment ago."""
    now = timezone.now()
    session = plan_session(
        by=college.teacher,
        practical=Practical.objects.get(slug="amino-acids-on-paper"),
        teaching_class=college.teaching_class,
        lessons=[LessonPlan(starts_at=now, minutes=120, room="Lab 2", leader=college.teacher)],
        group_size=2,
        seed=1,
        help_setting=Session.Help.HINT,
        now=now - timedelta(days=1),
    )
    start_session(by=college.teacher, session=session, now=now)
    return college.session


def test_readings_are_entered_and_followed_without_javascript(
    college: College, running: Session, seat: Callable[..., Person], pixel: dict
):
    learner, teacher = seat(**pixel, java_script_enabled=False), seat(java_script_enabled=False)
    codes = issue_bench_codes(
        by=college.teacher, session=running, learners=[college.learner], now=timezone.now()
    )
    page = learner.page
    page.goto(f"/b/?word={running.teaching_class.class_word}&code={codes[0][1]}")
    learner.click("button", "Sign in", within=page.locator("main"))
    learner.click("link", "Enter readings")
    for field, figure in {"origin": "20", "front": "12o", "l1_s1_centre": "34", "l3_s1_centre": "41"}.items():
        page.fill(f"#id_{field}", figure)
    learner.click("button", "Save readings", exact=True)
    expect(page.locator("#id_front")).to_have_value("12o")
    expect(page.locator("#id_l3_s1_centre")).to_have_value("41")
    page.fill("#id_front", "120")
    learner.click("button", "Save, and add another spot to lane 3", exact=True)
    page.fill("#id_l3_s2_centre", "63")
    learner.click("button", "Save readings", exact=True)
    # Drawn by the server: spots in lanes 1 and 3.
    expect(page.locator("svg.paper-drawing .spots > g")).to_have_count(3)

    teacher.signs_in("tess", PASSWORD)
    teacher.page.goto(f"/board/session/{running.uuid}/")
    row = teacher.page.get_by_role("row").filter(has_text=college.learner.name)
    expect(row).to_contain_text("draft")
    teacher.click("link", "Refresh")
    expect(row).to_contain_text("draft")
