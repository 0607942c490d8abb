"""The pages round documents: who gets a file, what the check page answers, how a set is asked for."""

import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from assessment.actions.draw_sample import draw_sample
from assessment.models import DocumentJob, SamplingPlan
from assessment.pages.verify import documents
from reagents.rendering import PdfUnavailable
from tests.assessment.documents.quick import quick_print
from tests.assessment.documents.rich import decide_all, rich_submission
from tests.factories import NOW, make_assignment

ROLES = ("other_teacher", "group_mate", "stranger", "technician", "administrator", "verifier")


@pytest.fixture
def submission(cast):
    return rich_submission(cast, papers=1, photo=False)


def portfolio_of(submission, journey="marking"):
    return reverse(f"{journey}:portfolio", args=[submission.work.uuid])


def send(client, name, content, **more):
    upload = SimpleUploadedFile(name, content)
    return client.post(reverse("verify:check"), {"document": upload, "once": uuid.uuid4(), **more})


def test_teacher_downloads_a_pdf_that_no_cache_keeps(cast, submission, quick_print, as_):
    answer = as_(cast.teacher).get(portfolio_of(submission))
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"].startswith("attachment; filename=")
    assert "no-store" in answer["Cache-Control"]
    assert answer.content.startswith(b"%PDF-")


@pytest.mark.parametrize("person", ROLES)
@pytest.mark.parametrize("journey", ["marking", "my_work"])
def test_others_do_not_find_it(cast, submission, quick_print, as_, person, journey):
    assert as_(getattr(cast, person)).get(portfolio_of(submission, journey)).status_code == 404
    assert quick_print == []


def test_learner_downloads_their_own(cast, submission, quick_print, as_):
    assert as_(cast.learner).get(portfolio_of(submission, "my_work")).status_code == 200
    assert as_(cast.learner).get(portfolio_of(submission, "marking")).status_code == 404


def test_bench_code_does_not_open_it(cast, submission, quick_print, as_):
    client = as_(cast.learner)
    session = client.session
    session["bench_session"] = str(submission.work.assignment.sessions.get().uuid)
    session.save()
    assert client.get(portfolio_of(submission, "my_work")).status_code == 404


def test_work_not_submitted_has_no_portfolio(cast, submission, quick_print, as_):
    other = submission.work.assignment.works.exclude(pk=submission.work_id).first()
    assert as_(cast.teacher).get(reverse("marking:portfolio", args=[other.uuid])).status_code == 404


def test_verifier_downloads_what_was_drawn(cast, submission, quick_print, as_):
    decide_all(submission)
    unit = submission.work.assignment.brief.unit
    plan = draw_sample(by=cast.verifier, unit=unit, size=1, seed=1, stage=SamplingPlan.Stage.INTERIM, now=NOW)
    address = reverse("verify:portfolio_pdf", args=[plan.portfolios.get().uuid])
    assert as_(cast.verifier).get(address).status_code == 200
    assert as_(cast.teacher).get(address).status_code == 404


def test_machine_without_pdfs_says_so_on_a_page(cast, submission, as_, monkeypatch):
    def refuse(portfolio):
        raise PdfUnavailable(["pango-1.0"])

    monkeypatch.setattr("assessment.documents.make_portfolio.portfolio_pdf", refuse)
    answer = as_(cast.teacher).get(portfolio_of(submission))
    assert answer.status_code == 503
    assert "PDFs cannot be made on this machine" in answer.content.decode()


def test_check_page_is_open_to_anyone_and_knows_what_the_code_on_paper_leads_to(submission, client):
    address = reverse("verify:check")
    known = client.get(address, {"evidence": submission.manifest_sha256})
    assert "We know a submission with this evidence hash." in known.content.decode()
    assert submission.work.learner.name not in known.content.decode()
    assert "We do not know this." in client.get(address, {"evidence": "f" * 64}).content.decode()
    assert "no evidence hash" in client.get(address, {"evidence": "<b>"}).content.decode()


