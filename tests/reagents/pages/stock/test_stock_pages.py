"""The shelf's pages: what they show, refuse and keep."""

import csv
import io
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from reagents.models import Container
from tests.factories import make_recipe
from tests.reagents.requested import make_requisition, make_solution
from tests.reagents.shelved import make_container

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


def text(answer):
    return answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")


@pytest.fixture
def technician(cast, as_):
    return as_(cast.technician)


def send(client, address, **typed):
    return client.post(address, {"once": str(uuid4()), **typed})


def received(client, **more):
    typed = {
        "substance": "butan-1-ol",
        "amount": "2,5 L",
        "bottles": "1",
        "lot": "K7",
        "strength": "",
        "form": "",
        "purity_percent": "",
        "place": "Cupboard 1",
        "storage": "flammable",
        "received_on": str(TODAY),
        "expires_on": "",
        **more,
    }
    return send(client, reverse("stock:receive"), **typed)


def test_an_empty_shelf_says_what_to_do(technician):
    assert "Nothing is on the shelf yet" in text(technician.get(reverse("stock:shelf")))


def test_a_delivery_in_any_unit(technician):
    answer = received(technician)
    found = Container.objects.get()
    assert (found.remaining, found.unit) == (2500, "mL")
    assert answer.url == reverse("stock:container", args=[found.uuid])
    assert received(technician, substance="glycine", amount="250 g", bottles="4").url == reverse(
        "stock:shelf"
    )
    assert Container.objects.filter(unit="g").count() == 4


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("amount", "", "required"),
        ("amount", "500", "unit"),
        ("amount", "5 cm", "length"),
        ("amount", "-5 mL", "below"),
        ("amount", "0 mL", "holds something"),
        ("amount", "1e9 L", "too large"),
        ("amount", "lots", "number"),
        ("bottles", "0", "the least is 1"),
        ("bottles", "51", "50"),
        ("bottles", "1.5", "whole number"),
        ("purity_percent", "120", "100"),
        ("purity_percent", "0", "above zero"),
        ("substance", "", "Write the name of the substance"),
        ("substance", "67-64-2", "its last digit should be 1"),
        ("substance", "x" * 81, "80 characters"),
        ("strength", "120 % w/w", "too large"),
        ("amount", "0", "has no unit"),
        ("substance", "aspartame", "must carry a date"),
        ("storage", "attic", "valid choice"),
        ("received_on", "soon", "not a day"),
        ("received_on", "9999-12-31", "thirty years"),
        ("expires_on", "1999-01-01", "expired before it was received"),
    ],
)
def test_bad_input_is_a_sentence_and_is_kept(technician, field, typed, said):
    answer = received(technician, **{"lot": "KEPT-9", field: typed})
    assert answer.status_code == 200
    page = text(answer)
    assert said in page
    assert "KEPT-9" in page
    assert not Container.objects.exists()


def test_the_shelf_warns_of_what_is_past_its_date_and_of_what_clashes(technician):
    make_container(expires_on=TODAY - timedelta(days=2))
    make_container("ethanoic acid", storage="acid")
    make_container("ammonia solution 35 %", storage="base")
    for query in ("", "?by=place"):
        page = text(technician.get(reverse("stock:shelf") + query))
        assert "Past its date" in page
        assert "ammonia solution 35 % and ethanoic acid stand together" in page
        assert "Follow your employer's risk assessment" in page


def test_a_container_can_be_opened_counted_taken_from_moved_and_discarded(technician):
    found = make_container()
    steps = [
        ("open", {"opened_on": str(TODAY), "expires_on": ""}),
        ("count", {"remaining": "0,4 L", "why": "spilt"}),
        ("take", {"amount": "25 mL", "why": "demo"}),
        ("move", {"place": "Cupboard 2", "storage": "flammable", "expires_on": str(TODAY)}),
        ("discard", {"reason": "to solvent waste"}),
    ]
    for name, typed in steps:
        found.refresh_from_db()
        address = reverse(f"stock:{name}", args=[found.uuid])
        answer = send(technician, address, version=found.version, **typed)
        assert answer.status_code == 302, (name, text(answer))
        if name == "take":
            found.refresh_from_db()
            assert found.remaining == 375
    page = text(technician.get(reverse("stock:container", args=[found.uuid])))
    for said in ("counted: spilt", "demo", "before: Cupboard 1", "Discarded", "to solvent waste"):
        assert said in page
    gone = text(technician.get(reverse("stock:shelf") + "?gone=1"))
    assert "discarded" in gone


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("take", {"amount": "600 mL", "why": "demo"}, "count it first"),
        ("take", {"amount": "5 g", "why": "demo"}, "is a mass"),
        ("take", {"amount": "abc", "why": "demo"}, "number"),
        ("take", {"amount": "5", "why": ""}, "Write what it was taken for"),
        ("count", {"remaining": "-1"}, "below"),
        ("count", {"remaining": "1e9"}, "too large"),
        ("open", {"opened_on": "2001-01-01"}, "between the day it came and today"),
        ("move", {"place": "", "storage": "cold"}, "required"),
        ("discard", {"reason": ""}, "Write why it is discarded"),
    ],
)
def test_what_is_refused_is_said_beside_its_own_form(technician, name, typed, said):
    found = make_container()
    answer = send(technician, reverse(f"stock:{name}", args=[found.uuid]), version=found.version, **typed)
    assert answer.status_code == 200
    assert said in text(answer)
    found.refresh_from_db()
    assert (found.remaining, found.discarded_at) == (500, None)


