"""What arrives as a file, before any page has it."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

from practicals.calculations.photo import MOST_BYTES


class LimitedUploadHandler(FileUploadHandler):
    """Drops a file larger than the largest that any page takes. The request goes on and says so.

    Its place is the first: what it drops is neither in memory nor on disk.
    """

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        if start + len(raw_data) > MOST_BYTES:
            self.request.file_too_large = True  # type: ignore[union-attr]
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> Any:
        return None
