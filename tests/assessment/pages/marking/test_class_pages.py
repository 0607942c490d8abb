"""Pages about the class as a whole: evidence grid, summary, fair options, release together."""

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessment.models import Decision, DecisionDraft, Feedback, IssuedDocument, ResubmissionGrant
from assessment.models.drafts import decision_starts
from practicals.models import ReadingSet
from tests.assessment.handed_in import decide_all, decided_class, let_out
from tests.documents.reading import page_texts


@pytest.fixture
def decided(cast):
    return decided_class(12, verifier=cast.verifier, teacher=cast.teacher)


def address(name, submission):
    return reverse(f"marking:{name}", args=[submission.work.assignment.uuid])


def test_the_grid_says_by_word_and_by_sign_what_is_there(cast, as_, decided):
    criterion = decided[0].work.assignment.brief.criteria.get(code="P1")
    criterion.needs = [{"kind": "readings", "at_least": 1}, {"kind": "photo", "at_least": 1}]
    criterion.save()
    answer = as_(cast.teacher).get(address("evidence", decided[0]))
    line = answer.context["lines"][0]
    assert (line.cells[0].evidence.word, line.cells[0].evidence.why) == ("missing", ("photos",))
    text = answer.content.decode()
    assert '<span aria-hidden="true">–</span> missing' in text
    assert "none named" in text


@pytest.mark.parametrize("name", ["evidence", "fair"])
def test_a_page_of_the_class_takes_the_same_queries_for_3_and_for_12(cast, as_, name):
    client, counts = as_(cast.teacher), []
    for learners in (3, 12):
        submissions = decided_class(learners, verifier=cast.verifier, teacher=cast.teacher)
        with CaptureQueriesContext(connection) as seen:
            assert client.get(address(name, submissions[0])).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_summary_is_kept_as_issued_and_says_who_met_what(cast, as_, decided):
    answer = as_(cast.teacher).get(address("summary", decided[0]))
    assert answer["Content-Type"] == "application/pdf"
    issued = IssuedDocument.objects.get(kind="class summary")
    assert issued.assignment == decided[0].work.assignment
    text = " ".join(" ".join(page_texts(answer.content)).split())
    assert "not yet met" in text
    assert str(decided[0].work.learner) in text


def test_fair_options_count_first_attempts_by_paper_and_do_not_test_small_groups(cast, as_, decided):
    answer = as_(cast.teacher).get(address("fair", decided[0]))
    line = answer.context["options"].by_paper[0]
    assert sum(count.n for count in line.comparison.counts) == 12
    assert sum(count.met for count in line.comparison.counts) == 6
    assert line.comparison.p is None
    assert "Too few to compare" in answer.content.decode()


def test_fair_options_name_the_unknown_on_the_papers_read(cast, as_, decided):
    paper = ReadingSet.objects.filter(learner=decided[0].work.learner).first().paper
    unknown = paper.lanes.filter(analyte__role="unknown").first()
    answer = as_(cast.teacher).get(address("fair", decided[0]))
    names = [count.option for count in answer.context["options"].by_unknown[0].comparison.counts]
    assert unknown is not None
    assert any(unknown.analyte.name in name for name in names)


def test_release_all_that_is_ready_says_what_stayed_back(cast, as_, decided):
    client = as_(cast.teacher)
    let_out(decided[0], cast.teacher)
    Feedback.objects.filter(submission=decided[0]).update(released_at=None)
    answer = client.post(address("release_ready", decided[0]), {"once": str(uuid4())}, follow=True)
    text = answer.content.decode()
    assert "1 result released." in text
    assert "Declare first" in text or "feedback first" in text
    assert "6 more stayed back." in text


def test_the_feedback_record_is_for_learner_and_assessor_once_released(cast, as_, decided):
    submission = decided[0]
    record = reverse("marking:feedback_record", args=[submission.work.uuid])
    mine = reverse("my_work:feedback_record", args=[submission.work.uuid])
    assert as_(cast.teacher).get(record).status_code == 404
    assert as_(submission.work.learner).get(mine).status_code == 404
    let_out(submission, cast.teacher)
    theirs = as_(cast.teacher).get(record)
    own = as_(submission.work.learner).get(mine)
    assert theirs.content == own.content
    text = " ".join(" ".join(page_texts(own.content)).split())
    assert "Read the front per lane." in text
    assert "authentic" in text
    assert submission.manifest_sha256 in text.replace(" ", "")
    assert IssuedDocument.objects.get(kind="decision and feedback record").submission == submission


def test_a_resubmission_starts_from_the_earlier_comments_to_be_confirmed(cast, as_, decided):
    first = decided[0]
    second = first.work.submissions.create(
        attempt=2,
        kind="resubmission",
        submitted_at=first.submitted_at,
        declaration="Mine.",
        manifest=first.manifest,
        manifest_sha256=first.manifest_sha256,
    )
    criterion = first.work.assignment.brief.criteria.first()
    start = decision_starts(second, cast.teacher)[criterion.pk]
    assert start.carried.submission == first
    assert start.initial["outcome"] == ""
    client = as_(cast.teacher)
    page = reverse("marking:work", args=[first.work.uuid])
    answer = client.get(page)
    assert "Carried over, to be confirmed." in answer.content.decode()
    data = {"once": str(uuid4()), "submission": str(second.uuid)}
    for shown in answer.context["criteria"]:
        data[shown.form.add_prefix("comment")] = shown.form["comment"].value()
    assert client.post(reverse("marking:decide", args=[first.work.uuid]), data).status_code == 302
    assert not Decision.objects.filter(submission=second).exists()
    assert not DecisionDraft.objects.exists()
    decide_all(second, cast.teacher)
    again = client.get(page).content.decode()
    assert "Carried over" not in again
    assert not ResubmissionGrant.objects.exists()