def test_an_overtaken_form_is_refused_once_then_taken(technician):
    found = make_container(version=3)
    address = reverse("stock:count", args=[found.uuid])
    answer = send(technician, address, version=2, remaining="400", why="")
    assert "Somebody saved this after you opened it" in text(answer)
    assert 'value="400"' in text(answer)
    assert 'name="version" value="3"' in text(answer)
    assert send(technician, address, version=3, remaining="400", why="").status_code == 302


def test_an_expired_bottle_asks_for_a_reason(technician):
    old = make_container(expires_on=TODAY - timedelta(days=1))
    address = reverse("stock:take", args=[old.uuid])
    page = text(technician.get(reverse("stock:container", args=[old.uuid])))
    assert "Why is it used all the same?" in page
    typed = {"version": 1, "amount": "5", "why": "rinsing"}
    assert "or take another" in text(send(technician, address, **typed))
    assert send(technician, address, **typed, reason_expired="only glass").status_code == 302


def at(days, hour=9):
    now = timezone.localtime() + timedelta(days=days)
    return now.replace(hour=hour, minute=0, second=0, microsecond=0)


def test_the_order_list_counts_a_fortnight(cast, technician):
    recipe = make_recipe()
    make_requisition(cast.teacher, recipe, total="100", needed_at=at(1))
    make_requisition(cast.teacher, recipe, total="100", needed_at=at(9))
    make_requisition(cast.teacher, recipe, total="100", needed_at=at(20), title="Too far off")
    make_container(amount="100")
    make_container("ethanoic acid", storage="acid", expires_on=TODAY - timedelta(days=1))
    page = text(technician.get(reverse("stock:order")))
    # Hand-worked: 6 : 1.5 : 2.5 of 2 x 100 mL is 120 mL of butan-1-ol, 30 mL of acid and 50 mL of water.
    assert "<strong>20 mL</strong>" in page
    assert "<strong>30 mL</strong>" in page
    assert "500 mL more stands there past its date" in page
    assert "water" not in page.partition("To order")[2].partition("</table>")[0]
    file = technician.get(reverse("stock:order_csv"))
    table = list(csv.DictReader(io.StringIO(file.content.decode("utf-8-sig"))))
    assert {row["substance"]: row["order at least"] for row in table} == {
        "butan-1-ol": "20",
        "ethanoic acid": "30",
    }


def test_what_is_made_needs_nothing_and_what_cannot_be_worked_out_is_said(cast, technician):
    dye = make_solution("A dye", solutes=(("some dye", "0.01", "mol/L"),))
    make_requisition(cast.teacher, dye, total="100", needed_at=at(1))
    page = text(technician.get(reverse("stock:order")))
    assert "its molar mass is not known here" in page


def test_a_liquid_made_from_a_stock_needs_what_the_stock_is_made_of(cast, technician):
    """Hand-worked: 100 mL of a tenth of 1 % w/v take 10 mL of stock; with a tenth to spare 11 mL, 0.11 g."""
    stock = make_solution("Salt stock", solutes=(("sodium chloride", "1", "% w/v"),))
    working = make_solution("Salt water", solutes=(("sodium chloride", "0.1", "% w/v"),))
    working.parts.filter(order=1).update(made_from=stock)
    make_requisition(cast.teacher, working, total="100", needed_at=at(1))
    row = (
        text(technician.get(reverse("stock:order")))
        .partition("sodium chloride</th>")[2]
        .partition("</tr>")[0]
    )
    assert "g</strong>" in row
    needed = Decimal(row.partition("<strong>")[2].partition(" g")[0])
    assert Decimal("0.10") <= needed <= Decimal("0.30")


def test_an_empty_fortnight_says_so(technician):
    assert "Nothing is asked for in the coming fortnight" in text(technician.get(reverse("stock:order")))


def test_as_many_queries_for_40_bottles_as_for_4(technician):
    pages = [reverse("stock:shelf"), reverse("stock:order")]
    counts = []
    for wanted in (4, 36):
        for number in range(wanted):
            make_container(place=f"Place {number}", remaining=Decimal(number + 1))
        for page in pages:
            with CaptureQueriesContext(connection) as caught:
                assert technician.get(page).status_code == 200
            counts.append(len(caught))
    assert counts[:2] == counts[2:]
