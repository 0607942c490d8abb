"""The look held to numbers: contrast, one face with even figures, forms and frame that can be read aloud."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from crispy_forms.utils import render_crispy_form
from django import forms
from django.conf import settings
from django.template.loader import render_to_string
from fontTools.ttLib import TTFont

STATIC = Path(settings.BASE_DIR) / "practicals" / "static" / "practicals"
TOKENS = (STATIC / "css" / "tokens.css").read_text()
FONTS = sorted((STATIC / "fonts").glob("*.woff2"))
# A document is never sent to a browser as HTML: the content policy does not meet it.
TEMPLATES = sorted(
    path for path in (Path(settings.BASE_DIR) / "templates").rglob("*.html") if "documents" not in path.parts
)


def blocks():
    """The token blocks: light, dark as the device asks, dark as the person chose."""
    found = re.findall(r"(:root[^{]*)\{([^{}]*color-scheme[^{}]*)\}", TOKENS)
    return [dict(re.findall(r"(--[\w-]+):\s*(#[0-9a-f]{6})", body)) for _, body in found]


def luminance(colour):
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """WCAG 2.2, "contrast ratio" and "relative luminance", https://www.w3.org/TR/WCAG22/."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_wcag_22_extremes():
    # WCAG 2.2, note to "contrast ratio": from 1:1 to 21:1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#5a2383", "#5a2383") == pytest.approx(1)


def test_there_are_three_blocks_and_both_dark_ones_agree():
    light, by_device, by_person = blocks()
    assert by_device == by_person
    assert light.keys() == by_person.keys()


@pytest.mark.parametrize("theme", [0, 2], ids=["light", "dark"])
@pytest.mark.parametrize(("text", "least"), [("--ink", 7), ("--pencil", 7), ("--purple", 7), ("--edge", 3)])
def test_contrast_on_the_ground_wcag_22_1_4_6_and_1_4_11(theme, text, least):
    # WCAG 2.2: 7:1 for text (1.4.6), 3:1 for borders of controls (1.4.11).
    colours = blocks()[theme]
    grounds = ["--paper", "--raised", "--sunk"]
    assert all(contrast(colours[text], colours[ground]) >= least for ground in grounds)


@pytest.mark.parametrize("theme", [0, 2], ids=["light", "dark"])
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("--on-purple", "--purple"),
        ("--ink", "--yellow-wash"),
        ("--ink", "--purple-wash"),
        ("--purple", "--yellow-wash"),
    ],
)
def test_contrast_on_washes_and_the_filled_button_wcag_22_1_4_3(theme, text, ground):
    # WCAG 2.2, 1.4.3: 4.5:1 for text.
    assert contrast(blocks()[theme][text], blocks()[theme][ground]) >= 4.5


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)
def test_figures_have_one_width(path):
    font = TTFont(path)
    letters = font.getBestCmap()
    assert len({font["hmtx"][letters[ord(figure)]][0] for figure in "0123456789"}) == 1


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)
def test_signs_of_the_trade_are_in_the_face(path):
    assert set(map(ord, "±×µ₂°−½≈≤≥→–—’…ÅéñłŠ")) <= set(TTFont(path).getBestCmap())


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)
def test_one_l_i_and_nought_o_are_drawn_differently(path):
    font = TTFont(path)
    letters = font.getBestCmap()
    shapes = [font["glyf"][letters[ord(sign)]].getCoordinates(font["glyf"])[0] for sign in "1lI0O"]
    assert len({tuple(shape) for shape in shapes}) == 5
    assert any(record.FeatureTag == "zero" for record in font["GSUB"].table.FeatureList.FeatureRecord)


def test_licence_lies_beside_the_fonts():
    assert "SIL OPEN FONT LICENSE Version 1.1" in (STATIC / "fonts" / "OFL.txt").read_text()


