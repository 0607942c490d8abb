"""Pages about deadlines, further attempts and policy, as each person meets them."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from assessment.calculations.attempts import CONDITIONS
from assessment.models import CalendarDay, Extension, Policy, ResubmissionGrant
from tests.assessment.actions.test_attempts import asked, declare
from tests.assessment.handed_in import decide_all, hand_in, issued, let_out, work_of
from tests.documents.reading import attachments, page_texts


def send(client, address, uuid=None, **values):
    url = reverse(address, args=[uuid] if uuid else [])
    return client.post(url, {"once": str(uuid4()), **values})


@pytest.fixture
def work(cast):
    return work_of(issued(cast), cast.learner)


@pytest.fixture
def released(cast, work):
    submission = hand_in(work)
    declare(submission, cast.teacher)
    decide_all(submission, cast.teacher, "not yet met")
    let_out(submission, cast.teacher)
    return submission


def test_an_extension_shows_on_the_learners_page(cast, as_, work):
    due = timezone.localtime(timezone.now()) + timedelta(days=60)
    answer = send(
        as_(cast.teacher),
        "attempts:extension",
        work.uuid,
        due_day=f"{due:%Y-%m-%d}",
        due_time="12:30",
        reason="Agreed adjustment",
        seen_version=work.version,
    )
    assert answer.status_code == 302
    assert Extension.objects.get().reason == "Agreed adjustment"
    page = as_(cast.learner).get(reverse("my_work:work", args=[work.uuid])).content.decode()
    assert "12:30 (extended)" in page


@pytest.mark.parametrize(
    ("day", "words"),
    [("2020-01-01", "later than the deadline"), ("not a day", "no date"), ("2099-01-01", "Check the year")],
)
def test_an_impossible_deadline_keeps_what_was_typed(cast, as_, work, day, words):
    answer = send(
        as_(cast.teacher),
        "attempts:extension",
        work.uuid,
        due_day=day,
        due_time="12:30",
        reason="Absent on Tuesday",
    )
    page = answer.content.decode()
    assert words in page
    assert "Absent on Tuesday" in page
    assert not Extension.objects.exists()


def test_from_asking_to_the_second_attempt(cast, as_, released):
    send(as_(cast.teacher), "attempts:ask", released.uuid, because="One slip runs through it.")
    grant = ResubmissionGrant.objects.get()
    lead = as_(cast.lead_verifier)
    assert "to answer" in lead.get(reverse("attempts:requests")).content.decode()
    assert "Resubmissions asked for" in lead.get(reverse("home:home")).content.decode()
    refused = send(lead, "attempts:answer", grant.uuid, received_on="2026-11-24", ticked=["same_brief"])
    assert "All five conditions must hold" in refused.content.decode()
    received = f"{timezone.localdate(released.feedback.released_at):%Y-%m-%d}"
    answer = send(lead, "attempts:answer", grant.uuid, received_on=received, ticked=list(CONDITIONS))
    assert answer.status_code == 302
    learner = as_(cast.learner)
    page = learner.get(reverse("my_work:work", args=[released.work.uuid])).content.decode()
    assert "You may submit once more" in page
    earlier = learner.get(reverse("my_work:work", args=[released.work.uuid]) + "?attempt=1").content.decode()
    assert "What you handed in" in earlier
    assert "Read the front per lane." in earlier


def test_what_stands_in_the_way_is_said_before_anything_is_typed(cast, as_, work):
    submission = hand_in(work)
    page = as_(cast.teacher).get(reverse("attempts:ask", args=[submission.uuid])).content.decode()
    assert "It cannot be asked for." in page
    assert "not released" in page


def test_a_refusal_reaches_the_assessor(cast, as_, released):
    grant = asked(released, cast.teacher)
    send(as_(cast.lead_verifier), "attempts:refuse", grant.uuid, reason="The others had feedback first.")
    page = as_(cast.teacher).get(reverse("marking:work", args=[released.work.uuid])).content.decode()
    assert "The others had feedback first." in page


def test_the_policy_is_changed_as_a_new_edition(cast, as_):
    lead = as_(cast.lead_verifier)
    form = lead.get(reverse("attempts:edit_policy")).context["form"]
    values = {name: value for name, value in form.initial.items() if value is not False}
    answer = send(
        lead, "attempts:edit_policy", **{**values, "resubmission_working_days": "10", "reason": "New rules"}
    )
    assert answer.status_code == 302
    assert Policy.objects.current().resubmission_working_days == 10
    assert "10 working days" in lead.get(reverse("attempts:policy")).content.decode()


@pytest.mark.parametrize("typed", ["", "ten", "-3", "1e9", "2,5", "201"])
def test_a_number_that_cannot_be_is_a_sentence_and_kept(cast, as_, typed):
    answer = send(
        as_(cast.lead_verifier), "attempts:edit_policy", resubmission_working_days=typed, reason="Why"
    )
    assert answer.status_code == 200
    assert "Give a whole number from 1 to 200." in answer.content.decode()
    assert not Policy.objects.filter(edition=2).exists()


def test_a_teacher_reads_policy_and_calendar_but_changes_neither(cast, as_):
    teacher = as_(cast.teacher)
    assert "Change the policy" not in teacher.get(reverse("attempts:policy")).content.decode()
    assert "Enter a day" not in teacher.get(reverse("attempts:calendar")).content.decode()
    send(teacher, "attempts:calendar", first="2026-12-01", kind="closed", name="Training")
    assert not CalendarDay.objects.exists()


def test_the_calendar_takes_a_spell(cast, as_):
    answer = send(
        as_(cast.administrator),
        "attempts:calendar",
        first="2026-12-21",
        last="2026-12-31",
        kind="vacation",
        name="Winter",
    )
    assert answer.status_code == 302
    assert CalendarDay.objects.count() == 11


def test_a_file_goes_from_the_learner_to_the_assessor_and_to_nobody_else(cast, as_, work):
    learner = as_(cast.learner)
    chosen = SimpleUploadedFile("report.pdf", b"%PDF-1.7 a report")
    assert send(learner, "attempts:attach", work.uuid, title="Report", kind="report", file=chosen).url
    url = reverse("attempts:attachment", args=[work.attachments.get().uuid])
    for person, status in (
        (cast.learner, 200),
        (cast.teacher, 200),
        (cast.group_mate, 404),
        (cast.other_teacher, 404),
        (cast.verifier, 404),
        (cast.technician, 404),
    ):
        answer = as_(person).get(url)
        assert answer.status_code == status
    answer = learner.get(url)
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 a report"
    assert answer["Content-Disposition"].startswith("attachment")


def test_a_file_that_is_not_kept_is_said_at_its_field(cast, as_, work):
    chosen = SimpleUploadedFile("report.pdf", b"MZ\x90\x00 a renamed program")
    answer = send(as_(cast.learner), "attempts:attach", work.uuid, title="Report", kind="report", file=chosen)
    assert "Kept are PDF" in answer.content.decode()
    assert not work.attachments.exists()


def test_a_file_handed_in_stands_with_the_evidence_and_inside_the_portfolio(cast, as_, work):
    chosen = SimpleUploadedFile("report.pdf", b"%PDF-1.7 a report")
    send(as_(cast.learner), "attempts:attach", work.uuid, title="My report", kind="report", file=chosen)
    submission = hand_in(type(work).objects.get(pk=work.pk))
    teacher = as_(cast.teacher)
    page = teacher.get(reverse("marking:work", args=[work.uuid])).content.decode()
    assert "My report" in page
    assert reverse("attempts:attachment", args=[work.attachments.get().uuid]) in page
    pdf = teacher.get(reverse("marking:portfolio", args=[work.uuid])).content
    inside = attachments(pdf)
    assert inside["file-1.pdf"] == b"%PDF-1.7 a report"
    assert "My report" in " ".join(page_texts(pdf))
    assert submission.manifest_sha256 in " ".join(page_texts(pdf)).replace("\n", "")
