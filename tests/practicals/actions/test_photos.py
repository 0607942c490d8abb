"""A learner's photos: kept once, on disk before their row, until the session closes."""

import hashlib
from io import BytesIO

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from PIL import Image

from practicals.actions.add_photo import MOST_PHOTOS, add_photo
from practicals.actions.withdraw_photo import withdraw_photo
from practicals.calculations.photo import PhotoError
from practicals.models import AuditEntry, PaperPhoto, ReadingSet, StoredFile
from tests.factories import NOW, make_readings


def jpeg(shade=200):
    made = BytesIO()
    Image.new("RGB", (640, 480), (shade, shade, 90)).save(made, "JPEG")
    return made.getvalue()


@pytest.fixture
def paper(cast):
    return cast.session.groups.first().papers.first()


def add(by, paper, content=None):
    return add_photo(by=by, paper=paper, content=content or jpeg(), now=NOW)


def audited(action):
    return AuditEntry.objects.filter(action=action).count()


def close(session):
    session.readings_locked_at = session.closed_at = NOW
    session.save()


def test_a_photo_is_kept_under_its_digest_and_audited(cast, paper):
    photo = add(cast.learner, paper)
    with default_storage.open(photo.file.place) as file:
        content = file.read()
    assert photo.file.sha256 == hashlib.sha256(content).hexdigest()
    assert (photo.file.media_type, photo.file.size) == ("image/jpeg", len(content))
    assert (photo.learner, photo.width_px, photo.height_px) == (cast.learner, 640, 480)
    entry = AuditEntry.objects.get(action="add_photo")
    assert cast.learner.name not in entry.sentence
    assert entry.detail == {"sha256": photo.file.sha256}


@pytest.mark.parametrize("who", ["rival", "stranger", "teacher", "technician", "administrator", "verifier"])
def test_only_a_learner_of_the_group_adds_one(cast, paper, who):
    with pytest.raises(PermissionDenied):
        add(getattr(cast, who), paper)
    assert not PaperPhoto.objects.exists()


def test_a_learner_who_was_given_the_paper_adds_one(cast, paper):
    make_readings(paper, cast.rival, centres=(), source=ReadingSet.Source.OTHER)
    assert add(cast.rival, paper).learner == cast.rival


def test_the_same_photo_again_is_kept_once(cast, paper):
    assert add(cast.learner, paper) == add(cast.learner, paper)
    assert audited("add_photo") == 1


def test_two_learners_may_send_the_same_photo_each_for_themselves(cast, paper):
    first, second = add(cast.learner, paper), add(cast.group_mate, paper)
    assert first != second
    assert first.file == second.file


def test_what_is_no_photo_leaves_nothing_behind(cast, paper):
    with pytest.raises(PhotoError, match="Save it as JPEG"):
        add(cast.learner, paper, b"MZ\x90\x00" * 99)
    assert not PaperPhoto.objects.exists()
    assert not StoredFile.objects.exists()


def test_after_locking_a_photo_may_come_and_after_closing_none(cast, paper):
    make_readings(paper, cast.learner, locked_at=NOW)
    photo = add(cast.learner, paper)
    close(cast.session)
    with pytest.raises(PhotoError, match="closed this session"):
        add(cast.learner, paper, jpeg(100))
    with pytest.raises(PhotoError, match="closed this session"):
        withdraw_photo(by=cast.learner, photo=photo, now=NOW)
    assert PaperPhoto.objects.standing().count() == 1


def test_a_withdrawn_photo_stays_in_the_record_and_counts_no_longer(cast, paper):
    photo = add(cast.learner, paper)
    withdraw_photo(by=cast.learner, photo=photo, now=NOW)
    withdraw_photo(by=cast.learner, photo=photo, now=NOW.replace(hour=11))
    kept = PaperPhoto.objects.get()
    assert kept.withdrawn_at == NOW
    assert default_storage.exists(kept.file.place)
    assert not PaperPhoto.objects.standing().exists()
    assert audited("withdraw_photo") == 1


def test_a_withdrawn_photo_that_is_sent_again_counts_again(cast, paper):
    photo = add(cast.learner, paper)
    withdraw_photo(by=cast.learner, photo=photo, now=NOW)
    assert add(cast.learner, paper) == photo
    assert PaperPhoto.objects.standing().count() == 1
    assert audited("add_photo") == 2


@pytest.mark.parametrize("who", ["group_mate", "rival", "teacher", "technician", "administrator"])
def test_nobody_else_withdraws_it(cast, paper, who):
    photo = add(cast.learner, paper)
    with pytest.raises(PermissionDenied):
        withdraw_photo(by=getattr(cast, who), photo=photo, now=NOW)


def test_there_is_a_most_of_photos_and_withdrawing_makes_no_room(cast, paper):
    photos = [add(cast.learner, paper, jpeg(shade)) for shade in range(40, 40 + 20 * MOST_PHOTOS, 20)]
    withdraw_photo(by=cast.learner, photo=photos[0], now=NOW)
    with pytest.raises(PhotoError, match="No more are kept"):
        add(cast.learner, paper, jpeg(11))
    assert PaperPhoto.objects.count() == MOST_PHOTOS
    assert StoredFile.objects.count() == MOST_PHOTOS
    assert add(cast.group_mate, paper, jpeg(11)).learner == cast.group_mate