def test_check_page_answers_for_an_issued_file(cast, submission, quick_print, as_):
    content = as_(cast.teacher).get(portfolio_of(submission)).content
    for client in (Client(), as_(cast.stranger)):
        assert "Issued by us, unaltered." in send(client, "a.pdf", content).content.decode()
        assert "We do not know this." in send(client, "a.pdf", content + b" ").content.decode()


@pytest.mark.parametrize("content", [b"", b"\x00\xff" * 99, b"%PDF-1.4 nothing"])
def test_check_page_answers_anything_with_a_sentence(centre, client, content):
    answer = send(client, "x.pdf", content)
    assert answer.status_code == 200
    assert "We do not know this." in answer.content.decode()


def test_check_page_asks_for_a_file_when_none_was_chosen(centre, client):
    answer = client.post(reverse("verify:check"))
    assert "Choose the file that you want to check." in answer.content.decode()


def test_upload_that_is_too_large_is_stopped_and_said(centre, cast, as_, monkeypatch):
    monkeypatch.setattr(documents, "LARGEST_BYTES", 1000)
    for client in (Client(), as_(cast.teacher)):
        answer = send(client, "x.pdf", b"%PDF-" + b"x" * 200_000)
        assert answer.status_code == 200
        assert "is larger than 20 MB" in answer.content.decode()


def test_upload_needs_the_forms_token(centre):
    assert send(Client(enforce_csrf_checks=True), "x.pdf", b"%PDF-").status_code == 403


def test_set_is_asked_for_made_and_downloaded(cast, submission, quick_print, as_):
    client = as_(cast.teacher)
    address = reverse("marking:class_set", args=[submission.work.assignment.uuid])
    assert "Make the set" in client.get(address).content.decode()
    assert client.post(address, {"once": uuid.uuid4()}).status_code == 302
    assert "Download the set (ZIP)" in client.get(address).content.decode()
    file = client.get(reverse("marking:class_set_file", args=[DocumentJob.objects.get().uuid]))
    assert b"".join(file.streaming_content).startswith(b"PK")


def test_running_job_shows_how_far_it_is(cast, submission, as_):
    assignment = submission.work.assignment
    job = DocumentJob.objects.create(
        assignment=assignment, asked_by=cast.teacher, asked_at=NOW + timedelta(days=3650), wanted=16, done=5
    )
    address = reverse("marking:class_set", args=[assignment.uuid])
    assert "5 of 16 portfolios so far" in as_(cast.teacher).get(address).content.decode()
    fragment = as_(cast.teacher).get(address, headers={"HX-Request": "true"}).content.decode()
    assert "5 of 16" in fragment
    assert "<html" not in fragment
    job.asked_at = NOW - timedelta(days=3650)
    job.save()
    assert "It was not finished." in as_(cast.teacher).get(address).content.decode()


def test_asking_before_anybody_submitted_is_a_sentence(cast, as_):
    empty = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    address = reverse("marking:class_set", args=[empty.uuid])
    assert "Nobody has submitted yet" in as_(cast.teacher).get(address).content.decode()
    answer = as_(cast.teacher).post(address, {"once": uuid.uuid4()})
    assert answer.status_code == 200
    assert "there is no portfolio to put together" in answer.content.decode()


@pytest.mark.parametrize("person", [*ROLES, "learner"])
def test_set_and_its_file_are_for_whoever_asked(cast, submission, quick_print, as_, person):
    assignment = submission.work.assignment
    as_(cast.teacher).post(reverse("marking:class_set", args=[assignment.uuid]), {"once": uuid.uuid4()})
    job = DocumentJob.objects.get()
    client = as_(getattr(cast, person))
    assert client.get(reverse("marking:class_set", args=[assignment.uuid])).status_code == 404
    assert client.get(reverse("marking:class_set_file", args=[job.uuid])).status_code == 404


__all__ = ["quick_print"]
