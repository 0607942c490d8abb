"""Files kept under the digest of their bytes."""

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage

from practicals.actions.keep_file import keep_file
from practicals.models import StoredFile
from tests.factories import NOW


def test_the_same_bytes_are_kept_once(db, settings, tmp_path):
    put_in(settings, tmp_path)
    first = keep_file(content=b"a paper", media_type="image/png", now=NOW)
    assert keep_file(content=b"a paper", media_type="image/png", now=NOW) == first
    assert StoredFile.objects.count() == 1
    assert default_storage.open(first.place).read() == b"a paper"


def test_a_file_that_was_cut_short_is_written_anew(db, settings, tmp_path):
    put_in(settings, tmp_path)
    # SHA-256 of "abc": FIPS 180-4, worked example.
    digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    default_storage.save(StoredFile(sha256=digest).place, ContentFile(b"a"))
    kept = keep_file(content=b"abc", media_type="text/plain", now=NOW)
    assert kept.sha256 == digest
    assert default_storage.open(kept.place).read() == b"abc"


def put_in(settings, folder):
    settings.STORAGES = settings.STORAGES | {
        "default": {
            "BACKEND": f"{FileSystemStorage.__module__}.FileSystemStorage",
            "OPTIONS": {"location": folder},
        }
    }
