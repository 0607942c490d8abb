"""Practicals: read, edited as text, published values."""

import uuid

import pytest
from django.urls import reverse

from practicals.actions.load_reference_values import load_reference_values
from practicals.models import Practical
from tests.factories import NOW


def save(client, practical, text, query=""):
    url = reverse("plan:edit_practical", args=[practical.uuid]) + query
    return client.post(url, {"once": str(uuid.uuid4()), "text": text})


def test_staff_see_what_is_in_an_unknown_and_cautions_at_their_step(as_, cast, shipped):
    for person in (cast.teacher, cast.technician):
        text = as_(person).get(reverse("plan:practical", args=[shipped.uuid])).content.decode()
        assert "L-alanine, L-leucine" in text
        assert '<p class="caution">Flammable, corrosive' in text
        assert 'class="defers"' in text


@pytest.mark.parametrize("page", ["practical", "published", "edit_practical"])
def test_learners_see_none_of_it(as_, cast, shipped, page):
    assert as_(cast.learner).get(reverse(f"plan:{page}", args=[shipped.uuid])).status_code == 404


def test_a_technician_reads_but_does_not_edit(as_, cast, shipped):
    client = as_(cast.technician)
    assert "Amino acids on paper" in client.get("/plan/practicals/").content.decode()
    assert client.get(reverse("plan:edit_practical", args=[shipped.uuid])).status_code == 404


def test_saving_makes_the_next_edition_and_leaves_the_first(as_, cast, shipped):
    text = shipped.text.replace("expected_minutes = 60", "expected_minutes = 45")
    save(as_(cast.teacher), shipped, text.replace("\n", "\r\n"))
    second = Practical.objects.get(slug=shipped.slug, edition=2)
    shipped.refresh_from_db()
    assert (shipped.expected_minutes, second.expected_minutes) == (60, 45)
    assert second.mobile_phase == shipped.mobile_phase


def test_all_problems_are_said_and_the_text_is_kept(as_, cast, shipped):
    text = shipped.text.replace("depth_mm = 8", "depth_mm = 19").replace('who = "learner"', 'who = "anyone"')
    shown = save(as_(cast.teacher), shipped, text).content.decode()
    assert shown.count("must be one of") >= 3
    assert "depth_mm = 19" in shown
    assert Practical.objects.filter(slug=shipped.slug).count() == 1


@pytest.mark.parametrize(
    "text", ["", "letters", "-1", "1e9", "slug = \x00", "slug = 'a'\nslug = 'b'", "[" * 5000]
)
def test_what_is_no_practical_is_refused(as_, cast, shipped, text):
    assert save(as_(cast.teacher), shipped, text).status_code == 200
    assert Practical.objects.count() == Practical.objects.filter(edition=1).count()


def test_a_title_too_long_for_the_record_is_a_sentence(as_, cast, shipped):
    text = shipped.text.replace('title = "Amino acids on paper"', f'title = "{"x" * 200}"')
    shown = save(as_(cast.teacher), shipped, text).content.decode()
    assert "does not fit" in shown


def test_a_newer_edition_is_shown_beside_what_was_typed(as_, cast, shipped):
    client = as_(cast.teacher)
    save(client, shipped, shipped.text.replace("expected_minutes = 60", "expected_minutes = 45"))
    shown = save(client, shipped, shipped.text.replace("expected_minutes = 60", "expected_minutes = 50"))
    text = shown.content.decode()
    assert "expected_minutes = 45" in text
    assert "expected_minutes = 50" in text
    assert Practical.objects.filter(slug=shipped.slug).count() == 2


def test_a_new_practical_needs_no_code(as_, cast, shipped):
    client = as_(cast.teacher)
    page = client.get(reverse("plan:edit_practical", args=[shipped.uuid]), {"copy": "1"})
    text = page.context["form"].initial["text"]
    save(client, shipped, text, "?copy=1")
    copy = Practical.objects.get(slug="amino-acids-on-paper-copy")
    assert (copy.edition, copy.title, copy.added_by) == (1, "Amino acids on paper (copy)", cast.teacher)


def test_a_copy_must_not_take_a_slug_that_is_used(as_, cast, shipped):
    assert "is taken" in save(as_(cast.teacher), shipped, shipped.text, "?copy=1").content.decode()


def test_an_edition_keeps_its_slug(as_, cast, shipped):
    text = shipped.text.replace('slug = "amino-acids-on-paper"', 'slug = "something-else"')
    assert "start from a copy" in save(as_(cast.teacher), shipped, text).content.decode()


def test_an_unconfirmed_value_says_that_it_judges_nobody(as_, cast, shipped):
    load_reference_values(by=None, now=NOW)
    text = as_(cast.teacher).get(reverse("plan:published", args=[shipped.uuid])).content.decode()
    assert "unconfirmed" in text
    assert "not used to judge anyone" in text
