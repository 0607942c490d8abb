import re

import pytest

from practicals.calculations.bench_code import (
    ALPHABET,
    FREE_TRIES,
    LONGEST_WAIT_S,
    UnreadableCode,
    bench_code,
    code_digest,
    grouped,
    read_code,
    wait_s,
)

KEY = b"an invented key"
SESSION = "0b7a3c1e-5d2f-4a86-9c40-1f2e3d4c5b6a"
LEARNER = "6f5e4d3c-2b1a-4987-8654-321fedcba987"


# HMAC-SHA256 made with `openssl dgst -sha256 -hmac` (OpenSSL 3, by RFC 2104), its first 40 bits written
# by hand in fives: 6a30d46604 is 01101 01000 11000 01101 01000 11001 10000 00100.
@pytest.mark.parametrize(("serial", "code"), [(1, "D8RD8SG4"), (2, "T5GCFTSZ")])
def test_code_is_the_first_40_bits_of_the_keyed_digest_openssl(serial, code):
    assert bench_code(KEY, session=SESSION, learner=LEARNER, serial=serial) == code


# Likewise with openssl.
def test_kept_digest_is_keyed_and_under_another_name_openssl():
    digest = "b64d57ce1db832e7b7f84b26251deda2807fe5f47ec34c05863846b8874ea1a8"
    assert code_digest(KEY, "D8RD8SG4") == digest


# D. Crockford, Base 32, symbol chart: I, L, O and U are left out; O is read as 0, I and L as 1.
def test_alphabet_has_no_look_alikes_crockford_base_32():
    assert len(set(ALPHABET)) == 32
    assert not set(ALPHABET) & set("ILOU")
    assert read_code("OoIiLl00") == "00111100"


def test_the_same_slip_can_be_printed_again():
    first = bench_code(KEY, session=SESSION, learner=LEARNER, serial=1)
    assert first == bench_code(KEY, session=SESSION, learner=LEARNER, serial=1)


@pytest.mark.parametrize(
    "other",
    [
        {"session": LEARNER, "learner": SESSION, "serial": 1},
        {"session": SESSION, "learner": LEARNER, "serial": 11},
        {"session": SESSION, "learner": SESSION, "serial": 1},
    ],
)
def test_another_session_learner_or_serial_gives_another_code(other):
    assert bench_code(KEY, **other) != "D8RD8SG4"


def test_another_centre_has_other_codes():
    assert bench_code(b"another key", session=SESSION, learner=LEARNER, serial=1) != "D8RD8SG4"


def test_codes_use_every_sign_and_do_not_collide_in_thousands():
    codes = {bench_code(KEY, session=SESSION, learner=str(n), serial=1) for n in range(5000)}
    assert len(codes) == 5000
    assert set("".join(codes)) == set(ALPHABET)


@pytest.mark.parametrize(
    "typed",
    [
        "D8RD-8SG4",
        " d8rd 8sg4 ",
        "d8rd8sg4",
        "D8RD\u20138SG4",
        "D8RD\u00a08SG4",
        "D-8-R-D-8-S-G-4",
        "d8rd_8sg4\n",
    ],
)
def test_a_code_is_read_however_it_is_typed(typed):
    assert read_code(typed) == "D8RD8SG4"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type the bench code"),
        ("  - ", "Type the bench code"),
        ("D8RD", "this has 4"),
        ("D8RD-8SG4-X", "this has 9"),
        ("1e9", "this has 3"),
        ("D8RD,8SG", "“,” is neither"),
        ("D8RD8SG\u0661", "is neither"),
        ("<script>", "“<” is neither"),
    ],
)
def test_what_cannot_be_a_code_is_refused_with_the_reason(typed, says):
    with pytest.raises(UnreadableCode, match=re.escape(says)) as caught:
        read_code(typed)
    assert caught.value.typed == typed


def test_a_code_is_printed_in_two_groups_that_read_back():
    assert grouped("D8RD8SG4") == "D8RD-8SG4"
    assert read_code(grouped("D8RD8SG4")) == "D8RD8SG4"


def test_a_class_may_mistype_without_waiting_and_guessing_gets_slower_common_practice():
    # common practice, no source
    assert {wait_s(tries) for tries in range(FREE_TRIES)} == {0}
    waits = [wait_s(FREE_TRIES + more) for more in range(6)]
    assert waits == [5, 10, 20, 40, 60, 60]
    assert wait_s(10**6) == LONGEST_WAIT_S
