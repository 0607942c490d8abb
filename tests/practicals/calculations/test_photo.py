"""What is kept as a photo, and what a person is told instead. The limits are the project's own."""

import struct
import zlib
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFile, ImageOps, PngImagePlugin

from practicals.calculations import photo
from practicals.calculations.photo import PhotoError, ready_photo

#: Outside of tests a warning about a broken tag stops nothing, so it may not stop anything here.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:PIL")
ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825  # CIPA DC-008 (Exif), tables of tags


def picture(kind="JPEG", size=(800, 600), mode="RGB", colour=(200, 180, 90), **more):
    made = BytesIO()
    Image.new(mode, size, colour).save(made, kind, **more)
    return made.getvalue()


def kept(content):
    return Image.open(BytesIO(ready_photo(content).content))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_kind_of_photo_is_kept_as_jpeg(kind):
    ready = ready_photo(picture(kind))
    assert (ready.width_px, ready.height_px) == (800, 600)
    assert ready.content.startswith(b"\xff\xd8\xff")  # ISO/IEC 10918-1: SOI, then a marker
    assert kept(picture(kind)).format == "JPEG"


def test_place_camera_and_comments_are_left_out():
    exif = Image.Exif()
    exif[MAKE] = "Invented Camera"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 0.0)
    sent = picture(exif=exif, comment=b"taken at home", icc_profile=b"profile", dpi=(300, 300))
    assert b"Invented Camera" in sent
    assert b"taken at home" in sent
    ready = ready_photo(sent)
    found = Image.open(BytesIO(ready.content))
    assert dict(found.getexif()) == {}
    assert set(found.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    for told in (b"Exif", b"Invented Camera", b"taken at home", b"ICC_PROFILE", b"http"):
        assert told not in ready.content


def test_text_in_a_png_is_left_out():
    about = PngImagePlugin.PngInfo()
    about.add_text("Author", "Somebody Invented")
    assert b"Somebody" not in ready_photo(picture("PNG", pnginfo=about)).content


@pytest.mark.parametrize(
    ("tag", "first_row", "first_column"),
    [
        (1, "top", "left"),
        (2, "top", "right"),
        (3, "bottom", "right"),
        (4, "bottom", "left"),
        (5, "left", "top"),
        (6, "right", "top"),
        (7, "right", "bottom"),
        (8, "left", "bottom"),
    ],
)
def test_a_phone_held_otherwise_gives_an_upright_picture(tag, first_row, first_column):
    """CIPA DC-008, orientation: the side of the scene on which the stored first row and column lie."""
    stored = Image.new("RGB", (800, 600), "white")
    stored.paste((220, 0, 0), (0, 0, 800, 40))  # the first rows
    stored.paste((0, 0, 220), (0, 200, 40, 600))  # the first columns
    exif = Image.Exif()
    exif[ORIENTATION] = tag
    made = BytesIO()
    stored.save(made, "JPEG", exif=exif, quality=95)
    found = kept(made.getvalue())
    width, height = found.size
    assert found.size == ((800, 600) if tag < 5 else (600, 800))
    beside = {
        "top": (width // 2, 10),
        "bottom": (width // 2, height - 10),
        "left": (10, height // 2),
        "right": (width - 10, height // 2),
    }
    red, _, blue = found.getpixel(beside[first_row])
    assert red > 180 > 60 > blue
    red, _, blue = found.getpixel(beside[first_column])
    assert blue > 180 > 60 > red


def test_a_broken_note_on_how_the_phone_was_held_loses_no_photo():
    whole = bytearray(picture("PNG", exif=_with_exif()))
    name = whole.index(b"eXIf")
    length = struct.unpack(">I", whole[name - 4 : name])[0]
    end = name + 4 + length
    whole[name + 8 : name + 12] = b"\xff\xff\xff\xff"  # where the list of tags would be
    whole[end : end + 4] = struct.pack(">I", zlib.crc32(whole[name:end]))
    assert kept(bytes(whole)).size == (800, 600)


@pytest.mark.parametrize(
    ("size", "becomes"), [((4800, 3600), (2400, 1800)), ((2400, 900), (2400, 900)), ((300, 300), (300, 300))]
)
def test_a_large_photo_is_made_smaller_and_a_small_one_is_left(size, becomes):
    ready = ready_photo(picture(size=size))
    assert (ready.width_px, ready.height_px) == becomes


@pytest.mark.parametrize("mode", ["L", "LA", "P", "1", "RGBA", "CMYK"])
def test_pictures_of_any_colours_are_kept(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    made = BytesIO()
    Image.new("RGB", (400, 400), (200, 180, 90)).convert(mode).save(made, kind)
    assert kept(made.getvalue()).mode == "RGB"


def test_what_is_transparent_becomes_white():
    found = kept(picture("PNG", mode="RGBA", colour=(0, 0, 0, 0)))
    assert min(found.getpixel((10, 10))) > 250


def test_the_same_bytes_give_the_same_photo():
    sent = picture()
    assert ready_photo(sent) == ready_photo(sent)


HEIC = struct.pack(">I", 24) + b"ftypheic" + b"\0\0\0\0mif1heic"  # ISO/IEC 14496-12, 4.3
EXECUTABLE = b"MZ\x90\x00" + b"\0" * 500
SCRIPT = b"<html><script>alert(1)</script></html>"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (HEIC, "Save it as JPEG"),
        (EXECUTABLE, "Save it as JPEG"),
        (SCRIPT, "Save it as JPEG"),
        (b"%PDF-1.7\n%%EOF", "a PDF, not a photo"),
        (b"GIF89a" + b"\0" * 40, "Save it as JPEG"),
        (picture("GIF", mode="P", colour=3), "Save it as JPEG"),
        (picture("BMP"), "Save it as JPEG"),
        (picture("TIFF"), "Save it as JPEG"),
        (picture(size=(1, 1)), "1 × 1 pixels, too small"),
        (picture(size=(4000, 299)), "too small or too narrow"),
        (picture(size=(4000, 300)), "too small or too narrow"),
        (picture()[:700], "damaged, not complete"),
        (picture("PNG")[:200], "damaged, not complete"),
        (picture("WEBP")[:60], "damaged, not complete"),
        (b"\0" * (photo.MOST_BYTES + 1), "larger than 15 MB"),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{value[:8]!r}",
)
def test_whatever_is_no_photo_is_refused_with_a_sentence(content, said):
    with pytest.raises(PhotoError, match=said):
        ready_photo(content)


def bomb(width, height):
    """A PNG (ISO/IEC 15948) whose header says how large it is, with almost nothing inside."""

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b""))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(7100, 7100), (10_000, 10_000), (60_000, 60_000)])
def test_more_pixels_than_a_camera_has_are_refused_before_they_are_read(size):
    with pytest.raises(PhotoError, match="more than 50 million pixels"):
        ready_photo(bomb(*size))


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_photo_with_damage_anywhere_is_kept_or_refused_with_a_sentence(data):
    whole = bytearray(SAMPLES[data.draw(st.sampled_from(sorted(SAMPLES)))])
    for _ in range(data.draw(st.integers(1, 6))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(1, len(whole)))
    try:
        ready = ready_photo(bytes(whole[:cut]))
    except PhotoError as refused:
        assert str(refused).endswith(".")  # noqa: PT017  (most damage is refused, some is not)
    else:
        assert min(ready.width_px, ready.height_px) >= photo.LEAST_SIDE_PX


def _with_exif():
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS)[1] = "N"
    return exif


SAMPLES = {kind: picture(kind, size=(320, 310), exif=_with_exif()) for kind in ("JPEG", "PNG", "WEBP")}


def test_the_samples_are_turned_so_that_damage_reaches_that_too():
    assert ImageOps.exif_transpose(Image.open(BytesIO(SAMPLES["PNG"]))).size == (310, 320)


def test_a_file_cut_off_is_refused_also_where_another_library_accepts_such(monkeypatch):
    # The library that makes PDFs tells Pillow, for the whole process, to accept what is cut off.
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(PhotoError, match="damaged, not complete"):
        ready_photo(picture()[:700])
    assert ImageFile.LOAD_TRUNCATED_IMAGES
