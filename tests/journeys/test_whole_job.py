"""The whole job in a real browser: planned, prepared, measured, assessed and verified, by four people."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from practicals.actions.issue_bench_codes import issue_bench_codes
from tests.journeys.browser import Complaints, Person
from tests.journeys.college import PASSWORD, College

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db(transaction=True)]

PASSPHRASE = "seven quiet beakers"
MOST_CLICKS = 12
SEED = "20261208"
CONCLUSION = "X lies level with L-alanine on the same paper, so X is compatible with alanine."
FEEDBACK = "A careful reading; next time check the direction of the ratio before you write it down."


def test_four_people_do_the_whole_job(
    college: College, seat: Callable[..., Person], pixel: dict, complaints: Complaints
):
    teacher, technician, verifier = seat(), seat(), seat()
    learner = seat(**pixel)
    plans(teacher, college)
    asks_for_reagents(teacher)
    prepares(technician, college)
    fills_and_starts(teacher, college)
    signs_in_at_the_bench(learner, college)
    measures(learner)
    follows(teacher, college)
    finishes(learner)
    ends_bench_work(teacher, college)
    writes_and_submits(learner)
    decides(teacher, college)
    reads_the_result(learner, college)
    portfolio = verifies(verifier, college)
    # The teacher holds the verifier's role too; what they decided themselves stays closed to them.
    assert [teacher.status_of(f"{portfolio}{page}") for page in ("", "sign/", "portfolio.pdf")] == [404] * 3
    assert complaints.said == []


def plans(teacher: Person, college: College) -> None:
    teacher.signs_in("tess", PASSWORD)
    teacher.clicks = 0
    starts = timezone.localtime(timezone.now() + timedelta(minutes=5))
    teacher.click("link", "Set up a session")
    teacher.tick("Amino acids on paper")
    teacher.choose("Class", "Class 1A")
    teacher.type("Date", f"{starts:%Y-%m-%d}")
    teacher.type("Starts at", f"{starts:%H:%M}")
    teacher.type("Room", "Lab 2")
    teacher.type("Learners in a group", "2")
    teacher.click("button", "Plan the session")
    expect(teacher.page.get_by_role("heading", name="Group 2")).to_be_visible()
    teacher.click("link", "Set the assignment")
    if teacher.page.get_by_label("Brief").input_value() == "":
        teacher.choose("Brief", "What is in the supplement?")
    teacher.click("button", "Make and issue")
    expect(teacher.page.get_by_text("It is issued")).to_be_visible()
    assert teacher.clicks <= MOST_CLICKS


def asks_for_reagents(teacher: Person) -> None:
    teacher.page.goto("/plan/sessions/")
    teacher.click("link", "Amino acids on paper, Class 1A")
    teacher.click("link", "Send the requisition")
    expect(teacher.page.get_by_text("in all.")).to_be_visible()
    teacher.click("button", "Send to the technician")
    expect(teacher.page.get_by_text("The requisition is with the technician.")).to_be_visible()


def prepares(technician: Person, college: College) -> None:
    technician.signs_in("tam", PASSWORD)
    technician.click("link", "Amino acids on paper")
    expect(technician.page.get_by_role("heading", name="butan-1-ol").first).to_be_visible()
    for learner in college.teaching_class.learners():
        assert learner.name not in technician.page.content()
    pdf = technician.download(technician.page.get_by_role("link", name="Print the list (PDF)"))
    assert pdf.startswith(b"%PDF")
    technician.click("link", "Record the batch of Mobile phase")
    technician.type("butan-1-ol, lot number", "BX 2291")
    technician.click("button", "Record the batch")
    expect(technician.page.get_by_text("Write this code on the bottle.")).to_be_visible()


def fills_and_starts(teacher: Person, college: College) -> None:
    teacher.page.goto("/plan/sessions/")
    teacher.click("link", "Amino acids on paper, Class 1A")
    teacher.click("link", "Start the session")
    teacher.click("button", "Start now")
    teacher.click("link", "Open the bench board")
    teacher.click("link", "Chambers and batches")
    teacher.click("button", "Fill from this batch")
    batch = college.session.requisition.lines.first().batches.get()
    rows = teacher.page.get_by_role("row").filter(has_text=batch.code)
    expect(rows).to_have_count(2)  # a chamber for each of the two groups


def signs_in_at_the_bench(learner: Person, college: College) -> None:
    session = college.session
    codes = issue_bench_codes(
        by=college.teacher, session=session, learners=[college.learner], now=timezone.now()
    )
    learner.page.goto("/b/")
    learner.type("Class word", session.teaching_class.class_word)
    learner.type("Bench code", codes[0][1])
    learner.click("button", "Sign in", within=learner.page.locator("main"))
    expect(learner.page.get_by_role("heading", level=1)).to_contain_text("Amino acids on paper")


#: The centre of each lane's spot from the paper's lower edge [mm]; the origin is at 20, the front at 120.
CENTRES = {1: "34", 2: "44", 3: "55.5", 4: "55", 5: "60", 6: "60.5", 7: "130"}
#: The learner's own values, by hand: (spot - 20) / 100 half up, but 100 / 24 in lane 2.
OWN_RF = {1: "0.14", 2: "4.17", 3: "0.36", 4: "0.35", 5: "0.40", 6: "0.41", 7: "0.83"}


def measures(learner: Person) -> None:
    learner.click("link", "Enter readings")
    page = learner.page
    page.fill("#id_origin", "20")
    page.fill("#id_front", "12o")
    for lane, centre in CENTRES.items():
        page.fill(f"#id_l{lane}_s1_centre", centre)
        page.fill(f"#id_l{lane}_s1_own_rf", OWN_RF[lane])
    learner.click("button", "Save readings", exact=True)
    # A letter in a number is refused with its reason, and what was typed is kept.
    expect(page.locator("#id_front")).to_have_value("12o")
    expect(page.locator("#id_front_error")).to_contain_text("12o")
    expect(page.locator("#id_l7_s1_centre")).to_have_value("130")
    expect(page.get_by_text("Not saved yet.")).to_be_visible()

    page.fill("#id_front", "120")
    learner.click("button", "Save readings", exact=True)
    expect(page.get_by_text("Saved ").first).to_be_visible()
    remarks = page.get_by_role("region", name="Worth another look")
    expect(remarks).to_contain_text("Lane 7")
    expect(remarks).to_contain_text("Lane 2")
    assert page.locator("svg.paper-drawing .spots > g").count() == len(CENTRES)


def follows(teacher: Person, college: College) -> None:
    teacher.page.goto(f"/board/session/{college.session.uuid}/")
    row = teacher.page.get_by_role("row").filter(has_text=college.learner.name)
    expect(row).to_contain_text("draft, ")
    expect(row).to_contain_text("1 impossible")
    expect(row).to_contain_text("inverted")


def finishes(learner: Person) -> None:
    page = learner.page
    page.fill("#id_l7_s1_centre", "103")
    page.locator("#id_l3_s1_is").select_option("alanine")
    page.locator("#id_l6_s1_is").select_option("?")
    learner.click("button", "Save, and finish measuring")
    learner.click("button", "I have finished: lock my readings")
    expect(page.get_by_text("Your readings were locked")).to_be_visible()
    page.goto("/passphrase/")
    for box in page.locator("main input[type=password]").all():
        box.fill(PASSPHRASE)
    learner.click("button", "Set", within=page.locator("main"))
    expect(page.get_by_text("Your passphrase is set.")).to_be_visible()


def ends_bench_work(teacher: Person, college: College) -> None:
    teacher.page.goto(f"/board/session/{college.session.uuid}/")
    teacher.click("link", "End bench work")
    teacher.click("button", "End bench work")
    expect(teacher.page.get_by_role("link", name="Close the session")).to_be_visible()


def writes_and_submits(learner: Person) -> None:
    learner.page.goto("/my-work/")
    learner.click("link", "What is in the supplement?")
    learner.type("Conclusion", CONCLUSION)
    learner.type("Evaluation", "The front was read at one place only.")
    learner.click("button", "Save", exact=True)
    expect(learner.page.get_by_text("of conclusion")).to_be_visible()
    learner.click("link", "Look through and submit")
    learner.click("checkbox", "")
    learner.click("button", "Submit")
    expect(learner.page.get_by_text("Sign in with your passphrase to read your result.")).to_be_visible()


def decides(teacher: Person, college: College) -> None:
    teacher.page.goto("/marking/")
    teacher.click("link", "What is in the supplement?")
    teacher.click("link", college.learner.name)
    page = teacher.page
    expect(page.get_by_role("region", name="Evidence")).to_contain_text("inverted")
    criteria = list(college.unit.criteria.all())
    for criterion in criteria:
        part = page.locator(f"#at-{criterion.pk}")
        met = criterion.level != "distinction"
        teacher.tick("met" if met else "not yet met", exact=True, within=part)
        if met:
            teacher.tick("Valid:", within=part)
            teacher.tick("Sufficient:", within=part)
        teacher.type("Comment", f"See the readings and the conclusion for {criterion.code}.", within=part)
    teacher.click("button", "Save the decisions")
    grade = page.get_by_text("Grade by rule:").locator("..")
    expect(grade).to_contain_text("Merit: D1 and D2 are not yet met.")
    page.locator("#feedback ~ form textarea").fill(FEEDBACK)
    teacher.click("button", "Save the feedback")
    teacher.tick("Authentic", exact=True)
    teacher.tick("Current", exact=True)
    teacher.click("button", "Declare")
    teacher.click("button", "Release to the learner")
    expect(page.get_by_text("Released", exact=True)).to_be_visible()


def reads_the_result(learner: Person, college: College) -> None:
    learner.click("button", "Sign out")
    learner.signs_in(college.learner.username, PASSPHRASE)
    learner.page.goto("/my-work/")
    learner.click("link", "What is in the supplement?")
    assert FEEDBACK in learner.reads()
    assert "merit" in learner.reads().lower()
    pdf = learner.download(learner.page.get_by_role("link", name="My portfolio as PDF"))
    assert pdf.startswith(b"%PDF")


def verifies(verifier: Person, college: College) -> str:
    """Give the address of the portfolio."""
    verifier.signs_in("vic", PASSWORD)
    page = verifier.page
    page.goto("/verify/draw/")
    verifier.choose("Unit", college.unit.title)
    verifier.choose("Size by", "a number of portfolios")
    verifier.type("Number, or share or chance", "1")
    verifier.type("Seed", SEED)
    verifier.click("button", "Draw", exact=True)
    expect(page.locator("main")).to_contain_text(f"with seed {SEED}")
    verifier.click("link", college.learner.name)
    portfolio = page.url
    assert verifier.download(page.get_by_role("link", name="The portfolio as PDF")).startswith(b"%PDF")
    verdicts = page.get_by_role("group").filter(has=page.get_by_role("radio"))
    for number, group in enumerate(verdicts.all()):
        verifier.tick("disagree" if number == 0 else "agree", exact=True, within=group)
    page.locator("main textarea").first.fill("The comment does not say which reading it rests on.")
    verifier.click("button", "Save the verdicts")
    verifier.click("link", "Go on to sign")
    for what in ("The evidence", "The feedback", "The records"):
        verifier.tick("sound", exact=True, within=page.get_by_role("group", name=what))
    page.locator("input[type=date]").fill(f"{timezone.localdate() + timedelta(days=7):%Y-%m-%d}")
    verifier.click("button", "Sign", exact=True)
    expect(page.get_by_text("Signed. The record stays as it is.")).to_be_visible()
    expect(page.get_by_role("row").filter(has_text=college.learner.name)).to_contain_text("1 not agreed")
    return portfolio
