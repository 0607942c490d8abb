"""The page that estimates the vapour in a room: it warns, keeps what was typed and answers bad input."""

import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reagents.calculations.flammable_vapour import GREATER_RISK
from reagents.calculations.ventilation import NOTICE
from tests.reagents.calculations.test_ventilation import REASSURING

pytestmark = pytest.mark.django_db

GIVEN = {
    "volume": "200 m³",
    "changes": "2",
    "mixing": "1",
    "temperature": "20",
    "oven": "60 °C",
    "ratio": "12:3:5",
    "papers": "10",
    "paper_volume": "5 mL",
    "drying_time": "1 h",
    "dishes": "2",
    "across": "9 cm",
    "air_speed": "10 cm/s",
    "open_time": "40",
    "solvent": "ethanol",
    "sprayed": "20 mL",
    "spray_time": "10 min",
}


@pytest.fixture
def page(cast, as_):
    def opened(person=None, **more):
        client = as_(person or cast.technician)
        return client.get(reverse("prep:ventilation"), {**GIVEN, **more} if more != {"none": True} else {})

    return opened


def text(answer):
    return (
        answer.content.decode()
        .replace("\u00a0", " ")
        .replace("&#x27;", "'")
        .replace("&quot;", '"')
    )  # fmt: skip


def test_the_notice_stands_before_anything_is_entered(page):
    answer = page(none=True)
    assert answer.status_code == 200
    assert NOTICE in text(answer)
    assert "What to watch" not in text(answer)


def test_the_estimate_with_formula_source_edition_and_fire(page):
    said = text(page())
    for words in (
        NOTICE,
        GREATER_RISK,
        "against a limit of 50 ppm over 15 minutes",
        "EH40/2005, 4th edition (2020)",
        "dilution ventilation, dilution_vent",
        "from memory",
        "Over butan-1-ol at 60 °C",
        "safety data sheet",
    ):
        assert words in said
    # 30 mL of butan-1-ol in 1 h at 2 changes in 200 m3 is 19.7 ppm, hand-worked; open dishes add to it.
    assert page(dishes="0").context["found"].airs[0].steady_ppm == pytest.approx(
        Decimal("19.7"), abs=Decimal("0.06")
    )


def test_no_word_of_the_page_reassures(page):
    for answer in (page(none=True), page(), page(papers="0", dishes="0", sprayed=""), page(volume="big")):
        words = re.sub(r"<[^>]+>", " ", text(answer).partition("<h1>")[2])
        assert REASSURING.search(words) is None


def test_a_teacher_may_estimate_and_is_led_nowhere_closed(page, cast):
    answer = page(cast.teacher)
    assert answer.status_code == 200
    assert f'href="{reverse("prep:requisitions")}"' not in text(answer)
    assert page(cast.learner).status_code == 404


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("volume", "", "Nothing is entered"),
        ("volume", "big", "does not start with a plain number"),
        ("volume", "200 g", "a volume such as 200 m³"),
        ("volume", "1e9", "1 to 100 000 m³"),
        ("volume", "200 mL", "1 to 100 000 m³"),
        ("volume", "-5", "below zero"),
        ("volume", "0", "not above zero"),
        ("changes", "two", "does not start with a plain number"),
        ("changes", "-1", "below zero"),
        ("changes", "3 kg", "an air change rate such as 2 per hour"),
        ("mixing", "0.5", "too small"),
        ("temperature", "hot", "plain number"),
        ("temperature", "500", "too large"),
        ("ratio", "12:3", "2 parts; 3 are needed"),
        ("ratio", "0:0:0", "number above zero"),
        ("ratio", "", "write the parts with colons"),
        ("papers", "1.5", "not a whole number"),
        ("papers", "1e9", "too large"),
        ("paper_volume", "", "liquid that one paper holds"),
        ("drying_time", "0", "not above zero"),
        ("spray_time", "", "spraying time"),
        ("solvent", "petrol", "not one of the available choices"),
        ("air_speed", "fast", "plain number"),
    ],
)
def test_bad_input_is_a_sentence_and_stays_in_the_field(page, field, typed, words):
    answer = page(**{field: typed})
    assert answer.status_code == 200
    assert answer.context["found"] is None
    assert any(words in error for error in answer.context["form"].errors[field])
    if typed and field != "solvent":
        assert f'value="{typed}"' in text(answer)
    assert NOTICE in text(answer)


def test_decimal_comma_and_pasted_spaces_are_read(page):
    answer = page(volume=" 200,5 m³ ", changes="0,5 per hour", drying_time="90 min")
    assert answer.context["found"].room.volume_m3 == Decimal("200.5")
    assert answer.context["found"].room.changes_per_h == Decimal("0.5")


def test_nothing_that_evaporates_still_shows_fire_and_notice(page):
    said = text(page(papers="0", dishes="0", sprayed=""))
    assert "Nothing that gives off vapour is entered yet" in said
    assert GREATER_RISK in said


def test_no_air_change_is_told(page):
    assert "nothing leaves the room" in text(page(changes="0"))


def test_it_takes_no_post(cast, as_):
    assert as_(cast.technician).post(reverse("prep:ventilation"), GIVEN).status_code in {400, 405}


def test_it_asks_the_database_as_often_with_more_papers(page):
    page()
    with CaptureQueriesContext(connection) as few:
        page(papers="1")
    with CaptureQueriesContext(connection) as many:
        page(papers="900")
    assert len(few) == len(many)
