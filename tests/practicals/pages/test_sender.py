"""Who sent a request that came through our own proxies.

Order of the addresses: RFC 7239, sections 5.2 and 7.4 (each proxy adds at the end the one that called it).
"""

import pytest
from django.urls import reverse

from practicals.calculations.bench_code import FREE_TRIES
from practicals.models import WrongTry
from practicals.pages.sender import sender_behind


@pytest.mark.parametrize(
    ("forwarded", "proxies", "sender"),
    [
        ("203.0.113.7", 1, "203.0.113.7"),
        ("203.0.113.7, 10.0.0.2", 2, "203.0.113.7"),
        # Made up by the sender: only the last one was added by our proxy.
        ("198.51.100.1, 203.0.113.7", 1, "203.0.113.7"),
        ("2001:DB8::7", 1, "2001:db8::7"),
        ("[2001:db8::7]:50123", 1, "2001:db8::7"),
        ("203.0.113.7:50123", 1, "203.0.113.7"),
        ("203.0.113.7", 0, ""),
        ("203.0.113.7", 2, ""),
        ("", 1, ""),
        ("unknown", 1, ""),
        ("203.0.113.7\0'; --", 1, ""),
    ],
)
def test_the_sender_is_the_address_that_the_outermost_own_proxy_added(forwarded, proxies, sender):
    assert sender_behind(forwarded, proxies) == sender


def try_wrong_code(client, cast, forwarded):
    typed = {"word": cast.teaching_class.class_word, "code": "7KQ2-M9XA"}
    address = reverse("people:bench_sign_in")
    return client.post(address, typed, HTTP_X_FORWARDED_FOR=forwarded).content.decode()


def test_wrong_codes_of_one_sender_make_nobody_else_behind_the_proxy_wait(cast, client, settings):
    settings.PROXIES = 1
    for _ in range(FREE_TRIES + 1):
        said = try_wrong_code(client, cast, "203.0.113.7")
    assert "many wrong codes" in try_wrong_code(client, cast, "203.0.113.7")
    said = try_wrong_code(client, cast, "203.0.113.8")
    assert "do not fit together" in said
    assert set(WrongTry.objects.values_list("address", flat=True)) == {"203.0.113.7", "203.0.113.8"}


def test_without_a_proxy_nobody_chooses_their_own_address(cast, client, settings):
    settings.PROXIES = 0
    try_wrong_code(client, cast, "203.0.113.7")
    assert set(WrongTry.objects.values_list("address", flat=True)) == {"127.0.0.1"}
