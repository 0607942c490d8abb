"""Standardisation as clicked: opened, judged blind, revealed, agreed."""

import re
import uuid

import pytest
from django.urls import reverse

from assessment.models import AgreedReading, BlindJudgement, Standardisation
from practicals.models import Role
from tests.assessment.handed_in import decided_class
from tests.factories import make_user

LIST, OPEN = reverse("standardise:standardisations"), reverse("standardise:open")


@pytest.fixture
def piece(cast):
    return decided_class(1, verifier=cast.verifier, teacher=cast.teacher)[0]


@pytest.fixture
def third(db):
    return make_user("Cy Third", Role.TEACHER)


@pytest.fixture
def opened(cast, as_, piece, third):
    send(as_(cast.verifier), OPEN, **opening(piece, cast.other_teacher, third))
    return Standardisation.objects.get()


def send(client, url, **typed):
    return client.post(url, {"once": str(uuid.uuid4()), **typed})


def words(response):
    text = re.sub(r"<svg.*?</svg>", " ", response.content.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def opening(piece, *assessors, **more):
    chosen = [str(person.uuid) for person in assessors]
    return {"title": "Piece 1", "piece": str(piece.uuid), "assessors": chosen, **more}


def page(name, standardisation):
    return reverse(f"standardise:{name}", args=[standardisation.uuid])


def filled(standardisation, text, outcome="met", **more):
    criteria = standardisation.piece.work.assignment.brief.criteria.all()
    data = {f"outcome_{c.pk}": outcome for c in criteria} | {f"text_{c.pk}": text for c in criteria}
    return {**data, **more}


def test_the_whole_way(cast, as_, opened, third):
    verifier, one, two = as_(cast.verifier), as_(cast.other_teacher), as_(third)
    url = page("piece", opened)
    assert "0 of 2 have judged" in words(one.get(LIST))
    assert send(one, url, **filled(opened, "Only mine to see.")).url == url
    for client in (verifier, two):
        assert "Only mine to see." not in words(client.get(url))
    assert "Only mine to see." in words(one.get(url))
    send(verifier, page("reveal", opened))
    opened.refresh_from_db()
    assert opened.revealed_at is None
    send(two, url, **filled(opened, "As I see it.", "not yet met"))
    assert "not revealed yet" in words(verifier.get(page("agreed", opened)))
    send(verifier, page("reveal", opened))
    text = words(one.get(url))
    assert "Only mine to see." in text
    assert "As I see it." in text
    # By hand: one all met, one none met, 4 criteria: p_o = 0, p_e = 0, so kappa = 0 (Cohen 1960).
    assert "2 judges agree on 0 of 4 criteria; of all pairs of judgements 0 % agree" in text
    assert "Cohen’s kappa 0.00" in text
    assert "Save my judgement" not in text
    agreed = filled(opened, "A table with units is enough.") | {"outcome": "Read as a table."}
    assert send(verifier, page("agreed", opened), **agreed).url == url
    assert "A table with units is enough." in words(two.get(url))
    assert AgreedReading.objects.count() == 4


def test_who_judges_sees_neither_the_learner_nor_the_assessor(cast, as_, opened, piece):
    work = piece.work
    piece_of = piece.parts.get(name="writing")
    assert "leucine" in piece_of.text
    text = words(as_(cast.other_teacher).get(page("piece", opened)))
    assert "The unknown is leucine." in text
    assert work.learner.name not in text
    assert cast.teacher.name not in text
    assert work.assignment.teaching_class.name not in text


def test_only_who_was_asked_finds_it(cast, as_, opened):
    for person in (cast.teacher, make_user("Not Asked", Role.TEACHER)):
        client = as_(person)
        assert client.get(page("piece", opened)).status_code == 404
        assert "Piece 1" not in words(client.get(LIST))


def test_whoever_decided_on_it_comes_back_with_a_sentence(cast, as_, piece, third):
    answer = send(as_(cast.verifier), OPEN, **opening(piece, cast.teacher, third))
    assert "cannot judge it blind" in words(answer)
    assert not Standardisation.objects.exists()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("title", ""),
        ("title", "x" * 161),
        ("piece", ""),
        ("piece", "rubbish"),
        ("piece", str(uuid.UUID(int=1))),
        ("assessors", []),
        ("assessors", ["rubbish"]),
        ("assessors", [str(uuid.UUID(int=1))]),
    ],
)
def test_what_cannot_be_opened_comes_back_with_a_sentence(cast, as_, piece, third, field, value):
    data = opening(piece, cast.other_teacher, third) | {field: value}
    answer = send(as_(cast.verifier), OPEN, **data)
    assert answer.status_code == 200
    assert answer.context["form"].errors[field][0].endswith(".")
    assert not Standardisation.objects.exists()


def test_a_judgement_with_a_gap_keeps_what_was_typed(cast, as_, opened):
    first = opened.piece.work.assignment.brief.criteria.first()
    data = filled(opened, "Kept in the form.", **{f"outcome_{first.pk}": "perhaps"})
    answer = send(as_(cast.other_teacher), page("piece", opened), **data)
    assert "Choose “met” or “not yet met”." in words(answer)
    assert "Kept in the form." in words(answer)
    assert not BlindJudgement.objects.exists()


def test_an_empty_agreed_reading_comes_back_with_sentences(cast, as_, opened, third):
    for person in (cast.other_teacher, third):
        send(as_(person), page("piece", opened), **filled(opened, "Seen."))
    send(as_(cast.verifier), page("reveal", opened))
    text = words(send(as_(cast.verifier), page("agreed", opened)))
    assert "Write how the criterion is to be read." in text
    assert "Write in a few words what was agreed." in text
