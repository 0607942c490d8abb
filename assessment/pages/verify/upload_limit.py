"""Stops an upload that is too large before it fills the disk: anyone may send one here."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, StopUpload
from django.http import HttpRequest


class UploadLimit(FileUploadHandler):
    """Passes on what fits; `reached` says that something did not."""

    def __init__(self, request: HttpRequest, largest: int) -> None:
        super().__init__(request)
        self.largest, self.seen, self.reached = largest, 0, False

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.seen += len(raw_data)
        if self.seen > self.largest:
            self.reached = True
            raise StopUpload(connection_reset=False)
        return raw_data

    def file_complete(self, file_size: int) -> Any:
        """The handlers behind this one make the file."""
        return
