"""Practicals as files: the shipped ones read, and a bad one says everything that is wrong with it."""

import re
from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.practical_file import PracticalFileError, read_practical, shipped_practicals
from practicals.calculations.published import sources

D = Decimal

SHIPPED = shipped_practicals()
AMINO = SHIPPED["amino_acids_on_paper.toml"]


def problems(text):
    with pytest.raises(PracticalFileError) as caught:
        read_practical(text)
    return caught.value.problems


def changed(old, new):
    assert old in AMINO
    return AMINO.replace(old, new, 1)


def test_three_practicals_are_shipped_and_can_be_read():
    slugs = {read_practical(text).slug for text in SHIPPED.values()}
    assert slugs == {"amino-acids-on-paper", "leaf-pigments", "food-dyes"}


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_every_source_named_in_a_comment_is_listed(name):
    named = {
        key.strip()
        for comment in re.findall(r"#.*", SHIPPED[name])
        for bracket in re.findall(r"\[([^\]]+)\]", comment)
        for key in re.split(r"[,;]", bracket)
    }
    keys = {key.split()[0] for key in named} - {"square", "from"}
    assert keys
    assert keys <= set(sources())


def test_amino_acids_mixture_12_3_5_met1():
    # MET1 prints 12 : 3 : 5; 6 : 1.5 : 2.5 is half of it.
    parts = {part.substance: part.amount for part in read_practical(AMINO).recipe("butanol-acid-water").parts}
    assert {name: 2 * amount for name, amount in parts.items()} == {
        "butan-1-ol": 12,
        "ethanoic acid": 3,
        "water": 5,
    }


def test_amino_acids_figures_are_within_printed_practice():
    # Origin 10 to 30 mm (WHO_TLC, BP_IIIE); depth 10 mm at most (MET3, MET15); spray 0.05 to 2 %; standards
    # 0.01 mol/L (MET6, MET7); one hour (MET3, MET4).
    practical = read_practical(AMINO)
    assert 10 <= practical.paper.origin_height_mm <= 30
    assert practical.chamber.depth_mm <= 10
    (ninhydrin, _) = practical.recipe("ninhydrin-spray").parts
    assert (ninhydrin.amount, ninhydrin.basis) == (D("0.2"), "% w/v")
    assert practical.recipe("glycine-solution").parts[0].amount == D("0.01")
    assert practical.run.expected_minutes == 60


