"""A half-width and a colour of a spot: optional, kept as stated, refused with a sentence."""

import re
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from practicals.models import ReadingSet, SpotReading
from tests.practicals.pages.bench.sending import save, send, set_of, url, value_of


def first_spot(paper, person):
    return set_of(paper, person).lanes.first().spots.get()


def page(learner, paper):
    return learner.get(url("readings", paper)).content.decode()


def summary_of(html, spot):
    """The words of the folded part that holds a spot's colour, and whether it stands open."""
    before = html[: html.index(f'name="{spot}_colour"')]
    tag, words = re.findall(r"<details([^>]*)>\s*<summary>(.*?)</summary>", before, re.DOTALL)[-1]
    return "open" in tag, re.sub(r"<[^>]*>", "", words)


@pytest.mark.parametrize(
    ("unit", "typed", "millimetres"),
    [
        ("mm", "1.5", "1.5"),
        ("mm", "1,5", "1.5"),
        ("mm", "± 1.5 mm", "1.5"),
        ("mm", "+/-1.5", "1.5"),
        ("mm", "+- 1,5\u00a0mm", "1.5"),
        ("mm", "0.15 cm", "1.5"),
        ("cm", "0,15", "1.5"),
        ("cm", "±0.15", "1.5"),
        ("mm", "25", "25"),
    ],
)
def test_a_half_width_is_read_as_a_person_writes_it(learner, cast, paper, unit, typed, millimetres):
    centre = {"mm": "35", "cm": "3.5"}[unit]
    assert save(learner, paper, unit=unit, l1_s1_centre=centre, l1_s1_judged=typed).status_code == 302
    assert first_spot(paper, cast.learner).judged_to_mm == Decimal(millimetres)


@pytest.mark.parametrize(
    "typed",
    [
        "0",
        "-1.5",
        "±-1.5",
        "±0",
        "26",
        "1e9",
        "abc",
        "NaN",
        "1.5 g",
        "1.23456",
        "±",
        "9" * 10_000,
        "1 2",
        "± ±1",
    ],
    ids=lambda text: text[:8],
)
def test_what_is_no_half_width_is_refused_beside_its_field_and_kept(learner, paper, typed):
    answer = save(learner, paper, l1_s1_centre="35", l1_s1_judged=typed)
    html = answer.content.decode()
    assert answer.status_code == 200
    assert 'id="id_l1_s1_judged_error"' in html
    assert (value_of(html, "l1_s1_judged"), value_of(html, "l1_s1_centre")) == (typed, "35")
    assert summary_of(html, "l1_s1")[0]
    assert not ReadingSet.objects.filter(paper=paper).exists()


def test_a_half_width_wider_than_the_spot_is_asked_about(learner, cast, paper):
    edges = {"l1_s1_leading": "38", "l1_s1_trailing": "32"}
    html = save(learner, paper, **edges, l1_s1_judged="3.5").content.decode()
    assert "reaches beyond the edges of the spot" in html
    assert save(learner, paper, **edges, l1_s1_judged="1").status_code == 302
    spot = first_spot(paper, cast.learner)
    assert (spot.leading_mm, spot.judged_to_mm) == (Decimal(38), Decimal(1))


@pytest.mark.parametrize(
    ("fields", "given"), [({"l1_s1_judged": "1.5"}, "a half-width"), ({"l1_s1_colour": "purple"}, "a colour")]
)
def test_without_a_place_the_place_is_asked_for(learner, paper, fields, given):
    html = save(learner, paper, **fields).content.decode()
    assert 'id="id_l1_s1_centre_error"' in html
    assert f"There is {given}, but no place" in html


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("purple", "purple"),
        ("  pale   purple ", "pale purple"),
        ("none seen", "none seen"),
        ("gelb", "gelb"),
        ("", ""),
        ("=cmd()", "=cmd()"),
        ("<b>red</b>", "<b>red</b>"),
        ("x" * 40, "x" * 40),
    ],
)
def test_a_colour_is_kept_in_the_learners_words(learner, cast, paper, typed, kept):
    assert save(learner, paper, l1_s1_centre="35", l1_s1_colour=typed).status_code == 302
    assert first_spot(paper, cast.learner).colour == kept
    html = page(learner, paper)
    assert "<b>red" not in html
    assert value_of(html, "l1_s1_colour") == kept.replace("<", "&lt;").replace(">", "&gt;")


