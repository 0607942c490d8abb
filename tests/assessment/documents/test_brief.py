"""A brief on paper: what learners get, what a verifier checks, and that what went out is kept."""

from datetime import timedelta

import pytest
from django.urls import reverse

from assessment.actions.review_brief import review_brief
from assessment.actions.sign_off_brief import sign_off_brief
from assessment.calculations.manifest import digest
from assessment.documents.brief import brief_pdf, gather_brief, make_brief
from assessment.models import Brief, IssuedDocument
from assessment.pages.briefs import documents
from practicals.templatetags.wickmark import moment
from reagents.rendering import PdfUnavailable
from tests.assessment.actions.test_write_brief import ALL_YES
from tests.documents.reading import attachments, page_texts
from tests.factories import NOW, make_assignment, make_unit

TASKS = "1. Run the paper.\n2. Say what is in X."


@pytest.fixture
def brief(cast):
    unit = make_unit()
    brief = Brief.objects.create(
        slug="b", unit=unit, title="Which acid?", tasks=TASKS, conditions="Two hours in the laboratory.",
        author=cast.teacher, written_at=NOW,
    )  # fmt: skip
    brief.criteria.set(unit.criteria.all())
    return brief


@pytest.fixture
def assignment(cast):
    return make_assignment(session=cast.session, signed_off_by=cast.verifier)


def printed(pdf):
    return " ".join(" ".join(page_texts(pdf)).split())


def test_an_unsigned_edition_is_printed_for_checking_with_its_points_and_lines_to_sign(cast, brief):
    review_brief(
        by=cast.verifier, brief=brief, points={**ALL_YES, "language": "no"}, comment="Task 2 is vague.",
        verdict="changes wanted", now=NOW,
    )  # fmt: skip
    pdf = brief_pdf(gather_brief(brief))
    text = printed(pdf)
    for words in ("Say what is in X.", "Two hours in the laboratory.", "What M1 asks", "Not signed off yet",
                  "Checked by, date", "Task 2 is vague.", "The right criteria are named"):  # fmt: skip
        assert words in text
    assert b"Say what is in X." in attachments(pdf)["brief.json"]


def test_the_learners_copy_has_dates_and_sign_off_but_no_rounds(cast, assignment):
    text = printed(brief_pdf(gather_brief(assignment.brief, assignment=assignment)))
    for words in (assignment.teaching_class.name, moment(assignment.due_at), "Handed out",
                  f"by {cast.verifier.name}", "who did not write it"):  # fmt: skip
        assert words in text
    assert "Rounds of feedback" not in text


def test_a_plan_to_hand_out_gives_way_to_the_day_it_was_issued(assignment):
    assignment.hand_out_on = (NOW - timedelta(days=3)).date()
    assert gather_brief(assignment.brief, assignment=assignment).hand_out_on == NOW.date()
    assignment.issued_at = None
    assert gather_brief(assignment.brief, assignment=assignment).hand_out_on == assignment.hand_out_on


def test_the_date_is_that_of_the_last_change_so_equal_briefs_give_equal_bytes(cast, brief):
    later = NOW + timedelta(days=2)
    signed = sign_off_brief(by=cast.verifier, brief=brief, comment="Fit.", points=ALL_YES, now=later)
    assert gather_brief(signed).created == later
    first, content = make_brief(by=cast.teacher, brief=signed, now=later + timedelta(days=1))
    second, again = make_brief(by=cast.verifier, brief=signed, now=later + timedelta(days=2))
    assert (first, content) == (second, again)
    assert IssuedDocument.objects.get().evidence_sha256 == digest(attachments(content)["brief.json"])


def test_a_change_of_the_text_changes_its_hash(brief):
    before = gather_brief(brief).sha256
    brief.conditions = "Three hours in the laboratory."
    assert gather_brief(brief).sha256 != before


def test_a_learner_gets_their_own_issued_brief_and_nobody_elses(cast, assignment, as_):
    work = assignment.works.get(learner=cast.learner)
    answer = as_(cast.learner).get(reverse("briefs:my_brief", args=[work.uuid]))
    assert answer.content.startswith(b"%PDF-")
    assert "no-store" in answer["Cache-Control"]
    assert as_(cast.rival).get(reverse("briefs:my_brief", args=[work.uuid])).status_code == 404
    assignment.issued_at = None
    assignment.save()
    assert as_(cast.learner).get(reverse("briefs:my_brief", args=[work.uuid])).status_code == 404


def test_a_machine_without_the_libraries_says_so_on_a_page(cast, brief, as_, monkeypatch):
    def unable(**_):
        raise PdfUnavailable(["pango"])

    monkeypatch.setattr(documents, "make_brief", unable)
    answer = as_(cast.teacher).get(reverse("briefs:brief_pdf", args=[brief.uuid]))
    assert answer.status_code == 503
    assert "pango" in answer.content.decode()
