import pytest

from assessment.calculations.evidence_needs import EvidenceNeed, EvidenceNeedError, need_as_dict, read_need
from assessment.calculations.unit_file import UnitFileError, read_unit, shipped_units

UNIT = """
slug = "small-unit"
title = "A small unit"
[grade]
levels = ["pass", "merit"]
[[criterion]]
code = "P1"
level = "pass"
text = \"\"\"
Read a paper
in millimetres.
\"\"\"
needs = [{ kind = "readings", at_least = 2, other_source = true }, { kind = "photo" }]
[[criterion]]
code = "M1"
level = "merit"
text = "Explain it."
"""


def problems(text):
    with pytest.raises(UnitFileError) as refused:
        read_unit(text)
    return refused.value.problems


def test_a_unit_is_read_with_its_criteria_in_order():
    unit = read_unit(UNIT)
    assert (unit.slug, unit.title, unit.grade_rule.levels) == (
        "small-unit",
        "A small unit",
        ("pass", "merit"),
    )
    assert [criterion.code for criterion in unit.criteria] == ["P1", "M1"]
    assert unit.criteria[0].text == "Read a paper in millimetres."
    assert unit.criteria[0].needs == (EvidenceNeed("readings", 2, other_source=True), EvidenceNeed("photo"))


def test_the_shipped_unit_is_whole():
    (unit,) = shipped_units()
    assert [criterion.code for criterion in unit.criteria] == [
        "P1",
        "P2",
        "P3",
        "P4",
        "M1",
        "M2",
        "M3",
        "D1",
        "D2",
    ]
    assert "invented" in unit.about
    assert all(criterion.needs for criterion in unit.criteria)


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('"M1"', '"P1"', "The code P1 stands twice; give each criterion its own."),
        ('level = "merit"', 'level = "credit"',
         "Criterion M1 has the level “credit”, which is none of pass, merit."),
        ('"Explain it."', '"  "', "Criterion M1 has no text; give it as text."),
        ('code = "M1"', "", "Criterion 2 has no code; give it as text."),
        ('code = "M1"', 'code = "M1-and-much-more"',
         "Criterion M1-and-much-more has a code longer than 12 characters."),
        ("small-unit", "Small Unit",
         "The slug may hold small letters, figures and hyphens only, up to 80 of them."),
        ('title = "A small unit"', "title = 3", "The unit has no title; give it as text."),
        ("[grade]", "[grades]", "The unit has no table [grade] with its levels."),
        ("[grade]", "[grades]", "The unit has an entry “grades” that is not known."),
        ('["pass", "merit"]', "[]",
         "A grade rule needs a list “levels”, lowest first, with at least one level."),
        ("at_least = 2", "at_least = 0",
         "Criterion P1: “at_least” must be a whole number from 1 to 5000, not 0."),
        ('kind = "photo"', 'kind = "smell"', (
            "Criterion P1: “smell” is no kind of evidence. Use one of readings, "
            "own_rf, identification, conclusion, evaluation, observation, photo, checks, attachment."
        )),
        ('text = "Explain it."', 'text = "Explain it."\nmarks = 5',
         "Criterion M1 has an entry “marks” that is not known."),
        ('text = "Explain it."', 'text = "Explain it."\nneeds = "photo"',
         'Criterion M1 must give its needs as a list, such as [{ kind = "photo" }].'),
    ],
)  # fmt: skip
def test_a_fault_is_named_in_a_sentence(old, new, problem):
    assert UNIT.count(old) >= 1
    assert problem in problems(UNIT.replace(old, new))


def test_all_faults_are_named_at_once():
    text = (
        UNIT.replace('"M1"', '"P1"')
        .replace('level = "merit"', 'level = "credit"')
        .replace("A small unit", "")
    )
    assert len(problems(text)) == 3


@pytest.mark.parametrize("text", ["slug =", "[" * 2000, "\x00", "slug = 'a'\nslug = 'b'"])
def test_what_is_not_toml_is_refused(text):
    assert problems(text)[0].startswith("The file is not readable as TOML")


@pytest.mark.parametrize("text", ["", "criterion = 3", "criterion = [1]", "[criterion]\ncode = 'P1'"])
def test_a_file_without_criteria_is_refused(text):
    assert any("criterion" in problem.lower() for problem in problems(text))


def test_an_observation_may_list_what_to_look_for():
    need = {"kind": "observation", "items": ["origin in pencil", "spots  small"]}
    assert read_need(need).items == ("origin in pencil", "spots small")
    assert need_as_dict(read_need(need))["items"] == ["origin in pencil", "spots small"]
    assert "items" not in need_as_dict(read_need({"kind": "observation"}))


@pytest.mark.parametrize(
    ("need", "words"),
    [
        ({"kind": "photo", "items": ["x"]}, "Only an observation has items"),
        ({"kind": "observation", "items": "x"}, "list of short texts"),
        ({"kind": "observation", "items": [""]}, "list of short texts"),
        ({"kind": "observation", "items": ["x", "x "]}, "stands twice"),
        ({"kind": "observation", "items": ["x" * 161]}, "at most"),
        ({"kind": "observation", "items": [str(n) for n in range(21)]}, "at most"),
    ],
)
def test_items_that_cannot_be_ticked_are_refused(need, words):
    with pytest.raises(EvidenceNeedError, match=words):
        read_need(need)