@pytest.mark.parametrize("typed", ["5", "?", "x" * 41, "red\u202egreen", "red\x00"])
def test_what_is_no_colour_is_refused_beside_its_field(learner, paper, typed):
    html = save(learner, paper, l1_s1_centre="35", l1_s1_colour=typed).content.decode()
    assert 'id="id_l1_s1_colour_error"' in html
    assert not ReadingSet.objects.filter(paper=paper).exists()


def test_what_is_folded_away_stands_in_its_summary(learner, paper):
    save(
        learner,
        paper,
        unit="cm",
        l1_s1_centre="3.5",
        l1_s1_judged="0.15",
        l1_s1_colour="purple",
        l2_s1_centre="4",
    )
    html = page(learner, paper)
    is_open, words = summary_of(html, "l1_s1")
    assert not is_open
    assert words.endswith(": purple, ±\u00a00.15\u00a0cm")
    assert (value_of(html, "l1_s1_judged"), value_of(html, "l1_s1_colour")) == ("0.15", "purple")
    assert summary_of(html, "l2_s1")[1].strip().endswith("of lane 2, spot 1")


def test_the_spot_of_the_statistics_example_counts_with_its_half_width(learner, cast, paper):
    """A spot judged to ± 1.5 mm has u = 1.5/sqrt(3) = 0.87 mm (JCGM 100:2008, 4.3.7), the ruler 0.29 mm."""
    save(learner, paper, origin="15", front="95", l1_s1_centre="35", l1_s1_judged="1.5", l2_s1_centre="45")
    send(learner, "lock", paper)
    html = learner.get(url("paper", paper)).content.decode()
    # 2 sqrt(1.5^2/3 + (1 + 0.75^2 + 0.25^2)/12) / 80 = 0.0235.
    assert "0.25 ± 0.02 (k = 2)" in html
    assert "35 ± 1.5" in html
    # Without: 2 sqrt((1 + 0.625^2 + 0.375^2)/12) / 80 = 0.0089.
    assert "0.375 ± 0.009 (k = 2)" in html
    assert "Half-width [mm]" in html
    # log10(0.75/0.25) = 0.477; 0.0235 / (ln 10 * 0.25 * 0.75) = 0.054.
    assert "0.48 ± 0.05" in html


def test_two_spots_with_a_half_width_have_no_resolution(learner, paper):
    pair = {"l4_s1_centre": "35", "l4_s1_judged": "2", "l4_s2_centre": "50", "l4_s2_judged": "2"}
    save(learner, paper, origin="15", front="95", **pair)
    send(learner, "lock", paper)
    html = learner.get(url("paper", paper)).content.decode()
    assert "Lane 4: not enough readings for the resolution" in html
    assert "Resolution " not in html


def test_the_form_of_an_amendment_has_them_too_and_says_what_changed(learner, cast, paper, as_):
    fields = {"origin": "15", "front": "95", "l1_s1_centre": "35"}
    save(learner, paper, **fields)
    send(learner, "lock", paper)
    version = set_of(paper, cast.learner).version
    more = {"unit": "mm", "version": version, "reason": "colour forgotten"}
    answer = send(learner, "amend", paper, **fields, **more, l1_s1_colour="yellow", l1_s1_judged="1")
    assert answer.status_code == 302
    record = reverse("board:learner", args=[cast.session.uuid, cast.learner.uuid])
    html = as_(cast.teacher).get(record).content.decode()
    assert "lane 1, spot 1, colour" in html
    assert "lane 1, spot 1, half-width of the centre [mm]" in html
    assert first_spot(paper, cast.learner).colour == "yellow"


def test_another_tab_sees_what_differs(learner, paper):
    save(learner, paper, l1_s1_centre="35", l1_s1_colour="purple")
    html = save(learner, paper, version="7", l1_s1_centre="35", l1_s1_colour="yellow").content.decode()
    assert "Lane 1, spot 1, colour" in html


@pytest.mark.parametrize("judged", ["0", "-1", "25.001"])
def test_the_record_itself_refuses_what_is_no_half_width(learner, cast, paper, judged):
    save(learner, paper, l1_s1_centre="35")
    with pytest.raises(IntegrityError), transaction.atomic():
        SpotReading.objects.update(judged_to_mm=Decimal(judged))


def test_many_sent_fields_of_a_lane_that_is_not_there_do_no_harm(learner, paper):
    html = save(learner, paper, l9_s1_colour="purple", l1_s9_judged="1").content.decode()
    assert "This paper has no lane 9" in html
