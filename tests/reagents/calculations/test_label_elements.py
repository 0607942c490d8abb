import pytest

from reagents.calculations.label_elements import (
    on_the_label,
    pictograms_for,
    precautions_for,
    signal_word_for,
)
from reagents.calculations.substances import UnknownSubstance, statement, substances
from reagents.calculations.tables import rows


@pytest.mark.parametrize(
    ("codes", "signs"),
    [
        # CLP Article 26 (precedence of pictograms).
        (["H318", "H315"], ("GHS05",)),
        (["H318", "H319"], ("GHS05",)),
        (["H314", "H335"], ("GHS05", "GHS07")),
        (["H318", "H302"], ("GHS05", "GHS07")),
        (["H318", "H336"], ("GHS05", "GHS07")),
        (["H301", "H302", "H315"], ("GHS06",)),
        (["H334", "H317"], ("GHS08",)),
        (["H334", "H315"], ("GHS08",)),
        (["H334", "H302"], ("GHS07", "GHS08")),
        (["H225", "H226"], ("GHS02",)),
        (["H412"], ()),
        (["EUH066"], ()),
        ([], ()),
    ],
)
def test_precedence_of_pictograms_clp_article_26(codes, signs):
    assert pictograms_for(codes) == signs


@pytest.mark.parametrize("one", substances(), ids=lambda one: one.name)
def test_pictograms_and_signal_word_agree_with_the_harmonised_list_annex_vi(one):
    # substances.csv was read from Annex VI apart from the table of label elements.
    assert pictograms_for(one.hazard_codes) == one.pictograms
    assert signal_word_for(one.hazard_codes) == one.signal_word


def test_danger_leaves_warning_off_from_memory():
    assert signal_word_for(["H226", "H318"]) == "Danger"
    assert signal_word_for(["H226", "H315"]) == "Warning"
    assert signal_word_for(["H411", "EUH066"]) == ""


def test_what_a_stronger_code_says_is_not_printed_beside_it():
    # H314 includes H318: CLP Annex III, read; H410 includes H400: from memory.
    assert on_the_label(["EUH066", "H318", "H314", "H315", "H336"]) == ("H314", "H336", "EUH066")
    assert on_the_label(["H319", "H318", "H315"]) == ("H315", "H318")
    assert on_the_label(["H400", "H410"]) == ("H410",)


def test_an_unknown_code_is_refused():
    with pytest.raises(UnknownSubstance, match="H999"):
        pictograms_for(["H999"])
    with pytest.raises(UnknownSubstance):
        signal_word_for(["nonsense"])


def test_precautions_for_a_butanol_mixture_are_six_and_cover_each_hazard():
    codes = ["H226", "H302", "H315", "H318", "H335", "H336"]
    chosen = precautions_for(codes)
    assert len(chosen) == 6
    assert {"P210", "P280", "P305+P351+P338", "P310"} <= set(chosen)
    by_hazard: dict[str, set[str]] = {}
    for row in rows("precaution_choice"):
        by_hazard.setdefault(row["h_code"], set()).add(row["p_code"])
    for code in codes:
        assert by_hazard[code] & set(chosen)


def test_a_precaution_that_another_says_more_strongly_is_dropped():
    assert "P312" not in precautions_for(["H318", "H336"], about=20)
    both = precautions_for(["H314", "H336"], about=20)
    assert "P260" in both
    assert "P261" not in both
    assert len(both) == len(set(both))


def test_no_hazard_no_precaution():
    assert precautions_for([]) == ()
    assert precautions_for(["EUH066"]) == ()


def test_every_code_of_the_tables_has_our_own_short_sentence():
    codes = {row["h_code"] for row in rows("label_elements")} | {
        row["p_code"] for row in rows("precaution_choice")
    }
    for code in sorted(codes):
        assert statement(code).short.endswith(".")


def test_every_hazard_that_has_a_sign_has_precautions():
    chosen = {row["h_code"] for row in rows("precaution_choice")}
    assert {row["h_code"] for row in rows("label_elements")} - chosen <= {"H334", "H351"}
