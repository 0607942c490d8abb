"""What a label says a bottle holds, and which hazards follow."""

from decimal import Decimal

import pytest

from reagents.documents.label_contents import contents_of, layers_of
from reagents.documents.label_words import CODED, NOT_KNOWN, PARTLY_KNOWN, bottle_label, rack_label
from reagents.models import RecipePart
from tests.factories import NOW, make_recipe
from tests.reagents.labelled import make_batch, make_spray
from tests.reagents.requested import make_requisition, make_solution

pytestmark = pytest.mark.django_db
LINK = "http://192.0.2.20/prep/batch/0/"


def batch_of(cast, recipe, label_code="", **more):
    line = make_requisition(cast.teacher, recipe, total="100", label_code=label_code).lines.get()
    return make_batch(line, cast.technician, **more)


def said(batch, layer=""):
    return contents_of(batch, layer).said.replace("\u00a0", " ")


def mixture(*amounts, names=("butan-1-ol", "ethanoic acid", "water")):
    recipe = make_recipe(f"Mixture {'-'.join(amounts)}")
    recipe.parts.all().delete()
    for order, (name, amount) in enumerate(zip(names, amounts, strict=True), start=1):
        RecipePart.objects.create(
            recipe=recipe, order=order, substance=name, amount=Decimal(amount), basis="parts by volume"
        )
    return recipe


def test_a_mixture_of_liquids_is_told_by_mass_hand_worked(cast):
    # 60 : 15 : 25 mL by densities 0.8095, 1.0491, 0.9982: 48.57, 15.74, 24.96 of 89.26 g.
    batch = batch_of(cast, make_recipe())
    assert said(batch) == "butan-1-ol 54 %, ethanoic acid 18 %, water 28 % by mass"
    assert layers_of(batch) == ()


def test_what_was_really_measured_counts(cast):
    batch = batch_of(cast, make_recipe())
    batch.amounts.filter(part__substance="water").update(measured=0)
    # Without the water: 48.57 and 15.74 of 64.31 g.
    assert said(batch) == "butan-1-ol 76 %, ethanoic acid 24 % by mass"


def test_a_solution_is_told_by_its_strength(cast):
    assert said(batch_of(cast, make_solution())) == "glycine 0.01 mol/L, in water"
    assert said(batch_of(cast, make_spray())) == "ninhydrin 0.2 % w/v, in ethanol"


def test_a_mixture_that_splits_is_labelled_by_the_layer_in_the_bottle(cast):
    # 4 : 1 : 5 by volume (common practice: the upper layer is used). Layers by the tie-line rule, w/w B:A:W:
    # 53 : 12 : 34 and about 9 : 10 : 81, uncertain by about 3 % w/w; worked apart from this program.
    batch = batch_of(cast, mixture("4", "1", "5"))
    assert [choice for choice, _ in layers_of(batch)] == ["upper", "lower", "whole"]
    upper, lower = contents_of(batch, "upper"), contents_of(batch, "lower")
    held = [
        {one.substance: float(one.percent) for one in layer.hazards.components} for layer in (upper, lower)
    ]
    assert held[0] == pytest.approx({"butan-1-ol": 53, "ethanoic acid": 12, "water": 34}, abs=3)
    assert held[1]["water"] == pytest.approx(81, abs=4)
    assert said(batch, "whole").startswith("in two layers: butan-1-ol 35 %")
    assert contents_of(batch, "") == upper


def test_the_watery_waste_layer_is_labelled_as_flammable_as_the_other(cast):
    batch = batch_of(cast, mixture("4", "1", "5"))
    label = bottle_label(batch, layer="lower", link=LINK)
    assert label.words.title == "Mixture 4-1-5: lower layer"
    assert any(sentence.startswith("H226") for sentence in label.words.hazards)
    assert "GHS02" in {sign.code for sign in label.signs}


def test_too_close_to_call_is_said_to_who_prints(cast):
    # 4 : 1 : 3 lies within the doubt of the measured curve.
    label = bottle_label(batch_of(cast, mixture("4", "1", "3")), layer="", link=LINK)
    assert any("too close to call" in doubt for doubt in label.doubts)


def test_the_hazards_are_those_of_the_mixture_hand_worked(cast):
    # CLP Annex I on 54.4 : 17.6 : 28.0 % w/w: H226 H302 H315 H318 H335 H336, Danger, GHS02 GHS05 GHS07.
    label = bottle_label(batch_of(cast, make_recipe()), layer="", link=LINK)
    assert [said[:4] for said in label.words.hazards] == ["H226", "H302", "H315", "H318", "H335", "H336"]
    assert label.words.signal_word == "Danger"
    assert [sign.code for sign in label.signs] == ["GHS02", "GHS05", "GHS07"]
    assert 4 <= len(label.words.precautions) <= 7


def test_what_is_not_known_is_said_and_no_label_is_silently_empty(cast):
    dye = bottle_label(
        batch_of(cast, mixture("1", "1", names=("some dye", "another dye"))), layer="", link=LINK
    )
    assert NOT_KNOWN in dye.words.hazards or PARTLY_KNOWN in dye.words.hazards
    harmless = bottle_label(batch_of(cast, make_solution()), layer="", link=LINK)
    assert any("no promise" in sentence for sentence in harmless.words.hazards)


def test_a_sensitiser_is_named_on_a_bottle_and_not_on_a_coded_one(cast):
    plain = bottle_label(batch_of(cast, make_spray()), layer="", link=LINK)
    coded = bottle_label(batch_of(cast, make_spray("Other"), label_code="X7"), layer="", link=LINK)
    assert any("Contains ninhydrin" in sentence for sentence in plain.words.hazards)
    assert coded.words.contents == (CODED,)
    assert not any("ninhydrin" in sentence for sentence in coded.words.hazards)
    assert [one[:4] for one in coded.words.hazards] == [one[:4] for one in plain.words.hazards]


def test_a_rack_ends_with_the_first_of_its_vials_and_carries_all_initials(cast):
    first = batch_of(cast, make_solution(), use_by=NOW)
    second = batch_of(cast, make_spray(), initials="AB")
    label = rack_label("Amino acids", [first, second], link=LINK)
    assert "use by 24 Nov 2026" in " ".join(label.words.data)
    assert "by TT AB" in label.words.data
    assert label.words.title == "Rack: Amino acids"
