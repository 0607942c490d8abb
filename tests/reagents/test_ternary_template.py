import xml.etree.ElementTree as ET
from decimal import Decimal

from django.template.loader import render_to_string

from reagents.calculations.binodal import TERNARY
from reagents.calculations.composition import from_volumes
from reagents.calculations.phases import phases
from reagents.calculations.ternary import ternary_diagram


def drawn(*parts):
    return ternary_diagram(phases(from_volumes(dict(zip(TERNARY, map(Decimal, parts), strict=True)))))


def svg_of(number):
    html = render_to_string("reagents/_ternary.html", {"diagram": drawn(4, 1, 5), "number": number})
    return html, ET.fromstring(html.partition("</div>")[0].partition('tabindex="0">')[2])  # noqa: S314  our own


def test_the_svg_is_well_formed_named_and_without_inline_style():
    html, svg = svg_of(3)
    title, words = svg[0], svg[1]
    assert svg.get("role") == "img"
    assert (svg.get("aria-labelledby"), svg.get("aria-describedby")) == (title.get("id"), words.get("id"))
    assert title.text.startswith("butan-1-ol, ethanoic acid and water in a triangle. Two phases")
    assert "style=" not in html
    assert "<style" not in html
    assert all(part.get("fill") for part in svg.iter() if part.tag in {"path", "circle"})


def test_two_diagrams_on_a_page_share_no_id():
    ids = [{part.get("id") for part in svg_of(number)[1].iter() if part.get("id")} for number in (1, 2)]
    assert not ids[0] & ids[1]
