"""A unit from the rows of a table, in the words of whoever types it, and written out as its file."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.evidence_needs import NEED_KINDS, EvidenceNeed, EvidenceNeedError, describe_need
from assessment.calculations.evidence_words import kind_called, needs_in_words, read_count, read_needs
from assessment.calculations.grades import GradeRule
from assessment.calculations.unit_file import CriterionDefinition, UnitDefinition, read_unit, shipped_units
from assessment.calculations.unit_table import NotAUnitTable, are_unit_headings, read_unit_table
from assessment.calculations.unit_text import unit_as_text
from practicals.calculations.table_cells import Wanted, read_cells

HEAD = ["Code", "Level", "Text", "Evidence"]
P1 = ["P1", "pass", "Read a paper.", "readings 2 or another source; photo"]
M1 = ["M1", "Merit", "Argue.", "conclusion 120"]
WANTED = Wanted("table of criteria", 200, "Split it.", are_unit_headings)


def faults(*rows, **more):
    return [(fault.row, fault.sentence) for fault in read_unit_table([HEAD, *rows], **more).faults]


def test_rows_become_criteria_in_their_order_with_what_they_need():
    read = read_unit_table([["Unit of class 2"], HEAD, P1, [], M1], levels=("pass", "merit"))
    assert read.faults == ()
    assert [(one.code, one.level) for one in read.criteria] == [("P1", "pass"), ("M1", "merit")]
    assert read.criteria[0].needs == (EvidenceNeed("readings", 2, other_source=True), EvidenceNeed("photo"))
    assert read.rows == (3, 5)


def test_levels_come_from_the_rows_when_none_are_given():
    assert read_unit_table([HEAD, P1, M1]).levels == ("pass", "merit")


def test_kinds_of_evidence_may_have_columns_of_their_own():
    table = [
        ["No", "Grade", "Description", "Readings", "Another source", "Own R_f", "Marks"],
        ["P1", "pass", "Read.", "2,0", "yes", "x", "5"],
        ["P2", "pass", "Set up.", "", "", "-", ""],
    ]
    read = read_unit_table(table)
    assert read.criteria[0].needs == (EvidenceNeed("readings", 2, other_source=True), EvidenceNeed("own_rf"))
    assert read.criteria[1].needs == ()
    assert (read.dropped, read.faults) == (("Marks",), ())


def test_a_code_twice_is_refused_with_the_row_it_stands_in_too():
    assert faults(P1, M1, ["p1", "pass", "Again.", ""]) == [
        (4, "The code p1 stands in row 2 too; give each its own.")
    ]


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (["", "pass", "Read.", ""], "The code is missing."),
        (["P1", "", "Read.", ""], "The level is missing."),
        (["P1"], "The level is missing."),
        (["P1", "pass", " ", ""], "The text is missing."),
        (["P1", "credit", "Read.", ""], "“credit” is none of the levels pass, merit."),
        (["P1 and much more", "pass", "Read.", ""], "The code is longer than 12 characters. Shorten it."),
        (["P1", "pass", "Read.", "smell 2"],
         f"“smell 2” is no kind of evidence. Write one of {', '.join(NEED_KINDS)}, and how many."),
        (["P1", "pass", "Read.", "readings 1e9"],
         "“1e9” is no whole number up to 5000."),
        (["P1", "pass", "Read.", "readings -1"], "“-1” is no whole number up to 5000."),
        (["P1", "pass", "Read.", "readings 2.5"], "“2.5” is no whole number up to 5000."),
        (["P1", "pass", "Read.", "photo; photos 2"],
         "“photo” stands twice; write it once with the larger number."),
        (["P1", "pass", "Read.", "photo: a, b"], "Only an observation has items to tick, not “photo”."),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_row_is_a_sentence(row, sentence):
    assert (2, sentence) in faults(row, levels=("pass", "merit"))


def test_every_faulty_row_is_named_at_once():
    assert [row for row, _ in faults(["", "pass", "x"], P1, ["P2", "pass", ""])] == [2, 4]


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ([], "is empty"),
        ([["", " "]], "is empty"),
        ([["Name", "Mark"], ["Ada", "5"]], "“Name”, “Mark”"),
        ([HEAD], "no criterion below"),
        ([HEAD, *([f"P{n}", "pass", "x"] for n in range(201))], "201 rows"),
    ],
)
def test_what_is_no_table_of_criteria_is_refused(table, says):
    with pytest.raises(NotAUnitTable, match=says):
        read_unit_table(table)


@pytest.mark.parametrize(
    "data",
    [
        b"Code,Level,Text,Evidence\nP1,pass,Read it.,photo\n",
        b"\xef\xbb\xbfCode;Level;Text;Evidence\r\nP1;pass;Read it.;photo\r\n",
        b"Code\tLevel\tText\tEvidence\rP1\tpass\tRead it.\tphoto",
        "Code;Level;Text;Evidence\nP1;pass;Read\u00a0it.;photo\n".encode("cp1252"),
        "Code,Level,Text,Evidence\nP1,pass,Read it.,photo\n".encode("utf-16"),
    ],
)
def test_the_usual_spellings_of_csv_give_the_same_unit(data):
    (criterion,) = read_unit_table(read_cells(data, WANTED)).criteria
    assert criterion == CriterionDefinition("P1", "pass", "Read it.", (EvidenceNeed("photo"),))


def test_an_observation_lists_what_is_to_be_seen_and_quotes_keep_commas():
    (need,) = read_needs('observation: origin in pencil, "small, dry spots"')
    assert need.items == ("origin in pencil", "small, dry spots")
    said = "an observation record by the assessor (origin in pencil; small, dry spots)"
    assert describe_need(need) == said
    assert read_needs(needs_in_words([need])) == (need,)


@pytest.mark.parametrize(
    ("text", "number"), [("3", 3), ("3,0", 3), (" 3.00 ", 3), ("x", 1), ("", 0), ("-", 0)]
)
def test_a_number_of_pieces_as_a_cell_holds_it(text, number):
    assert read_count(text) == number


@pytest.mark.parametrize("text", ["2.5", "1e9", "-1", "5001", "many", "³", "٣", "9" * 400])
def test_no_other_number_is_taken(text):
    with pytest.raises(EvidenceNeedError):
        read_count(text)


def test_words_for_a_kind():
    assert (kind_called("Own values"), kind_called("own_rf"), kind_called("mood")) == (
        "own_rf",
        "own_rf",
        None,
    )


ITEMS = st.lists(
    st.text(
        st.characters(whitelist_categories=["L", "N"], whitelist_characters=" ,;:+|"), min_size=1, max_size=30
    )
    .map(lambda text: " ".join(text.split()))
    .filter(bool),
    max_size=3,
    unique=True,
)
COUNTED = st.builds(EvidenceNeed, st.sampled_from(NEED_KINDS), st.integers(1, 5000), st.booleans())
NEEDS = st.lists(COUNTED, max_size=4, unique_by=lambda need: need.kind)
TEXT = st.text(min_size=1, max_size=60).map(lambda text: " ".join(text.split())).filter(bool)


@given(NEEDS)
def test_needs_in_words_are_read_back_as_they_were(needs):
    assert read_needs(needs_in_words(needs)) == tuple(needs)


@given(ITEMS)
def test_items_in_words_are_read_back_as_they_were(items):
    need = EvidenceNeed("observation", items=tuple(items))
    assert read_needs(needs_in_words([need])) == (need,)


@given(TEXT, TEXT, NEEDS)
def test_a_unit_written_out_is_read_back_as_it_was(title, text, needs):
    rule = GradeRule(("pass", "merit"))
    unit = UnitDefinition("a-unit", title, rule, (CriterionDefinition("P1", "pass", text, tuple(needs)),))
    assert read_unit(unit_as_text(unit)) == unit


def test_the_shipped_unit_written_out_is_read_back_as_it_was():
    assert read_unit(unit_as_text(shipped_units()[0])) == shipped_units()[0]
