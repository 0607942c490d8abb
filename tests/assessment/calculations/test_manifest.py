import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.manifest import (
    ManifestError,
    PartCheck,
    canonical_text,
    check,
    digest,
    freeze,
    is_intact,
)

PARTS = {"readings": b'{"front_mm":"80.5"}', "writing": "Größe".encode(), "photo": b"\xff\xd8"}


def states(checks):
    return {found.part: found.state for found in checks}


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        # FIPS 180-4 example "abc" and the empty message (NIST example values).
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    ],
)
def test_digest_fips_180_4(content, expected):
    assert digest(content) == expected


def test_a_manifest_names_the_token_and_each_parts_digest_and_length():
    # SHA-256 of "abc": FIPS 180-4.
    manifest = freeze(1, "learner-7", {"writing": b"abc"})
    assert manifest.text == (
        '{"learner":"learner-7","parts":{"writing":{"bytes":3,"sha256":'
        '"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"}},"schema_version":1}'
    )
    assert manifest.sha256 == digest(manifest.text.encode())


def test_what_is_kept_is_held_against_the_manifest():
    kept = {"readings": PARTS["readings"], "writing": None, "extra": b"?"}
    found = check(freeze(1, "t", {**PARTS, "notes": b"n"}).text, {**kept, "notes": b"N"})
    assert found == [
        PartCheck("notes", "differs"),
        PartCheck("photo", "missing"),
        PartCheck("readings", "matches"),
        PartCheck("writing", "erased"),
        PartCheck("extra", "not in the manifest"),
    ]


def test_an_erased_part_leaves_the_hash_valid():
    manifest = freeze(1, "t", PARTS)
    assert states(check(manifest.text, {**PARTS, "photo": None}))["photo"] == "erased"
    assert is_intact(manifest.text, manifest.sha256)


def test_the_printed_hash_may_be_typed_in_capitals():
    manifest = freeze(1, "t", PARTS)
    assert is_intact(manifest.text, f" {manifest.sha256.upper()}\n")
    assert not is_intact(manifest.text + " ", manifest.sha256)
    assert not is_intact("\ud800", manifest.sha256)


@pytest.mark.parametrize(
    ("version", "token", "parts", "message"),
    [
        (0, "t", PARTS, "version of its form"),
        (True, "t", PARTS, "version of its form"),
        (1, " ", PARTS, "learner's token"),
        (1, "t", {}, "nothing to freeze"),
        (1, "t", {"": b""}, "needs a name"),
    ],
)
def test_a_freeze_without_its_essentials_is_refused(version, token, parts, message):
    with pytest.raises(ManifestError, match=message):
        freeze(version, token, parts)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        "[]",
        "null",
        '{"parts": 3}',
        '{"parts": {"a": 1}}',
        '{"parts": {"a": {"bytes": "x"}}}',
        "[" * 99999,
    ],
)
def test_a_text_that_is_no_manifest_is_refused(text):
    with pytest.raises(ManifestError, match="not a manifest of evidence"):
        check(text, {})


def test_decimals_are_kept_as_they_were_typed():
    assert (
        canonical_text({"front": Decimal("80.50"), "spot": Decimal("0.4")})
        == '{"front":"80.50","spot":"0.4"}'
    )


@pytest.mark.parametrize(
    "value", [0.1, Decimal("NaN"), Decimal("Infinity"), b"x", {1: "a"}, object(), {"a": [0.5]}]
)
def test_what_has_no_exact_text_is_refused(value):
    with pytest.raises(ManifestError):
        canonical_text(value)


def test_half_a_character_is_refused():
    with pytest.raises(ManifestError, match="half a character"):
        canonical_text("\ud83d")


NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(str.strip)
SOME_PARTS = st.dictionaries(NAMES, st.binary(max_size=40), min_size=1, max_size=5)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.text(st.characters(exclude_categories=["Cs"]))
    | st.decimals(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=4),
    max_leaves=12,
)


@given(SOME_PARTS, st.randoms())
def test_equal_evidence_gives_an_equal_hash_in_any_order(parts, chance):
    names = list(parts)
    chance.shuffle(names)
    assert freeze(1, "t", {name: parts[name] for name in names}) == freeze(1, "t", parts)


@given(SOME_PARTS, st.data())
def test_changed_evidence_gives_another_hash_and_is_found(parts, data):
    name = data.draw(st.sampled_from(sorted(parts)))
    changed = {**parts, name: data.draw(st.binary(max_size=40).filter(lambda new: new != parts[name]))}
    manifest = freeze(1, "t", parts)
    assert freeze(1, "t", changed).sha256 != manifest.sha256
    found = states(check(manifest.text, changed))
    assert found.pop(name) == "differs"
    assert set(found.values()) <= {"matches"}


@given(SOME_PARTS)
def test_unchanged_evidence_matches(parts):
    assert set(states(check(freeze(2, "t", parts).text, parts)).values()) == {"matches"}


@given(VALUES)
def test_canonical_text_is_json_and_reads_back_to_itself(value):
    text = canonical_text(value)
    assert canonical_text(json.loads(text)) == text
