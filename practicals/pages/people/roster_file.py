"""Takes the files out of an uploaded roster. The archive is read once and not kept."""

import io
import zipfile
import zlib

from practicals.calculations.oneroster import NotARoster

LARGEST_BYTES = 20 * 1024 * 1024
#: A small archive may unpack to far more than it says.
LARGEST_UNPACKED_BYTES = 120 * 1024 * 1024
MOST_FILES = 60
BROKEN_ARCHIVE = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    LookupError,
    NotImplementedError,
    OSError,
    RuntimeError,
    ValueError,
)
CHOOSE = "Choose the ZIP archive that the other system exported."


def read_archive(data: bytes) -> dict[str, str]:
    """Text of each CSV file at the root of the archive, by name."""
    if not data.startswith(b"PK\x03\x04"):
        raise NotARoster(f"This is no ZIP archive. {CHOOSE}")
    if len(data) > LARGEST_BYTES:
        raise NotARoster("The archive is larger than 20 MB. Export fewer classes at once.")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _texts(archive)
    except NotARoster:
        raise
    except BROKEN_ARCHIVE as error:
        raise NotARoster(f"The archive is damaged or locked. {CHOOSE}") from error


def _texts(archive: zipfile.ZipFile) -> dict[str, str]:
    parts = archive.infolist()
    if len(parts) > MOST_FILES or sum(part.file_size for part in parts) > LARGEST_UNPACKED_BYTES:
        raise NotARoster("The archive unpacks to more than a roster needs. Export fewer classes at once.")
    names = [part.filename for part in parts if not part.is_dir()]
    if "manifest.csv" not in names and any(name.endswith("/manifest.csv") for name in names):
        raise NotARoster(
            "The files lie in a folder. They must lie at the root of the archive; pack them again."
        )
    found = {}
    for name in names:
        if "/" in name or not name.endswith(".csv"):
            continue
        try:
            found[name] = archive.read(name).decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise NotARoster(f"{name} is not UTF-8, which the standard asks for. Export it again.") from error
    return found
