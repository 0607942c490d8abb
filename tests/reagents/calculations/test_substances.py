import csv
from decimal import Decimal
from pathlib import Path

import pytest

from reagents.calculations.substances import (
    LABEL_NOTICE,
    UnknownSubstance,
    hazard_sentences,
    statement,
    substance,
    substances,
)
from reagents.calculations.tables import DATA, rows

AMINO_ACIDS = (
    "Gly", "Ala", "Val", "Leu", "Ile", "Pro", "Phe", "Tyr", "Trp", "Ser",
    "Thr", "Cys", "Met", "Asn", "Gln", "Asp", "Glu", "Lys", "Arg", "His",
)  # fmt: skip


@pytest.mark.parametrize(
    "name", ["butan-1-ol", "n-butanol", "1-Butanol", " BUTAN-1-OL ", "71-36-3", "n-butyl\u00a0alcohol"]
)
def test_a_substance_answers_to_its_names_and_number(name):
    assert substance(name).name == "butan-1-ol"


def test_no_name_belongs_to_two_substances():
    names = [n.casefold() for s in substances() for n in {s.name, *s.synonyms}]
    assert sorted(names) == sorted(set(names))


def test_the_twenty_amino_acids_answer_to_their_codes():
    assert len({substance(code).name for code in AMINO_ACIDS}) == 20


def test_an_unknown_name_is_refused_with_one_like_it():
    with pytest.raises(UnknownSubstance, match=r"“butan-1-oll” .* did you mean butan-1-ol\?"):
        substance("butan-1-oll")
    with pytest.raises(UnknownSubstance, match="check the spelling"):
        substance("zzz" * 1000)


PUBLISHED = Path(__file__).resolve().parents[2] / "published" / "reagents_chemicals_library_values.csv"


def library():
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", library(), ids=lambda row: row["name"])
def test_molar_masses_and_fire_data_agree_with_the_chemicals_library(row):
    # chemicals 1.5.2 (Caleb Bell and contributors, MIT licence): molar masses; flash points and flammable
    # limits after IEC 60079-20-1:2010; read from the library, not worked out here.
    one = substance(row["cas"])
    assert one.name == row["name"]
    assert one.molar_mass == pytest.approx(Decimal(row["molar_mass"]), abs=Decimal("0.006"))
    for mine, theirs in (
        (one.flash_point_c, row["flash_c"]),
        (one.lower_flammable_percent, row["lel_pct"]),
        (one.upper_flammable_percent, row["uel_pct"]),
    ):
        if theirs:
            assert mine == Decimal(theirs)


@pytest.mark.parametrize("row", [row for row in library() if row["density_20"]], ids=lambda row: row["name"])
def test_densities_at_20_degrees_agree_with_the_chemicals_library(row):
    # chemicals 1.5.2, correlation of the VDI Heat Atlas, good to about 0.2 %.
    assert substance(row["cas"]).density_20 == pytest.approx(Decimal(row["density_20"]), rel=Decimal("0.002"))


def test_the_library_was_asked_for_all_but_the_two_mixtures():
    assert len(library()) == len(substances()) - 2
    assert sum(bool(row["density_20"]) for row in library()) == 7


def test_harmonised_hazards_clp_annex_vi():
    # CLP Annex VI Table 3 to the 17th adaptation: 603-004-00-6 and 607-002-00-6.
    assert substance("butan-1-ol").hazard_codes == ("H226", "H302", "H315", "H318", "H335", "H336")
    assert substance("butan-1-ol").pictograms == ("GHS02", "GHS05", "GHS07")
    assert substance("ethanoic acid").hazard_codes == ("H226", "H314")
    assert substance("ethanoic acid").signal_word == "Danger"


def test_a_disputed_hazard_is_kept_apart():
    ninhydrin = substance("ninhydrin")
    assert "H317" not in ninhydrin.hazard_codes
    assert ninhydrin.possible_codes == ("H317",)
    assert ninhydrin.classification_note == "H317 in some notifications"


def test_not_classified_is_said_and_not_an_empty_list_only():
    assert substance("glycine").hazard_codes == ()
    assert substance("glycine").classification_note == "not classified"
    assert substance("L-cysteine").classification_note == "not classified (H302 in one national list)"


def test_every_hazard_code_has_a_sentence():
    for one in substances():
        for sentence in hazard_sentences((*one.hazard_codes, *one.possible_codes)):
            assert sentence.endswith(".")


def test_a_code_without_sentence_is_refused():
    with pytest.raises(UnknownSubstance, match="read the label"):
        statement("H999")


def test_the_notice_defers_to_label_data_sheet_and_employer():
    for words in ("supplier's label", "safety data sheet", "employer's risk assessment", "local rules"):
        assert words in LABEL_NOTICE


@pytest.mark.parametrize("table", sorted(path.stem for path in DATA.glob("*.csv") if path.stem != "SOURCES"))
def test_every_shipped_row_names_sources_that_are_explained(table):
    known = {row["source_key"] for row in rows("SOURCES")}
    for row in rows(table):
        keys = row["source_key"].split(";")
        assert keys != [""]
        assert set(keys) <= known


def test_british_limits_eh40_table_1():
    # EH40/2005, 4th edition (2020), Table 1, in parts per million: long and short term.
    limits = {
        "ethanoic acid": (10, 20),
        "propanone": (500, 1500),
        "propan-2-ol": (400, 500),
        "butan-1-ol": (None, 50),
    }
    for name, printed in limits.items():
        one = substance(name)
        assert [one.long_term_limit_ppm, one.short_term_limit_ppm] == list(printed)