def test_every_address_in_the_stylesheets_is_ours_and_there():
    for sheet in (STATIC / "css").glob("*.css"):
        for address in re.findall(r"url\(\"?([^\")]+)", sheet.read_text()):
            assert (sheet.parent / address).resolve().is_relative_to(STATIC)
            assert (sheet.parent / address).exists(), address


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.relative_to(settings.BASE_DIR).as_posix())
def test_template_has_nothing_that_the_content_policy_blocks(path):
    text = path.read_text()
    assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=\s*[\"']|javascript:", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", text)


class Reading(forms.Form):
    front = forms.DecimalField(label="Solvent front", help_text="From the origin line.", min_value=0)
    front.unit = "mm"  # type: ignore[attr-defined]
    centre = forms.ChoiceField(
        label="Measured at", choices=[("c", "centre"), ("e", "edges")], widget=forms.RadioSelect
    )
    remark = forms.CharField(label="Remark", required=False)
    clean_hands = forms.BooleanField(label="Gloves are off")


class Marks(HTMLParser):
    """Every start tag with its attributes."""

    def __init__(self, html):
        super().__init__()
        self.tags = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def all(self, *tags):
        return [attrs for tag, attrs in self.tags if tag in tags]

    def ids(self):
        return [attrs["id"] for _, attrs in self.tags if "id" in attrs]


@pytest.fixture
def wrong():
    return Marks(render_crispy_form(Reading({"front": "-3", "remark": "x"})))


def test_every_field_has_a_label(wrong):
    labelled = {attrs.get("for") for attrs in wrong.all("label")}
    assert {attrs["id"] for attrs in wrong.all("input") if attrs.get("type") != "hidden"} <= labelled


def test_error_and_help_are_read_with_their_field_wcag_22_3_3_1(wrong):
    (front,) = [attrs for attrs in wrong.all("input") if attrs.get("name") == "front"]
    assert front["aria-invalid"] == "true"
    assert front["aria-describedby"].split() == ["id_front_helptext", "id_front_error"]


def test_everything_that_is_pointed_at_exists_once(wrong):
    ids = wrong.ids()
    assert len(ids) == len(set(ids))
    pointed = [name for _, attrs in wrong.tags for name in attrs.get("aria-describedby", "").split()]
    jumps = [attrs["href"][1:] for attrs in wrong.all("a") if attrs["href"].startswith("#")]
    assert set(pointed + jumps) <= set(ids)
    assert len(jumps) == 3


def test_choices_stand_in_a_fieldset_that_names_its_error(wrong):
    (fieldset,) = wrong.all("fieldset")
    assert fieldset["aria-describedby"] == "id_centre_error"
    assert len(wrong.all("legend")) == 1


def test_unit_is_beside_the_field_and_in_its_label():
    html = render_crispy_form(Reading())
    assert re.search(
        r'<label for="id_front"[^>]*>\s*Solvent front<span class="visually-hidden">, in mm</span>', html
    )
    assert '<span class="unit" aria-hidden="true">mm</span>' in html


def test_optional_field_says_so_and_nothing_wears_an_asterisk():
    html = render_crispy_form(Reading())
    assert html.count("(may be left empty)") == 1
    assert "asterisk" not in html


def test_what_was_typed_is_kept(wrong):
    assert {attrs.get("value") for attrs in wrong.all("input")} >= {"-3", "x"}


def test_frame_names_language_title_skip_link_and_main():
    html = render_to_string("base.html", {"theme": "dark"})
    marks = Marks(html)
    assert marks.all("html") == [{"lang": "en-GB", "data-theme": "dark"}]
    assert {"class": "skip", "href": "#content"} in marks.all("a")
    assert [attrs["id"] for attrs in marks.all("main")] == ["content"]


def test_frame_says_that_data_is_invented_as_long_as_it_is():
    class Centre:
        invented_notice = "The college does not exist."

    assert "The college does not exist." in render_to_string("base.html", {"centre": Centre})
    assert "Invented demo data" not in render_to_string("base.html", {})


@pytest.mark.parametrize("name", ["400.html", "403.html", "404.html", "500.html"])
def test_page_of_an_error_needs_no_context_and_says_what_to_do(name):
    html = render_to_string(name)
    assert html.count("<h1>") == 1
    assert html.count('class="button"') == 1
