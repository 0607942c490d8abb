"""Mixtures classified by rule.

L01 to L07 are hand-worked from the CLP mixture rules: they check the code against the rule, not against the
world. L08 is printed in ST/SG/AC.10/C.4/2008/23, whose answer is in `test_acute_toxicity.py`.
"""

import csv
import json
import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reagents.calculations.hazard_terms import Component, ImpossibleMixture
from reagents.calculations.hazards import CHECK, classify, classify_layers
from reagents.calculations.substances import LABEL_NOTICE, substances
from reagents.calculations.tables import rows

TABLE = Path(__file__).resolve().parents[2] / "published" / "reagents_prep_worked_examples.csv"
# With the converted point estimate or the notified eye class of ethanol, the stricter reading is asked for.
STRICTER = {"L01": False, "L02": False, "L03": True, "L04": False, "L05": True, "L06": False, "L07": False}
SUMS = {
    "skin corr sum": "Skin corrosion",
    "irrit sum": "Skin irritation",
    "eye dam": "Eye damage",
    "STOT3resp": "Irritation of the airways",
    "STOT3narc": "Drowsiness",
}


def worked():
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["kind"] == "clp_mixture"]


def made(percent, **more):
    return classify([Component(name, Decimal(str(p)) / 100) for name, p in percent.items()], **more)


def codes(percent, **more):
    return made(percent, **more).codes


@pytest.mark.parametrize("case", worked(), ids=lambda case: case["case_id"])
def test_label_hand_worked_from_the_clp_mixture_rules(case):
    given_ = json.loads(case["inputs_json"], parse_float=Decimal, parse_int=Decimal)
    signs, signal, printed = case["printed_answer"].split("; ")
    found = made(given_["w_w_pct"], stricter=STRICTER[case["case_id"]])
    # The hand-worked answers list no EUH codes; those have their own tests.
    assert [code for code in found.codes if not code.startswith("EUH")] == printed.split()
    assert found.signal_word == signal
    assert list(found.pictograms) == signs.split()


@pytest.mark.parametrize("case", worked(), ids=lambda case: case["case_id"])
def test_sums_hand_worked_from_the_clp_mixture_rules(case):
    given_ = json.loads(case["inputs_json"], parse_float=Decimal, parse_int=Decimal)
    found = made(given_["w_w_pct"], stricter=STRICTER[case["case_id"]])
    totals = {reason.hazard: reason.total for reason in found.reasons}
    for words, hazard in SUMS.items():
        printed = Decimal(re.search(rf"{words} (\d+\.\d+)", case["recomputed"])[1])
        assert totals.get(hazard, Decimal(0)) == pytest.approx(printed, abs=Decimal("0.0006"))


def test_every_hand_worked_case_is_run():
    assert {case["case_id"] for case in worked()} == set(STRICTER)


def test_both_toxicity_values_stand_and_the_stricter_is_shown_on_4_1_5():
    # Hand-worked: 100/(34.9/790) = 2264 and 100/(34.9/500) = 1433 mg/kg, on either side of 2000.
    found = made({"butan-1-ol": "34.9", "ethanoic acid": "11.3", "water": "53.8"})
    said = [r.conclusion for r in found.reasons if r.hazard.startswith("Acute toxicity")]
    assert any("2264" in one and "turns on which value is used" in one for one in said)
    assert any("1433" in one for one in said)
    assert found.only_by_stricter == ("H302",)
    assert any(one.startswith("H302 rests on the stricter") for one in found.doubts)


def test_ninhydrin_in_propanone_hand_worked():
    # 0.25 % ninhydrin adds no class; propanone brings EUH066; as a sensitiser ninhydrin is named from 0.1 %.
    found = made({"propanone": "99.75", "ninhydrin": "0.25"})
    assert found.codes == ("H225", "H319", "H336", "EUH066", "EUH208")
    assert "EUH208: Contains ninhydrin: may cause an allergic reaction." in found.hazard_sentences
    assert made({"propanone": "99.75", "ninhydrin": "0.25"}, stricter=False).codes[-1] == "EUH066"


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        # CLP Annex VI 607-002-00-6, its own limits: 10, 25 and 90 %.
        ("9.9", ()),
        ("10", ("H315", "H319")),
        ("24.9", ("H315", "H319")),
        ("25", ("H314",)),
        ("90", ("H226", "H314")),
    ],
)
def test_own_limits_of_ethanoic_acid_clp_annex_vi(percent, expected):
    assert codes({"ethanoic acid": percent, "water": 100 - Decimal(percent)}) == expected


