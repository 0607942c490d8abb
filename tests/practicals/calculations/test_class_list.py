"""Which headings an office uses is common practice, no source; the rules for rows are this house's."""

import pytest

from practicals.calculations.class_list import (
    MOST_ROWS,
    Entry,
    Known,
    NotAClassList,
    are_headings,
    compare,
    read_class_list,
    sign_in_stem,
)


def names(read):
    return [(entry.name, entry.sort_name, entry.reference) for entry in read.entries]


@pytest.mark.parametrize(
    ("table", "expected"),
    [
        ([["Name"], ["Ada Okafor"]], [("Ada Okafor", "Okafor, Ada", "")]),
        ([["Name"], ["Okafor, Ada"]], [("Ada Okafor", "Okafor, Ada", "")]),
        ([["Student Name", "Adno"], ["Ada Okafor", "77"]], [("Ada Okafor", "Okafor, Ada", "77")]),
        ([["SURNAME", "Forename"], ["Okafor", "Ada"]], [("Ada Okafor", "Okafor, Ada", "")]),
        ([["first_name", "last-name", "ID"], ["Ada", "Okafor", "7"]], [("Ada Okafor", "Okafor, Ada", "7")]),
        ([["Full name"], ["Sukarno"]], [("Sukarno", "Sukarno", "")]),
        ([["Name"], ["José  María\tÑúñez"]], [("José María Ñúñez", "Ñúñez, José María", "")]),
        ([["First name", "Last name"], ["Ada", ""]], [("Ada", "Ada", "")]),
    ],
)
def test_usual_columns_are_recognised_common_practice(table, expected):
    assert names(read_class_list(table)) == expected


def test_columns_that_are_not_needed_are_named_and_left_out():
    read = read_class_list(
        [["Name", "Date of birth", "", "Email"], ["Ada Okafor", "1 Jan 2009", "", "a@b.example"]]
    )
    assert read.dropped == ("Date of birth", "Email")
    assert read.used == ("Name",)
    assert "2009" not in repr(read.entries)


def test_first_and_last_name_win_over_a_whole_name_beside_them():
    read = read_class_list([["Name", "First name", "Last name"], ["A. Okafor", "Ada", "Okafor"]])
    assert names(read) == [("Ada Okafor", "Okafor, Ada", "")]
    assert read.dropped == ("Name",)


def test_a_title_above_the_headings_and_empty_rows_do_not_disturb_the_row_numbers():
    read = read_class_list([["Class 12B"], [], ["Name", "No"], ["", ""], ["Ada Okafor", "x"]])
    assert [entry.row for entry in read.entries] == [5]


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ([], "is empty"),
        ([["", " "], []], "is empty"),
        ([["Name"]], "no learner below"),
        ([["Name"], [""], []], "no learner below"),
        ([["Solvent", "Rf"], ["water", "0.5"]], "“Solvent”, “Rf”"),
        ([["First name"], ["Ada"]], "No column of names"),
    ],
)
def test_a_table_that_is_no_class_list_is_refused_with_what_was_found(table, says):
    with pytest.raises(NotAClassList, match=says):
        read_class_list(table)


def test_more_learners_than_one_import_takes_are_refused():
    table = [["Name"], *([f"Ada {'abcdefghij'[n % 10]}{n}"] for n in range(MOST_ROWS + 1))]
    with pytest.raises(NotAClassList, match="501 learners; 500"):
        read_class_list(table)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (["", "77"], "The name is missing"),
        (["12,5", "77"], "is not a name"),
        (["-", ""], "is not a name"),
        (["A" * 121, ""], "longer than 120"),
        (["Ada Okafor", "9" * 41], "longer than 40"),
    ],
)
def test_a_faulty_row_is_named_by_its_number(row, says):
    read = read_class_list([["Name", "Number"], ["Bo Lind", "1"], row])
    (fault,) = read.faults
    assert fault.row == 3
    assert says in fault.sentence


def test_signs_that_a_database_refuses_are_taken_out():
    read = read_class_list([["Name"], ["Ada\0 Oka\x07for"]])
    assert read.entries[0].name == "Ada Oka for"


def test_a_row_that_is_shorter_than_the_headings_is_read_as_far_as_it_goes():
    assert names(read_class_list([["Name", "Number"], ["Ada Okafor"]])) == [("Ada Okafor", "Okafor, Ada", "")]


@pytest.mark.parametrize(
    ("rows", "faulty"),
    [
        ([["Ada Okafor", ""], ["ada  okafor", ""]], [3]),
        ([["Ada Okafor", "1"], ["Ada Okafor", ""]], [3]),
        ([["Ada Okafor", "1"], ["Ada Okafor", "2"]], []),
        ([["Ada Okafor", "1"], ["Bo Lind", "1"]], [3]),
        ([["Ada Okafor", "a1"], ["Bo Lind", "A1"]], [3]),
        ([["Ada Okafor", "1"], ["Ada Okafor", "1"], ["Ada Okafor", "1"]], [3, 4]),
    ],
)
def test_somebody_who_stands_twice_is_a_fault_and_namesakes_with_numbers_are_not(rows, faulty):
    assert [fault.row for fault in read_class_list([["Name", "Number"], *rows]).faults] == faulty


def entry(name, reference="", row=2):
    return Entry(row, name, name, reference)


def test_a_number_decides_who_is_known():
    compared = compare(
        [entry("Ada Okafor", "1"), entry("Bo Lind", "2", 3), entry("Cy Dahl", "3", 4)],
        in_class=[Known("Ada Okafor", "1")],
        in_centre={"1": Known("Ada Okafor", "1"), "2": Known("BO LIND", "2")},
    )
    assert [one.name for one in compared.already] == ["Ada Okafor"]
    assert [one.name for one in compared.elsewhere] == ["Bo Lind"]
    assert [one.name for one in compared.new] == ["Cy Dahl"]
    assert compared.faults == ()


def test_a_number_that_belongs_to_another_name_is_a_fault_that_does_not_name_the_other():
    compared = compare([entry("Ada Okafor", "1")], in_class=[], in_centre={"1": Known("Bo Lind", "1")})
    (fault,) = compared.faults
    assert "somebody whose name is written otherwise" in fault.sentence
    assert "Bo Lind" not in fault.sentence


def test_a_namesake_in_the_class_without_a_known_number_is_a_fault():
    compared = compare([entry("ADA okafor")], in_class=[Known("Ada Okafor", "1")], in_centre={})
    assert [fault.row for fault in compared.faults] == [2]
    assert compared.new == ()


@pytest.mark.parametrize(
    ("cells", "are"),
    [(["Name"], True), (["Surname", "Forename"], True), (["Surname"], False), (["x"], False), ([], False)],
)
def test_headings_are_known_when_a_name_can_be_taken_from_them(cells, are):
    assert are_headings(cells) is are


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Ada Okafor", "ada"),
        ("Zoë-Élise Ng", "zoeelise"),
        ("Bartholomewina X", "bartholome"),
        ("Ли Вэй", "learner"),
        ("", "learner"),
        ("O'Neil", "oneil"),
    ],
)
def test_a_sign_in_name_starts_with_the_first_name_in_plain_letters(name, stem):
    assert sign_in_stem(name) == stem
