"""A roster of many classes: seen first, taken in whole, and the same again changes nothing."""

import io
import zipfile
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from practicals.models import RosterIdentity, TeachingClass, User
from tests.practicals.calculations.test_oneroster import ENROLLMENTS, files

URL = "people:import_roster"


def archive(**changes):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as packed:
        for name, text in files(**changes).items():
            packed.writestr(name, text)
    return buffer.getvalue()


def choose(client, data):
    file = SimpleUploadedFile("roster.zip", data)
    return client.post(reverse(URL), {"once": str(uuid4()), "file": file})


def confirm(client, page, *classes):
    return client.post(
        reverse(URL), {"once": str(uuid4()), "sealed": page.context["sealed"], "classes": list(classes)}
    )


def take_in(client, **changes):
    return confirm(client, choose(client, archive(**changes)), "k1")


@pytest.fixture
def admin(cast, as_):
    cast.teacher.username = "teacher"
    cast.teacher.save()
    return as_(cast.administrator)


def test_nothing_is_saved_before_it_is_confirmed(admin):
    page = choose(admin, archive())
    assert "a new class of 2" in page.content.decode()
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


def test_confirmed_it_makes_the_class_with_its_learners_and_teacher(cast, admin):
    take_in(admin)
    made = TeachingClass.objects.get(name="12B Chemistry")
    assert {p.name for p in made.learners()} == {"Alex Ash", "Ben Birch"}
    assert list(made.teachers.all()) == [cast.teacher]
    assert RosterIdentity.objects.get(kind="class").sourced_id == "k1"
    assert set(RosterIdentity.objects.filter(kind="person").values_list("sourced_id", flat=True)) == {
        "u1",
        "u2",
    }


def test_the_same_roster_again_changes_nothing(admin):
    take_in(admin)
    before = User.objects.count()
    page = choose(admin, archive())
    assert "2 are in it already" in page.content.decode()
    confirm(admin, page, "k1")
    assert User.objects.count() == before


def test_one_wrong_row_and_nothing_is_taken_in(admin):
    page = choose(
        admin, archive(enrollments=f"{ENROLLMENTS}\ne1,,,k1,s1,u1,student,,,\ne2,,,k1,s1,u9,student,,,\n")
    )
    said = page.content.decode()
    assert "enrollments.csv" in said
    assert "No user u9" in said
    assert "sealed" not in page.context
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


def test_what_is_unticked_is_left_out(admin):
    page = confirm(admin, choose(admin, archive()))
    assert page.status_code == 302
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no ZIP archive"),
        (b"name,number\n", "no ZIP archive"),
        (b"PK\x03\x04 cut short", "damaged"),
    ],
)
def test_a_file_that_is_no_archive_is_said_at_its_field(admin, data, words):
    assert words in choose(admin, data).content.decode()


def test_files_in_a_folder_are_explained(admin):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as packed:
        packed.writestr("export/manifest.csv", "propertyName,value\n")
    assert "root of the archive" in choose(admin, buffer.getvalue()).content.decode()


def test_a_preview_sealed_for_another_person_is_not_taken(cast, admin, as_):
    from tests.factories import make_user

    page = choose(admin, archive())
    other = as_(make_user("", "administrator"))
    confirm(other, page, "k1")
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()
