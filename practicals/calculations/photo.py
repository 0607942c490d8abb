"""A photo as it is kept: upright, of moderate size, and without anything that tells where it was taken."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageFile, UnidentifiedImageError

MOST_BYTES = 15 * 1024 * 1024
#: What a phone's camera gives at most; a small file can unfold to far more.
MOST_PIXELS = 50_000_000
#: On fewer pixels the spots of a paper can hardly be seen.
LEAST_SIDE_PX = 300
LONGEST_SIDE_PX = 2400
QUALITY = 85
MEDIA_TYPE = "image/jpeg"

_FORMATS = ("JPEG", "PNG", "WEBP")
#: Brands of the ISO base media file format (ISO/IEC 14496-12) in which phones keep photos.
_PHONE_BRANDS = frozenset({b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif"})
_ORIENTATION = 0x0112
#: What brings each orientation upright, by the tag's value.
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_DAMAGED_SAID = (
    "This photo cannot be read: it is damaged, not complete or of an unusual kind. Take it again, or save it"
    " as JPEG."
)
#: What Pillow raises over a damaged or hostile file; a bomb between its two limits is only a warning.
_DAMAGED = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    IndexError,
    KeyError,
    EOFError,
    OverflowError,
    struct.error,
    zlib.error,
)
_TOO_MANY = (Image.DecompressionBombError, Image.DecompressionBombWarning)


class PhotoError(ValueError):
    """The file is not kept as a photo; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo ready to be kept: JPEG bytes, and its size [px]."""

    content: bytes
    width_px: int
    height_px: int


def ready_photo(content: bytes) -> Photo:
    """Check an uploaded photo and make it ready to be kept.

    Parameters
    ----------
    content : bytes
        The file as it was sent: JPEG, PNG or WebP.

    Returns
    -------
    Photo
        Turned upright, at most `LONGEST_SIDE_PX` long [px], written anew as JPEG without any metadata. The
        same bytes give the same photo.

    Raises
    ------
    PhotoError
        If it is no such picture, is damaged, or is too large or too small.

    References
    ----------
    .. [1] ISO/IEC 10918-1 (JPEG), ISO/IEC 15948 (PNG), RFC 9649 (WebP).
    .. [2] CIPA DC-008 (Exif), the orientation tag.
    .. [3] The limits: common practice, no source.
    """
    if not content:
        raise PhotoError("This file is empty. Take the photo again.")
    if len(content) > MOST_BYTES:
        raise PhotoError(too_large())
    try:
        return _written(_small_and_upright(content))
    except _TOO_MANY as error:
        raise PhotoError(_too_many()) from error
    except PhotoError:
        raise
    except UnidentifiedImageError as error:
        raise PhotoError(_what_instead(content)) from error
    except _DAMAGED as error:
        raise PhotoError(_DAMAGED_SAID) from error


def too_large() -> str:
    """Say that a file is larger than a photo may be.

    Returns
    -------
    str
        A sentence with the limit [MB].

    References
    ----------
    .. [1] The limit: common practice, no source.
    """
    most = MOST_BYTES // 1024 // 1024
    return f"This file is larger than {most} MB. Send the photo in a smaller size, or take it again."


@contextmanager
def _whole_files_only() -> Iterator[None]:
    """Refuse a file that was cut off, whatever another library of this process told Pillow to accept."""
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _small_and_upright(content: bytes) -> Image.Image:
    longest = (LONGEST_SIDE_PX, LONGEST_SIDE_PX)
    with Image.open(BytesIO(content), formats=_FORMATS) as opened:
        _check(*opened.size)
        # A JPEG can be read at a half or a quarter of its size, which spares a small server its memory.
        opened.draft("RGB", longest)
        with _whole_files_only():
            opened.load()
        # Pictures of few colours are scaled as full ones, or fine lines break; turned last, when small.
        full = opened if opened.mode in ("RGB", "RGBA", "L", "LA") else _full_colour(opened)
        full.thumbnail(longest, Image.Resampling.LANCZOS)
        return _turned(full)


def _turned(picture: Image.Image) -> Image.Image:
    """Upright by the orientation tag. A broken tag loses no photo: the person sees how it lies."""
    try:
        turn = _TURNS.get(picture.getexif().get(_ORIENTATION, 0))
    except _DAMAGED:
        turn = None
    return picture if turn is None else picture.transpose(turn)


def _full_colour(picture: Image.Image) -> Image.Image:
    return picture.convert("RGBA" if picture.has_transparency_data else "RGB")


def _check(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise PhotoError(_too_many())
    shorter, longer = sorted((width, height))
    if shorter * min(1, LONGEST_SIDE_PX / longer) < LEAST_SIDE_PX:
        raise PhotoError(
            f"This picture is {width} × {height} pixels, too small or too narrow to see a paper on it."
            f" It needs at least {LEAST_SIDE_PX} on the shorter side. Take the photo again."
        )


def _written(picture: Image.Image) -> Photo:
    flat = _full_colour(picture)
    # A new picture takes over nothing but the pixels: no place, no camera, no comment.
    kept = Image.new("RGB", flat.size, "white")
    kept.paste(flat, mask=flat.getchannel("A") if flat.mode == "RGBA" else None)
    made = BytesIO()
    kept.save(made, "JPEG", quality=QUALITY)
    return Photo(made.getvalue(), *kept.size)


def _too_many() -> str:
    return (
        f"This picture has more than {MOST_PIXELS // 1_000_000} million pixels. Send it in a smaller size,"
        " or take it with an ordinary camera."
    )


def _what_instead(content: bytes) -> str:
    if content[4:8] == b"ftyp" and content[8:12] in _PHONE_BRANDS:
        return "This photo is in a format that only some devices read (HEIC). Save it as JPEG and send that."
    if content.startswith(b"%PDF"):
        return "This is a PDF, not a photo. Save it as JPEG, or take a photo."
    return "This is no photo that can be kept here. Save it as JPEG and send that, or take a photo."
