"""A photo of the paper, from the learner's side: sent, shown, withdrawn, nobody else's."""

from io import BytesIO
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from practicals.calculations.photo import MOST_BYTES
from practicals.models import PaperPhoto, StoredFile
from tests.practicals.pages.bench.sending import send, url


def jpeg(shade=200):
    made = BytesIO()
    Image.new("RGB", (640, 480), (shade, shade, 90)).save(made, "JPEG")
    return made.getvalue()


def add(client, paper, content=None, *, field="taken", name="photo.jpg", **more):
    file = SimpleUploadedFile(name, jpeg() if content is None else content, "image/jpeg")
    return send(client, "add_photo", paper, **{field: file}, **more)


@pytest.fixture
def photo(learner, paper):
    add(learner, paper)
    return PaperPhoto.objects.get()


def close(session):
    session.readings_locked_at = session.closed_at = timezone.now()
    session.save()


def test_the_page_asks_for_the_camera_or_a_file(learner, paper):
    html = learner.get(url("add_photo", paper)).content.decode()
    assert 'enctype="multipart/form-data"' in html
    assert 'accept="image/*" capture="environment"' in html
    assert "Or choose one that is on this device" in html
    assert "Gloves off, or clean" in html


@pytest.mark.parametrize("field", ["taken", "chosen"])
def test_a_photo_is_kept_and_shown_at_once(learner, cast, paper, field):
    answer = add(learner, paper, field=field)
    assert (answer.status_code, answer.url) == (302, url("add_photo", paper))
    photo = PaperPhoto.objects.get(learner=cast.learner, paper=paper)
    html = learner.get(answer.url).content.decode()
    assert "Your photo is kept. Look at it" in html
    assert f'src="{url("photo", photo)}"' in html
    when = timezone.localtime(photo.added_at)
    alt = f"Photo of group {paper.group.number}’s paper A, by you, {when.day} {when:%b %H:%M}"
    assert f'alt="{alt}"' in html


@pytest.mark.parametrize("name", ["readings", "paper"])
def test_the_readings_show_the_photo_small(learner, paper, photo, name):
    html = learner.get(url(name, paper)).content.decode()
    assert f'src="{url("photo", photo)}"' in html
    assert url("add_photo", paper) in html


def test_the_picture_is_served_as_what_it_is_and_to_nobody_else(learner, photo):
    answer = learner.get(url("photo", photo))
    content = b"".join(answer.streaming_content)
    assert Image.open(BytesIO(content)).format == "JPEG"
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Disposition"].startswith("inline")
    assert answer["Cache-Control"] == "private, no-cache"
    again = learner.get(url("photo", photo), HTTP_IF_NONE_MATCH=answer["ETag"])
    assert (again.status_code, again["Cache-Control"]) == (304, "private, no-cache")


@pytest.mark.parametrize("who", ["group_mate", "rival", "stranger", "teacher", "technician", "administrator"])
def test_a_photo_of_others_is_not_found(cast, paper, photo, as_, who):
    client = as_(getattr(cast, who))
    assert client.get(url("photo", photo)).status_code == 404
    assert send(client, "photo", photo).status_code == 404
    assert PaperPhoto.objects.get().withdrawn_at is None


@pytest.mark.parametrize("who", ["rival", "stranger", "teacher", "technician"])
def test_the_page_for_a_paper_of_others_is_not_found(cast, paper, as_, who):
    client = as_(getattr(cast, who))
    assert client.get(url("add_photo", paper)).status_code == 404
    assert add(client, paper).status_code == 404
    assert not PaperPhoto.objects.exists()


def test_a_group_mate_sees_only_their_own(cast, paper, photo, as_):
    html = as_(cast.group_mate).get(url("add_photo", paper)).content.decode()
    assert str(photo.uuid) not in html
    assert "No photo of this paper yet" in html


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "photo.jpg", "This file is empty"),
        (b"MZ\x90\x00" * 99, "photo.jpg", "Save it as JPEG"),
        (b"%PDF-1.7\n%%EOF", "photo.jpg", "a PDF, not a photo"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "IMG_1.HEIC", "Save it as JPEG"),
        (jpeg()[:700], "photo.jpg", "damaged, not complete"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "x.svg", "Save it as JPEG"),
        (b"\xff\xd8\xff" + b"\0" * (MOST_BYTES + 1), "photo.jpg", "larger than 15 MB"),
    ],
)
def test_whatever_is_no_photo_is_refused_with_a_sentence(learner, paper, content, name, said):
    answer = add(learner, paper, content, name=name)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert not StoredFile.objects.exists()


def test_a_photo_under_a_strange_name_is_kept_under_its_digest(learner, paper):
    assert add(learner, paper, name="../../../etc/" + "x" * 300 + ".exe\x00").status_code == 302
    photo = PaperPhoto.objects.get()
    assert default_storage.exists(photo.file.place)
    assert photo.file.place.endswith(photo.file.sha256)


def test_without_a_file_one_is_asked_for(learner, paper):
    for fields in ({}, {"taken": "", "chosen": ""}, {"taken": "only words"}):
        html = send(learner, "add_photo", paper, **fields).content.decode()
        assert "No photo arrived. Take a photo or choose one" in html


def test_two_at_a_time_are_refused(learner, paper):
    two = {name: SimpleUploadedFile("a.jpg", jpeg(), "image/jpeg") for name in ("taken", "chosen")}
    assert "Send one at a time" in send(learner, "add_photo", paper, **two).content.decode()
    assert not PaperPhoto.objects.exists()


def test_more_files_than_any_form_has_are_refused(learner, paper):
    many = {f"taken{n}": SimpleUploadedFile("a.jpg", jpeg(), "image/jpeg") for n in range(9)}
    assert send(learner, "add_photo", paper, **many).status_code == 400


def test_the_same_sending_twice_adds_one(learner, paper):
    once = str(uuid4())
    assert add(learner, paper, once=once).url == add(learner, paper, jpeg(90), once=once).url
    assert PaperPhoto.objects.count() == 1


def test_a_photo_is_withdrawn_and_gone_from_the_pages(learner, paper, photo):
    assert "Withdraw this photo" in learner.get(url("add_photo", paper)).content.decode()
    answer = send(learner, "photo", photo)
    assert (answer.status_code, answer.url) == (302, url("add_photo", paper))
    html = learner.get(answer.url).content.decode()
    assert "The photo is withdrawn" in html
    assert str(photo.uuid) not in html
    assert learner.get(url("photo", photo)).status_code == 404
    assert PaperPhoto.objects.get().withdrawn_at is not None


def test_after_the_session_is_closed_photos_stay_as_they_are(learner, cast, paper, photo):
    close(cast.session)
    html = learner.get(url("add_photo", paper)).content.decode()
    assert "photos no longer change" in html
    assert "Withdraw" not in html
    assert 'type="file"' not in html
    add(learner, paper, jpeg(90))
    send(learner, "photo", photo)
    assert PaperPhoto.objects.standing().get() == photo


def test_a_picture_that_is_not_there_any_more_is_not_found(learner, photo):
    default_storage.delete(photo.file.place)
    assert learner.get(url("photo", photo)).status_code == 404


def test_more_photos_need_no_more_queries(learner, paper, django_assert_max_num_queries):
    counts = []
    for shades in ((200,), (40, 80, 120)):
        for shade in shades:
            add(learner, paper, jpeg(shade))
        learner.get(url("add_photo", paper))
        with django_assert_max_num_queries(60) as counted:
            learner.get(url("add_photo", paper))
        counts.append(len(counted))
    assert counts[0] == counts[1]