@pytest.mark.parametrize(
    ("percent", "present", "absent"),
    [
        # butan-1-ol alone in water. Eyes: 3 % H318, 1 % H319. Skin: 10 % H315. STOT SE 3: 20 %.
        ("0.9", set(), {"H318", "H319"}),
        ("1", {"H319"}, {"H318"}),
        ("2.9", {"H319"}, {"H318"}),
        ("3", {"H318"}, {"H319"}),
        ("9.9", {"H318"}, {"H315"}),
        ("10", {"H315"}, {"H335"}),
        ("19.9", {"H315"}, {"H335", "H336"}),
        ("20", {"H335", "H336"}, set()),
        # Oral: 100/(C/500) = 2000 at C = 25 %.
        ("24.9", set(), {"H302"}),
        ("25", {"H302"}, set()),
    ],
)
def test_general_limits_hpr_ca_and_trgs_201(percent, present, absent):
    found = set(codes({"butan-1-ol": percent, "water": 100 - Decimal(percent)}))
    assert present <= found
    assert not absent & found


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        # From memory: aspiration 10 % (read), organs 10 and 1 %, reproduction 3 % (read), water 25 and 2.5 %.
        ("0.9", set()),
        ("2.6", {"H373", "H412"}),
        ("3", {"H361f", "H373", "H412"}),
        ("10", {"H304", "H315", "H361f", "H372", "H412"}),
        ("25", {"H304", "H315", "H336", "H361f", "H372", "H411"}),
    ],
)
def test_limits_of_hexane_partly_from_memory(percent, expected):
    found = codes({"n-hexane": percent, "ethanol": 100 - Decimal(percent)})
    assert set(found) - {"H225", "H319"} == expected


def test_hexane_by_the_older_entry_has_its_own_limit_of_5_percent_annex_vi():
    assert "H373" in codes({"n-hexane": 5, "ethanol": 95}, stricter=False)
    assert "H373" not in codes({"n-hexane": "4.9", "ethanol": "95.1"}, stricter=False)


def test_ammonia_counts_the_ammonia_in_the_bottle():
    # 10 % of a 35 % solution is 3.5 % ammonia: below the 5 % of H335 (Annex VI 007-001-01-2).
    assert codes({"ammonia solution 35 %": 10, "water": 90}) == ("H314",)
    assert "H335" in codes({"ammonia solution 35 %": 15, "water": 85})
    milder = made({"ammonia solution 35 %": 10, "water": 90}, stricter=False)
    assert milder.codes == ("H315", "H318")
    assert any("Measure the pH." in reason.conclusion for reason in milder.reasons)


@pytest.mark.parametrize(("percent", "grade"), [(25, "1B"), ("89.9", "1B"), (90, "1A"), (100, "1A")])
def test_grade_of_corrosion_of_ethanoic_acid_clp_annex_vi(percent, grade):
    # Annex VI 607-002-00-6: Skin Corr. 1A from 90 %, 1B from 25 to below 90 %.
    found = made({"ethanoic acid": percent, "water": 100 - Decimal(percent)})
    assert f"Skin Corr. {grade}" in found.classes
    assert any(f"Skin Corr. {grade}, H314" in reason.conclusion for reason in found.reasons)


def test_an_acid_with_own_limits_is_still_to_be_measured():
    found = made({"ethanoic acid": 12, "water": 88})
    assert found.codes == ("H315", "H319")
    said = [reason.conclusion for reason in found.reasons if reason.hazard == "Extreme pH"]
    assert any("take the place of this rule. Measure the pH" in one for one in said)


def test_burns_leave_h318_off_the_label_but_not_out_of_the_class():
    found = made({"ethanoic acid": 50, "water": 50})
    assert "H318" in found.every_code
    assert "H318" not in found.codes


def test_the_watery_layer_is_as_flammable_as_the_other():
    # Equilibrium: one vapour over both layers. The second "layer" here is water with a trace on purpose.
    upper = [Component("butan-1-ol", Decimal("0.8")), Component("water", Decimal("0.2"))]
    lower = [Component("butan-1-ol", Decimal("0.005")), Component("water", Decimal("0.995"))]
    assert "H226" not in classify(lower).codes
    both = classify_layers([upper, lower])
    assert all("H226" in one.codes and "GHS02" in one.pictograms for one in both)
    assert both[1].signal_word == "Warning"
    assert both[1].reasons[0].conclusion == "Taken as flammable as the other layer: H226."
    assert both[0] == classify(upper)