@pytest.mark.parametrize("name", ["leaf_pigments.toml", "food_dyes.toml"])
def test_coloured_substances_need_no_locating_agent(name):
    assert read_practical(SHIPPED[name]).locating_agent == ""


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_unknowns_have_a_code_and_what_is_in_them_is_on_record(name):
    practical = read_practical(SHIPPED[name])
    unknowns = [analyte for analyte in practical.analytes if analyte.role == "unknown"]
    planned = {key for key in practical.lanes if practical.analyte(key).role == "unknown"}
    assert len(planned) == 2 <= len(unknowns)
    for unknown in unknowns:
        assert unknown.code
        assert all(practical.analyte(key).role == "standard" for key in unknown.identity)
        # A bottle of an unknown must not give it away.
        title = practical.recipe(unknown.solution).title.casefold()
        assert not any(practical.analyte(key).name.casefold() in title for key in unknown.identity)


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_staff_only_steps_and_hazards_carry_a_caution(name):
    practical = read_practical(SHIPPED[name])
    assert all(step.caution for step in practical.steps if step.who == "staff only")
    assert all(hazard.control for hazard in practical.hazards)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('title = "Amino acids on paper"\n', "", 'practical: "title" is missing.'),
        ('slug = "amino-acids-on-paper"', 'slug = "Amino Acids"', "small letters, digits and hyphens"),
        ("width_mm = 180 ", 'width_mm = "180"', 'paper: "width_mm" must be a number'),
        ("width_mm = 180 ", "width_mm = -1", 'paper: "width_mm" must be above 0 and at most 2000, not -1.'),
        ("height_mm = 150 ", "height_mm = 1e9", "at most 2000"),
        ("height_mm = 150 ", "height_mm = nan", "at most 2000"),
        ("height_mm = 150 ", "hieght_mm = 150", 'paper: "hieght_mm" is not an entry that is known here.'),
        ("height_mm = 150 ", "hieght_mm = 150", 'Was "height_mm" meant?'),
        ("height_mm = 150 ", "height_mm = 15", "must be below the top of the paper"),
        ("[run]", "[run]\nstop_below_top_mm = 130", "leaves no run above the origin line (20 mm)"),
        ("[run]", "[run]\nstop_below_top_mm = 0", '"stop_below_top_mm" must be above 0'),
        ("depth_mm = 8 ", "depth_mm = 16", "would wash the spots off"),
        ("width_mm = 180 ", "width_mm = 30", "do not fit on a paper 30 mm wide"),
        ('support = "paper"', 'support = "felt"', 'must be one of "paper", "tlc", not "felt"'),
        ("per_group = 1", "per_group = 1.5", "must be a whole number from 1 to 20, not 1.5"),
        ("per_group = 1", "per_group = true", "must be a whole number"),
        ('mobile_phase = "butanol', 'mobile_phase = "methanol', 'there is no recipe "methanol-acid-water"'),
        ('locating_agent = "ninhydrin-spray"', 'locating_agent = "unknown-x"', "where a locating agent is"),
        ('"lysine", "glycine", "x"', '"lysin", "glycine", "x"', 'lanes: there is no analyte "lysin".'),
        ('key = "leucine"', 'key = "glycine"', '"glycine" is used 2 times'),
        ('identity = ["alanine", "leucine"]', 'identity = ["valine"]', "which is no standard here"),
        ('solution = "unknown-z"\n', "", "analytes (z): an unknown in the pool may be applied but"),
        ('code = "X"\n', "", 'analytes 6 (x): an unknown needs a "code"'),
        ('colour = "purple"', 'colour = "purple"\ncode = "L"', "these are for unknowns"),
        ("amount = 0.2\n", "amount = 200\n", "cannot be above 100"),
        ("amount = 0.01\n", "amount = 5000\n", "cannot be above 100 for mol/L"),
        ('substance = "butan-1-ol"', 'substance = "71-36-4"', "its last digit should be 3"),
        ('substance = "butan-1-ol"', 'substance = "Water"', "water is in it 2 times"),
        ("amount = 0.2\n", "", 'recipes 2 (ninhydrin-spray), parts 1 (ninhydrin): "amount" is missing.'),
        ("minutes = 15 ", "minutes = 0 ", '"minutes" must be above 0'),
        ('who = "staff only"', 'who = "anybody"', 'must be one of "staff only", "supervised", "learner"'),
        ("[run]", "[run", "not well-formed TOML"),
        ('slug = "amino', 'slug = "amino"\nslug = "amino', "not well-formed TOML"),
    ],
)
def test_what_is_wrong_is_said_in_a_sentence_with_its_place(old, new, sentence):
    found = problems(changed(old, new))
    assert any(sentence in problem for problem in found), found


def test_everything_that_is_wrong_is_said_at_once():
    text = changed("width_mm = 180 ", "width_mm = 0 ").replace('who = "supervised"', 'who = "anyone"', 1)
    assert len(problems(text)) == 2


def test_an_empty_file_names_what_is_missing():
    found = problems("")
    assert {'practical: "slug" is missing.', 'practical: "paper" is missing.'} <= set(found)
    assert all(problem.endswith(".") for problem in found)


def test_a_mobile_phase_needs_a_liquid():
    text = changed('basis = "parts by volume"', 'basis = "% w/v"')
    text = text.replace('basis = "parts by volume"', 'basis = "% w/v"')
    assert any("at least one liquid" in problem for problem in problems(text))


def test_an_overlong_file_is_refused():
    assert "longer than" in problems("# " + "x" * 300_000)[0]


@given(st.text(max_size=60))
def test_any_text_is_refused_in_sentences_never_a_crash(text):
    with pytest.raises(PracticalFileError):
        read_practical(text)


@given(st.sampled_from(AMINO.splitlines()), st.sampled_from(["", "= 3", "x = [1, 2", "[paper]", "steps = 1"]))
def test_any_line_replaced_is_read_or_refused_never_a_crash(line, other):
    # Any other exception fails this test.
    with suppress(PracticalFileError):
        assert read_practical(AMINO.replace(line, other, 1)).lanes


def test_an_unknown_key_is_a_key_error():
    practical = read_practical(AMINO)
    with pytest.raises(KeyError):
        practical.recipe("none")
    with pytest.raises(KeyError):
        practical.analyte("none")
