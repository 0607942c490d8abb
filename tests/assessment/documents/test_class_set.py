"""A class's portfolios as one file: asked once, gone on with after a kill, names that stay apart."""

import zipfile
from datetime import timedelta
from io import BytesIO

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.storage import default_storage

from assessment.actions import ask_class_set as asking
from assessment.actions.ask_class_set import ask_class_set
from assessment.documents import class_set
from assessment.documents.class_set import build_class_set, file_names
from assessment.documents.make_portfolio import make_portfolio
from assessment.models import DocumentJob, IssuedDocument
from practicals.models import AuditEntry
from reagents.rendering import PdfUnavailable
from tests.assessment.documents.quick import quick_print
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment

LATER = NOW + timedelta(days=1)


@pytest.fixture
def assignment(cast):
    made = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    for learner in (cast.learner, cast.group_mate, cast.rival):
        hand_in(made, learner, conclusion="Short.")
    return made


@pytest.fixture
def queued(monkeypatch):
    """Jobs wait: nothing runs until the test runs it."""
    jobs = []
    monkeypatch.setattr(asking, "async_task", lambda *args, **options: jobs.append(args))
    return jobs


def names_in(job):
    with default_storage.open(job.file.place) as file, zipfile.ZipFile(BytesIO(file.read())) as archive:
        return archive.namelist()


def test_set_holds_each_submitted_portfolio_and_is_kept(cast, assignment, quick_print):
    job = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)
    job.refresh_from_db()
    assert (job.wanted, job.done, job.failed) == (3, 3, "")
    assert len(names_in(job)) == 3
    assert all(name.endswith("-separation-in-practice.pdf") for name in names_in(job))
    assert IssuedDocument.objects.get(kind="class set").file == job.file
    assert {"ask_class_set", "keep_class_set"} <= set(AuditEntry.objects.values_list("action", flat=True))


def test_asking_twice_gives_the_job_that_runs(cast, assignment, queued):
    first = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)
    assert ask_class_set(by=cast.teacher, assignment=assignment, now=LATER) == first
    assert queued == [("assessment.documents.class_set.build_class_set", str(first.uuid))]


def test_after_an_hour_one_may_ask_again(cast, assignment, queued):
    first = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)
    assert ask_class_set(by=cast.teacher, assignment=assignment, now=LATER + timedelta(hours=2)) != first


def test_nobody_submitted_is_a_sentence(cast, queued):
    empty = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    with pytest.raises(ValidationError, match="Nobody has submitted yet"):
        ask_class_set(by=cast.teacher, assignment=empty, now=LATER)
    assert queued == []


@pytest.mark.parametrize("person", ["other_teacher", "learner", "technician", "verifier", "administrator"])
def test_others_may_not_ask(cast, assignment, queued, person):
    with pytest.raises(PermissionDenied):
        ask_class_set(by=getattr(cast, person), assignment=assignment, now=LATER)
    assert not DocumentJob.objects.exists()


class Killed(BaseException):
    pass


def test_killed_job_goes_on_and_makes_nothing_twice(cast, assignment, queued, quick_print, monkeypatch):
    job = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)

    def make_one_then_die(**options):
        if quick_print:
            raise Killed
        return make_portfolio(**options)

    monkeypatch.setattr(class_set, "make_portfolio", make_one_then_die)
    with pytest.raises(Killed):
        build_class_set(str(job.uuid))
    job.refresh_from_db()
    assert (job.done, job.finished_at) == (1, None)
    monkeypatch.setattr(class_set, "make_portfolio", make_portfolio)
    build_class_set(str(job.uuid))
    job.refresh_from_db()
    assert job.done == 3
    assert len(quick_print) == len(set(quick_print)) == 3
    assert len(names_in(job)) == 3


def test_delivered_twice_changes_nothing(cast, assignment, queued, quick_print):
    job = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)
    build_class_set(str(job.uuid))
    build_class_set(str(job.uuid))
    assert len(quick_print) == 3
    assert IssuedDocument.objects.filter(kind="class set").count() == 1


def test_machine_without_pdfs_ends_the_job_with_its_sentence(cast, assignment, queued, monkeypatch):
    def refuse(**options):
        raise PdfUnavailable(["pango-1.0"])

    monkeypatch.setattr(class_set, "make_portfolio", refuse)
    job = ask_class_set(by=cast.teacher, assignment=assignment, now=LATER)
    build_class_set(str(job.uuid))
    job.refresh_from_db()
    assert "pango-1.0" in job.failed
    assert job.finished_at
    assert job.file is None


def test_file_names_keep_letters_and_lose_what_a_disk_refuses():
    assert file_names([("Łukasz, Ó/Brien: *", "Unit 1")]) == ["Łukasz-Ó-Brien-unit-1.pdf"]
    assert file_names([("../../etc/passwd", "U"), ("\u202e\u200b", "U")]) == [
        "etc-passwd-u.pdf",
        "learner-u.pdf",
    ]


def test_file_names_that_look_alike_get_a_number():
    people = ["Illing", "lIling", "illing", "Íllíng", "O-Fa", "0 Fa"]
    names = file_names([(person, "U") for person in people])
    assert names == [
        "Illing-u.pdf", "lIling-u-2.pdf", "illing-u-3.pdf", "Íllíng-u-4.pdf", "O-Fa-u.pdf", "0-Fa-u-2.pdf",
    ]  # fmt: skip


def test_number_is_not_one_that_somebody_is_called():
    names = file_names([("Ash-u-2", ""), ("Ash", "u"), ("Ash", "u")])
    assert len(set(names)) == 3


__all__ = ["quick_print"]
