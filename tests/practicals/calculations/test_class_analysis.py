from decimal import Decimal

import pytest

from practicals.calculations.class_analysis import ClassReading, analyse
from practicals.calculations.class_picture import Published
from practicals.calculations.spread import NotANumberError

# An invented class: eight papers, four readers each.
VALUES = {
    "1": (36, 37, 36, 37),
    "2": (38, 38, 39, 38),
    "3": (37, 37, 38, 36),
    "4": (39, 40, 39, 39),
    "5": (37, 36, 37, 37),
    "6": (38, 38, 38, 37),
    "7": (36, 36, 37, 36),
    "8": (38, 39, 38, 62),
}
CLASS = [
    ClassReading(f"learner {paper}{place}", f"Group {paper}", paper, Decimal(value) / 100)
    for paper, row in VALUES.items()
    for place, value in enumerate(row)
]


def test_a_class_is_seen_as_a_whole():
    found = analyse("alanine", CLASS, published=Published(Decimal("0.38")))
    assert (found.learners, found.papers, found.summary.every.n) == (32, 8, 32)
    assert found.enough_for_learners
    assert found.summary.flagged == (31,)
    assert found.summary.without.n == 31
    assert found.uneven.group == 7
    assert found.others[31].apart is True
    assert sum(mark.stands_out for mark in found.picture.marks) == 1


def test_values_of_one_paper_are_not_counted_as_independent():
    found = analyse("alanine", CLASS, published=Published(Decimal("0.38")))
    assert found.against_published.df == 7
    assert "The mean of 8 papers" in found.against_published.sentence


def test_all_learners_on_one_paper_give_no_comparison_with_a_published_value():
    one_paper = [ClassReading(one.learner, "Group 1", "1", one.rf) for one in CLASS]
    found = analyse("alanine", one_paper, published=Published(Decimal("0.38")))
    assert found.against_published.t is None
    assert "Not enough papers for a comparison: 1" in found.against_published.reason


@pytest.mark.parametrize("count", [0, 1, 2, 4])
def test_a_few_learners_never_fail(count):
    found = analyse("alanine", CLASS[:count], published=Published(Decimal("0.38")))
    assert not found.enough_for_learners
    assert found.summary.flagged == ()
    assert "at least 6" in found.summary.sentence
    for words in (found.picture.text, found.summary.sentence, *found.precision.missing):
        assert "nan" not in words.lower().split()


def test_all_equal():
    found = analyse("alanine", [ClassReading(one.learner, one.group, one.paper, 0.4) for one in CLASS])
    assert found.precision.s_r == 0
    assert found.mandel is None
    assert found.others[0].t is None
    assert found.against_published is None


def test_five_hundred_learners():
    many = [
        ClassReading(f"learner {n}", f"Group {n // 4}", f"{n // 4}", Decimal(36 + n % 4) / 100)
        for n in range(500)
    ]
    found = analyse("alanine", many, suspected=5)
    assert found.papers == 125
    assert found.precision.s_reproducibility is not None


def test_text_for_a_number_is_named():
    with pytest.raises(NotANumberError, match="Value 1"):
        analyse("alanine", [ClassReading("a", "Group 1", "1", "about a third")])
