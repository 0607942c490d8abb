import uuid

import pytest
from django.urls import reverse


@pytest.fixture
def post(as_):
    """`post(person, name, args, **data)` sends a form with a fresh once-only key."""

    def send(person, name, args, **data):
        return as_(person).post(reverse(f"board:{name}", args=args), {"once": uuid.uuid4(), **data})

    return send


@pytest.fixture
def get(as_):
    def fetch(person, name, *args):
        return as_(person).get(reverse(f"board:{name}", args=args))

    return fetch


@pytest.fixture
def page(get):
    """The text of a page that opens."""

    def read(person, name, *args):
        response = get(person, name, *args)
        assert response.status_code == 200
        return response.content.decode()

    return read
