"""Recipes as they are written become shares by mass and a label."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reagents.calculations.composition import from_volumes
from reagents.calculations.preparation import MadeFrom, PartWanted
from reagents.calculations.recipe_hazards import classify_parts
from reagents.calculations.substances import substances

VOLUME, MASS, MOLE, MOLAR = "parts by volume", "parts by mass", "mole parts", "mol/L"


def recipe(*parts, basis=VOLUME):
    wanted = []
    for key, (name, amount, *own) in enumerate(parts, 1):
        figure = None if amount is None else Decimal(str(amount))
        wanted.append(PartWanted(key, name, figure, own[0] if own else basis))
    return wanted


def solution(name, amount, basis, solvent):
    return recipe((name, amount, basis), (solvent, None, "to volume"))


def percent(found):
    return {one.substance: float(one.percent) for one in found.components}


BAW = ("H226", "H302", "H315", "H318", "H335", "H336")


@pytest.mark.parametrize(
    ("parts", "shares"),
    [
        # Hand-worked, densities 0.8095, 1.0491, 0.9982: checks the code against the rule.
        ((12, 3, 5), (54.4, 17.6, 28.0)),
        (("6", "1.5", "2.5"), (54.4, 17.6, 28.0)),
        ((4, 1, 5), (34.9, 11.3, 53.8)),
        ((4, 1, 1), (61.3, 19.8, 18.9)),
    ],
)
def test_parts_by_volume_are_counted_by_mass_hand_worked(parts, shares):
    found = classify_parts(recipe(*zip(("butan-1-ol", "ethanoic acid", "water"), parts, strict=True)))
    assert list(percent(found).values()) == pytest.approx(shares, abs=0.05)
    assert found.classification.codes == BAW
    assert found.how[0].startswith("Shares by mass: butan-1-ol")


def test_shares_agree_with_the_composition_shown_elsewhere():
    volumes = {"butan-1-ol": Decimal(4), "ethanoic acid": Decimal(1), "water": Decimal(5)}
    shares = {one.substance: one.mass_fraction for one in classify_parts(recipe(*volumes.items())).components}
    assert shares == pytest.approx(from_volumes(volumes).mass_shares)


def test_parts_by_mass_and_by_mole():
    by_mass = classify_parts(recipe(("ethanol", 3), ("water", 1), basis=MASS))
    assert percent(by_mass) == pytest.approx({"ethanol": 75, "water": 25})
    # One mole of each: 46.069 and 18.015 g (IUPAC abridged weights).
    by_mole = classify_parts(recipe(("ethanol", 1), ("water", 1), basis=MOLE))
    assert percent(by_mole)["ethanol"] == pytest.approx(71.89, abs=0.01)


@pytest.mark.parametrize(
    ("solvent", "codes"),
    [
        ("ethanol", ("H225", "H319", "EUH208")),
        ("propanone", ("H225", "H319", "H336", "EUH066", "EUH208")),
    ],
)
def test_ninhydrin_0_2_percent_w_v_is_0_25_percent_by_mass_hand_worked(solvent, codes):
    found = classify_parts(solution("ninhydrin", "0.2", "% w/v", solvent))
    assert percent(found)["ninhydrin"] == pytest.approx(0.253, abs=0.001)
    assert found.classification.codes == codes


@pytest.mark.parametrize(
    ("strength", "codes"),
    [
        # 10 % w/w is 1.69 mol/L and 25 % is 4.29 mol/L by densities of solutions (source `aq_density`, read).
        ("1.5", ()),
        ("1.8", ("H315", "H319")),
        ("4.1", ("H315", "H319")),
        ("4.4", ("H314",)),
    ],
)
def test_ethanoic_acid_by_molarity_aq_density(strength, codes):
    assert classify_parts(solution("ethanoic acid", strength, MOLAR, "water")).classification.codes == codes


def test_close_to_a_limit_is_said():
    found = classify_parts(solution("ethanoic acid", "4.25", MOLAR, "water"))
    assert any("so close that the estimate of the shares decides" in one for one in found.doubts)
    far = classify_parts(solution("ethanoic acid", 2, MOLAR, "water"))
    assert not any("so close" in one for one in far.doubts)


def test_ethanol_by_volume():
    # 70 mL of ethanol (55.3 g) beside 30 mL of water (29.9 g): 64.9 % w/w, volumes added.
    found = classify_parts(solution("ethanol", 70, "% v/v", "water"))
    assert percent(found)["ethanol"] == pytest.approx(64.9, abs=0.1)
    assert found.classification.codes == ("H225", "H319")


def test_percent_by_mass_is_taken_as_it_stands():
    found = classify_parts(solution("ethanoic acid", 12, "% w/w", "water"))
    assert percent(found) == pytest.approx({"ethanoic acid": 12, "water": 88})
    without = classify_parts(recipe(("ethanol", 40, "% w/w"), ("water", 60, "% w/w")))
    assert percent(without) == pytest.approx({"ethanol": 40, "water": 60})


def test_a_molar_ammonia_solution_counts_the_bottle_that_is_35_percent():
    # 1 mol/L is 1.7031 g of ammonia in 100 mL: 4.87 g of the bottle, near 1.7 % ammonia.
    found = classify_parts(solution("ammonia solution 35 %", 1, MOLAR, "water"))
    assert percent(found)["ammonia solution 35 %"] == pytest.approx(4.9, abs=0.15)


def test_an_amino_acid_standard_has_no_class_and_says_what_that_means():
    found = classify_parts(solution("glycine", "0.01", MOLAR, "water"))
    assert found.classification.codes == ()
    assert any("no promise that it is harmless" in one for one in found.doubts)


def test_an_unknown_substance_is_said():
    found = classify_parts(solution("mystery dye", "0.1", "% w/v", "ethanol"))
    assert found.classification.codes == ("H225", "H319")
    assert any("mystery dye" in one and "no classification known here: read its data sheet" in one
               for one in found.doubts)  # fmt: skip


def test_a_salt_form_has_a_molar_mass_but_no_class():
    found = classify_parts(solution("L-lysine hydrochloride", "0.01", MOLAR, "water"))
    assert found.classification.unknown == ("L-lysine hydrochloride",)


def stock(*parts):
    return MadeFrom("Stock", "reagent", tuple(parts))


def test_a_stock_in_a_working_solution_is_spread_over_what_it_holds():
    inner = stock(*solution("ninhydrin", 2, "% w/v", "ethanol"))
    outer = [
        PartWanted(1, "ninhydrin", Decimal("0.2"), "% w/v", made_from=inner),
        PartWanted(2, "ethanol", None, "to volume"),
    ]
    assert percent(classify_parts(outer))["ninhydrin"] == pytest.approx(0.253, abs=0.003)


def test_parts_of_a_stock_by_volume():
    inner = stock(*recipe(("ethanol", 1), ("water", 1)))
    outer = [
        PartWanted(1, "Stock", Decimal(1), VOLUME, made_from=inner),
        PartWanted(2, "water", Decimal(1), VOLUME),
    ]
    plain = classify_parts(recipe(("ethanol", 1), ("water", 3)))
    assert percent(classify_parts(outer)) == pytest.approx(percent(plain))


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ([], "no parts"),
        (recipe(("water", 0)), "nothing"),
        (recipe(("water", -1)), "below zero"),
        (recipe(("water", 1), ("ethanol", 1, MASS)), "by volume, by mass or by mole"),
        (recipe(("water", 1), ("glycine", 1, "% w/v")), "mixes parts with %"),
        (recipe(("glycine", 1, "% w/v")), "no solvent"),
        (solution("mystery", 1, MOLAR, "water"), "molar mass of mystery"),
        ([*solution("glycine", 1, "% w/v", "water"), *recipe(("ethanol", None, "to volume"))], "more"),
        (recipe(("glycine", 1, "drops"), ("water", None, "to volume")), "unit known here"),
    ],
)  # fmt: skip
def test_what_cannot_be_told_is_a_sentence_and_no_label(parts, words):
    found = classify_parts(parts)
    assert found.classification is None
    assert words in found.doubts[0]
    assert found.doubts[0].endswith("no classification known here: read its data sheet.")


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from([*(one.name for one in substances()), "mystery"]),
            st.one_of(st.none(), st.decimals(-1, 1000, places=2)),
            st.sampled_from([VOLUME, MASS, MOLE, MOLAR, "% w/v", "% w/w", "% v/v", "to volume"]),
        ),
        max_size=4,
    )
)
def test_any_recipe_gives_a_label_or_a_sentence(parts):
    found = classify_parts(recipe(*parts))
    assert found.doubts
    assert (found.classification is None) == (not found.components)
