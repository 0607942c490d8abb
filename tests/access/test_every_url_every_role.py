"""Every address as every role and as nobody, against a matrix that was typed by hand."""

import csv
from pathlib import Path
from uuid import uuid4

import pytest
from django.http import HttpResponseBase
from django.test import Client
from django.urls import NoReverseMatch, reverse

from practicals.gate import named_views
from tests.access.world import World

with (Path(__file__).parent / "matrix.csv").open() as file:
    MATRIX = {row.pop("address"): row for row in csv.DictReader(file)}


def address_of(name: str, world: World) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return reverse(name, kwargs=world.kwargs(name))


def outcome(response: HttpResponseBase) -> str:
    if response.status_code == 404:
        return "hidden"
    # With where to go on afterwards; signing out leads to the same page without it.
    asked = f"{reverse('people:sign_in')}?next="
    to_sign_in = response.status_code == 302 and response["Location"].startswith(asked)
    # A form sent without a sign-in comes back to be sent again after one.
    kept = "kept_entry.html" in {template.name for template in getattr(response, "templates", ())}
    return "sign in" if to_sign_in or (kept and response.status_code == 403) else "opens"


def form(world: World) -> dict[str, str]:
    """What a form must name to come as far as the question whose it is."""
    return {"once": str(uuid4()), "submission": str(world.submission.uuid)}


def test_the_matrix_and_the_project_name_the_same_addresses():
    assert sorted(MATRIX) == sorted(named_views())


@pytest.mark.parametrize("who", next(iter(MATRIX.values())))
def test_each_address_opens_to_whom_the_matrix_says(cast, as_, who):
    world = World(cast)
    person = world.people()[who]
    found = {}
    for name in MATRIX:
        client = as_(person) if person else Client()
        if who == "at_the_bench":
            session = client.session
            session["bench_session"] = str(world.session.uuid)
            session.save()
        address = address_of(name, world)
        response = client.get(address)
        if response.status_code == 405:
            response = client.post(address, form(world))
        found[name] = outcome(response)
    assert found == {name: row[who] for name, row in MATRIX.items()}


@pytest.mark.parametrize(
    "who", ["nobody", "other_teacher", "stranger", "rival", "technician", "administrator", "verifier"]
)
def test_sending_a_form_opens_nothing_that_reading_does_not(cast, as_, who):
    world = World(cast)
    person = world.people()[who]
    hidden = [name for name, row in MATRIX.items() if row[who] != "opens"]
    for name in hidden:
        client = as_(person) if person else Client()
        sent = client.post(address_of(name, world), form(world))
        assert outcome(sent) == MATRIX[name][who], name
