"""The calculators: results as sentences, what was typed kept, and bad input answered by a sentence."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

pytestmark = pytest.mark.django_db

MIXTURE = {
    "basis": "parts by volume",
    "scale": "total",
    "total": "0.1 l",
    "name_1": "n-butanol",
    "parts_1": "6",
    "name_2": "64-19-7",
    "parts_2": "1,5",
    "name_3": "water",
    "parts_3": "2.5",
}
SOLUTION = {
    "name": "ninhydrin",
    "strength": "0.2 % w/v",
    "amount": "100 cm3",
    "solvent": "ethanol",
    "purity": "100",
    "balance": "0.01",
}
DILUTION = {
    "stock": "99.7 % w/w",
    "wanted": "2 M",
    "amount": "100 mL",
    "name": "acetic acid",
    "density": "1.049",
}
SERIES = {"stock": "0.1 mol/L", "factor": "1:10", "steps": "4", "needed": "50 mL"}
GIVEN = {"mixture": MIXTURE, "solution": SOLUTION, "dilution": DILUTION, "series": SERIES}


@pytest.fixture
def page(cast, as_):
    def opened(name, person=None, /, **more):
        client = as_(person or cast.technician)
        return client.get(reverse(f"prep:{name}"), {**GIVEN.get(name, {}), **more})

    return opened


def words(answer):
    text = re.sub(r"<[^>]+>", " ", answer.content.decode().replace("\u00a0", " "))
    return re.sub(r"\s+", " ", text.replace("&#x27;", "'"))


def test_they_are_found_from_one_page(page, as_, cast):
    answer = page("calculators")
    for name in (*GIVEN, "ventilation"):
        assert reverse(f"prep:{name}") in answer.content.decode()


@pytest.mark.parametrize("name", sorted(GIVEN))
def test_an_empty_form_asks_and_does_not_complain(cast, as_, name):
    answer = as_(cast.technician).get(reverse(f"prep:{name}"))
    assert answer.status_code == 200
    assert "Nothing is entered" not in words(answer)


@pytest.mark.parametrize("name", sorted(GIVEN))
def test_a_teacher_may_use_them_too(page, cast, name):
    assert page(name, cast.teacher).status_code == 200


def test_a_mixture_with_its_phase_composition_and_hazards(page):
    said = words(page("mixture"))
    for sentence in (
        "butan-1-ol : ethanoic acid : water is 12 : 3 : 5",
        "60 mL",
        "15 mL",
        "One phase at 20 °C",
        "H226",
        "Shares by mass: butan-1-ol 54.4",
        "of ethanoic acid last, slowly",
        "employer's risk assessment",
    ):
        assert sentence in said
    assert "0.2846" in said  # mole fraction of butan-1-ol, hand-worked


def test_a_mixture_for_chambers_says_when_the_liquid_is_too_high(page):
    said = words(page("mixture", scale="chambers", count="6", across="9 cm", depth="8", origin="12 mm"))
    assert "6 chambers, 90 mm across, 8 mm deep, take 50.89 mL each" in said
    assert "comes within 5 mm of the origin line" in said


def test_the_largest_batch_of_what_is_left_names_what_runs_out_first(page):
    said = words(page("mixture", scale="left", left_1="80 mL", left_2="15"))
    assert "ethanoic acid runs out first: 100 mL at most. Then 20 mL of butan-1-ol is left." in said


def test_the_layers_of_a_mixture_that_splits_are_shown_apart(page):
    said = words(page("mixture", parts_1="4", parts_2="1", parts_3="5"))
    assert "Two phases at 20 °C" in said
    assert "Upper layer" in said
    assert "Lower layer" in said


def test_a_fifth_of_a_gram_is_four_percent_off_and_a_stock_is_offered(page):
    said = words(page("solution"))
    assert "Weigh 0.20 g of ninhydrin" in said
    assert "H225" in said  # of the ethanol; and its caution
    assert "no flames or sparks" in said
    assert "uncertain by about 4 %" in said
    assert "weigh 2 g and make it up to 100 mL with ethanol" in said
    assert "500 mL takes 1.00 g" in said


def test_what_is_left_in_the_bottle_makes_so_much_at_most(page):
    said = words(page("solution", amount="", left="1,2 g"))
    assert "What is left makes 600 mL at most" in said
    assert "Weigh 1.20 g of ninhydrin" in said


def test_tyrosine_says_what_can_be_done(page):
    said = words(page("solution", name="L-tyrosine", strength="10 mmol/L", solvent="water"))
    assert "This solution cannot be made in water: not so much dissolves." in said
    assert "saturated, about 0.0025 mol/L" in said
    assert "dilute acid" in said


def test_two_molar_acid_from_the_bottle(page):
    said = words(page("dilution"))
    assert "Take 11.5 mL (25 mL graduated pipette) of the stock, for 100 mL." in said
    assert "11.48 mL exactly" in said
    assert "acid goes into water" in said
    assert "Pure (glacial) ethanoic acid freezes near 16.6" in said
    assert "H315: Irritates skin." in said  # 2 mol/L is 11.8 % w/w: hand-worked CLP case L07
    assert "H314" not in said


def test_a_density_that_is_not_entered_is_taken_aloud(page):
    assert "Density taken as that of pure ethanoic acid at 20 °C" in words(page("dilution", density=""))


def test_a_series_with_its_strengths_and_errors(page):
    said = words(page("series"))
    assert "In each step take 10 mL (10 mL one-mark pipette)" in said
    assert "0.00001" in said


BAD = [
    ("mixture", {"total": "5 grams"}, "5 grams is a mass; a volume such as 25 mL is needed here."),
    ("mixture", {"total": "1e6 L"}, "is too large"),
    ("mixture", {"total": ""}, "Write the volume to make"),
    ("mixture", {"parts_1": "0"}, "is not above zero"),
    ("mixture", {"parts_2": "-3"}, "is below zero; check the sign."),
    ("mixture", {"parts_2": "lots"}, "does not start with a plain number"),
    ("mixture", {"parts_3": ""}, "Write how many parts of water."),
    ("mixture", {"name_3": ""}, "Write which liquid this is."),
    ("mixture", {"name_2": "64-19-8"}, "its last digit should be 7"),
    ("mixture", {"name_2": "water"}, "is in the recipe twice"),
    ("mixture", {"scale": "left"}, "Say of which part how much is left"),
    ("mixture", {"scale": "chambers"}, "Write how many chambers."),
    ("mixture", {"scale": "chambers", "count": "6", "depth": "8"}, "Give the diameter of a round chamber"),
    ("mixture", {"scale": "chambers", "count": "6", "depth": "8 mL", "across": "90"}, "8 mL is a volume"),
    ("mixture", {"scale": "nowhere"}, "not one of the available choices"),
    ("mixture", {"basis": "% v/v"}, "add up to 10.0 %, not 100 %"),
    ("mixture", {"cylinders": "7"}, "not one of the available choices"),
    ("solution", {"purity": "120 %"}, "is too large; the most is 100 %"),
    ("solution", {"purity": "0"}, "is not above zero"),
    ("solution", {"strength": "5 g"}, "5 g is a mass; a strength such as"),
    ("solution", {"strength": "0.2 %"}, "could be % w/v, % w/w or % v/v"),
    ("solution", {"amount": "1e6 L"}, "is too large"),
    ("solution", {"amount": "5 M"}, "is an amount concentration; a volume such as"),
    ("solution", {"amount": ""}, "Write how much to make, such as 250 mL, or what is left in the bottle."),
    ("solution", {"amount": "", "left": "5 mL"}, "5 mL is a volume; a mass such as 0.20 g is needed here."),
    ("solution", {"name": "56-41-8"}, "its last digit should be 7"),
    ("solution", {"name": "unobtainium", "strength": "1 M"}, "Its molar mass is needed"),
    ("solution", {"molar_mass": "Xx2"}, "has no atomic weight here"),
    ("solution", {"molar_mass": "-5"}, "is too small"),
    ("solution", {"form": "L-lysine hydrochloride"}, "No form"),
    ("dilution", {"wanted": "20 M"}, "weaker than the 20 mol/L wanted"),
    ("dilution", {"density": "5 g"}, "5 g is a mass; a density such as 1.05 g/mL"),
    ("dilution", {"name": "", "density": ""}, "is needed for that"),
    ("dilution", {"amount": "100 g"}, "is made by mass"),
    ("series", {"factor": "1:1"}, "dilutes nothing"),
    ("series", {"steps": "1.5"}, "is not a whole number"),
    ("series", {"steps": "99"}, "is too large"),
    ("series", {"needed": "0"}, "is not above zero"),
]


@pytest.mark.parametrize(("name", "given", "sentence"), BAD)
def test_bad_input_is_a_sentence_and_what_was_typed_stays(page, name, given, sentence):
    answer = page(name, **given)
    assert answer.status_code == 200
    assert sentence in words(answer)
    for field, typed in given.items():
        if typed and field not in {"scale", "basis", "cylinders", "form"}:
            assert f'value="{typed}"' in answer.content.decode()


@pytest.mark.parametrize("name", sorted(GIVEN))
@pytest.mark.parametrize(
    "typed", ["\x00", "１２", "1e999", "-1e-99", "<script>", "1,000", "9" * 500, "∞", "🧪 mL"]
)
def test_no_entry_does_worse_than_a_sentence(page, name, typed):
    for field in GIVEN[name]:
        answer = page(name, **{field: typed})
        assert answer.status_code == 200
        assert "<script>alert" not in answer.content.decode()


def test_a_calculator_asks_the_database_little_and_keeps_nothing(cast, as_):
    client = as_(cast.technician)
    counts = []
    for given in (
        MIXTURE,
        {**MIXTURE, "name_4": "ethanol", "parts_4": "1", "name_5": "propanone", "parts_5": "1"},
    ):
        with CaptureQueriesContext(connection) as queries:
            client.get(reverse("prep:mixture"), given)
        counts.append(len(queries))
    assert counts[0] == counts[1]
    assert not any(query["sql"].startswith(("INSERT", "UPDATE")) for query in queries)


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("mixture", {"total": "5 grams"}),
        ("solution", {"purity": "120 %"}),
        ("dilution", {"stock": "-1 M"}),
        ("series", {"steps": "0"}),
        ("ventilation", {"volume": "5 grams"}),
    ],
)
def test_a_form_that_keeps_nothing_does_not_say_that_nothing_was_saved(page, name, typed):
    said = words(page(name, **typed))
    assert "Something below is to be put right. What you typed is still here." in said
    assert "Nothing was saved" not in said


def test_each_rule_and_figure_of_a_class_names_its_source(page):
    said = words(page("mixture"))
    assert "limit 10 % (read; annex6_atp17, sds_butanol)" in said
    assert "annex6_atp17: CLP Annex VI Table 3" in said
