"""Keep a file's bytes under their SHA-256, on disk before the row that names them."""

import hashlib
from datetime import datetime

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from practicals.models import StoredFile


def keep_file(*, content: bytes, media_type: str, now: datetime) -> StoredFile:
    """Return the row of these bytes, which other actions point at. The same bytes again give the same row.

    No permission of its own: the action that keeps a file has checked what may be kept and by whom.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    place = StoredFile(sha256=sha256).place
    if default_storage.exists(place) and default_storage.size(place) != len(content):
        default_storage.delete(place)  # cut short: the machine stopped while it was written
    if not default_storage.exists(place):
        default_storage.save(place, ContentFile(content))
    kept, _ = StoredFile.objects.get_or_create(
        sha256=sha256, defaults={"media_type": media_type, "size": len(content), "added_at": now}
    )
    return kept