def test_an_unknown_substance_is_said_and_never_a_blank():
    found = made({"water": 99, "mystery powder": 1})
    assert found.unknown == ("mystery powder",)
    assert any(
        "mystery powder (1 % by mass): no classification known here: read its data sheet" in one
        for one in found.doubts
    )
    assert any("no promise that it is harmless" in one for one in found.doubts)


def test_another_name_of_the_same_substance_is_added_up():
    assert codes({"acetic acid": 6, "ethanoic acid": 6, "water": 88}) == ("H315", "H319")


def test_petroleum_ether_keeps_its_doubt():
    found = made({"petroleum ether 40-60": 90, "propanone": 10})
    assert "H225" in found.codes
    assert any("benzene" in one for one in found.doubts)
    assert any("No flash point can be told" in reason.conclusion for reason in found.reasons)


@pytest.mark.parametrize(
    "percent",
    [{}, {"water": 0}, {"water": 50}, {"water": 150}, {"water": -5, "ethanol": 105}, {"water": "NaN"}],
)
def test_shares_of_no_one_liquid_are_refused_with_a_sentence(percent):
    with pytest.raises(ImpossibleMixture, match=r"\.$"):
        made(percent)


def test_each_input_is_marked_with_how_it_is_known_and_where_from():
    known = {row["source_key"] for row in rows("SOURCES")}
    for one in substances():
        for reason in made({one.name: 100}).reasons:
            assert reason.status in {"read", "computed", "from memory"}
            assert set(reason.source_keys) <= known
            for figure in reason.inputs:
                assert figure.status in {"read", "computed", "from memory"}
                assert figure.source_keys
                assert set(figure.source_keys) <= known


@pytest.mark.parametrize("one", substances(), ids=lambda one: one.name)
def test_a_pure_substance_keeps_its_own_class(one):
    """The rules on 100 % of a substance give back the codes that its own record holds."""
    found = made({one.name: 100})
    assert set(one.hazard_codes) <= set(found.every_code)
    assert found.notice == LABEL_NOTICE
    assert found.check == CHECK


def test_the_milder_reading_of_a_pure_substance_gives_its_own_label():
    for name in ("butan-1-ol", "ethanoic acid", "ethanol", "propanone", "propan-2-ol", "butyl ethanoate"):
        one = next(s for s in substances() if s.name == name)
        found = made({name: 100}, stricter=False)
        assert found.codes == one.hazard_codes
        assert found.pictograms == one.pictograms
        assert found.signal_word == one.signal_word


# -- properties ----------------------------------------------------------------------------------

WEAKER = {
    "H224": {"H225", "H226"},
    "H225": {"H226"},
    "H301": {"H302"},
    "H311": {"H312"},
    "H331": {"H332"},
    "H330": {"H331", "H332"},
    "H314": {"H315", "H318", "H319"},
    "H318": {"H319"},
    "H317": {"EUH208"},
    "H372": {"H373"},
    "H410": {"H411", "H412"},
    "H411": {"H412"},
}
NAMES = [one.name for one in substances()]
percents = st.decimals(min_value=0, max_value=100, places=2)


def said_or_implied(found):
    return set(found).union(*(WEAKER.get(code, set()) for code in found))


@settings(max_examples=150, deadline=None)
@given(st.sampled_from([n for n in NAMES if n != "water"]), percents, percents)
def test_diluting_with_water_never_adds_a_hazard(name, one, other):
    less, more = sorted((one, other))
    weak = codes({name: less, "water": 100 - less})
    strong = codes({name: more, "water": 100 - more})
    assert set(weak) <= said_or_implied(strong)


@settings(max_examples=100, deadline=None)
@given(st.dictionaries(st.sampled_from([*NAMES, "mystery"]), st.integers(1, 50), min_size=1, max_size=5))
def test_every_code_has_a_reason_a_sentence_and_its_sign(parts):
    whole = sum(parts.values())
    found = classify([Component(name, Decimal(part) / whole) for name, part in parts.items()])
    given_by = {code for reason in found.reasons for code in reason.codes}
    assert set(found.codes) <= given_by
    assert len(found.hazard_sentences) == len(found.codes)
    assert all(sentence.endswith(".") for sentence in (*found.hazard_sentences, *found.precaution_sentences))
    assert bool(found.signal_word) <= bool(found.codes)
    assert len(set(found.precautions)) == len(found.precautions) <= 9
    assert "H318" not in found.codes or "H314" not in found.codes
    assert set(classify(found.components, stricter=False).codes) <= said_or_implied(found.every_code)
