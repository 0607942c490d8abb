import uuid

import pytest


@pytest.fixture
def send():
    """`send(client, address, **typed)` sends a form with its once-only key."""

    def post(client, address, **typed):
        return client.post(address, {"once": str(uuid.uuid4()), **typed})

    return post
