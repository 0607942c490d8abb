import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.mobile_phase import (
    Expected,
    StandardReading,
    Thresholds,
    rule_in_words,
    solvent_check,
)
from practicals.calculations.mobile_phase_rates import World, one_class, rates

# Expected R_f are invented; thresholds and their grounds stand in the module.
EXPECTED = {"glycine": 0.26, "alanine": 0.38, "valine": 0.60, "leucine": 0.73}
KNOWN = {name: Expected(rf, "past sessions", 0.01) for name, rf in EXPECTED.items()}
PAPERS = ("1", "2", "3", "4", "5", "6")


def papers(shifts, *, standards=EXPECTED):
    """Readings of papers whose standards all lie off by the same amount."""
    return [
        StandardReading(paper, name, rf + shift)
        for paper, shift in shifts.items()
        for name, rf in standards.items()
    ]


def kinds(check):
    return [finding.kind for finding in check.findings]


def test_most_papers_shifted_the_same_way_names_the_batch():
    shifts = {"1": 0.06, "2": 0.05, "3": 0.07, "4": 0.06, "5": 0.00}
    check = solvent_check(papers(shifts), KNOWN, dict.fromkeys(shifts, "MP-07"))
    finding = check.findings[0]
    assert (finding.kind, finding.batch, finding.papers) == ("mobile phase", "MP-07", ("1", "2", "3", "4"))
    assert "On 4 of 5 papers the standards lie higher" in finding.sentence
    assert "batch MP-07 is suspect" in finding.sentence


def test_a_shift_downwards_counts_alike():
    check = solvent_check(papers(dict.fromkeys(PAPERS, -0.06)), KNOWN, {})
    assert kinds(check) == ["mobile phase"]
    assert "lower" in check.findings[0].sentence


def test_one_paper_alone_is_its_front_or_origin():
    check = solvent_check(papers({**dict.fromkeys(PAPERS, 0.0), "4": 0.06}), KNOWN, {})
    assert kinds(check) == ["paper"]
    assert check.findings[0].papers == ("4",)
    assert "its front or its origin line" in check.findings[0].sentence


def test_a_paper_far_off_among_three_is_not_blamed_on_the_others():
    check = solvent_check(papers({"1": 0.0, "2": 0.10, "3": 0.0}), KNOWN, {})
    assert [finding.papers for finding in check.findings] == [("2",)]


@pytest.mark.parametrize(
    ("moved", "cause"),
    [
        (lambda rf: rf * 80 / 92, "front"),  # the front read 12 mm too high on a run of 80 mm
        (lambda rf: (rf * 80 + 10) / 90, "origin line"),  # the origin line read 10 mm too low
    ],
)
def test_what_a_wrong_front_or_origin_does_follows_from_the_definition_of_rf(moved, cause):
    # R_f = (spot - origin) / (front - origin), IUPAC Gold Book R05353.
    readings = papers(dict.fromkeys(PAPERS[:5], 0.0))
    readings += [StandardReading("6", name, moved(rf)) for name, rf in EXPECTED.items()]
    (finding,) = solvent_check(readings, KNOWN, {}).findings
    assert (finding.papers, finding.points_to) == (("6",), cause)
    assert f"its {cause} most likely" in finding.sentence


def test_before_three_papers_it_is_too_early_to_say():
    check = solvent_check(papers({"1": 0.06, "2": 0.07}), KNOWN, {})
    assert kinds(check) == ["too early"]
    assert "cannot be said" in check.findings[0].sentence
    (missing,) = check.missing
    assert missing.startswith("Not enough papers to judge the mobile phase: 2, and it takes at least 3")


def test_published_values_never_accuse_a_batch():
    # Published values for the same mixture differ by up to 0.6 (several handouts and articles compared).
    published = {name: Expected(rf, "published") for name, rf in EXPECTED.items()}
    check = solvent_check(papers(dict.fromkeys(PAPERS, 0.2)), published, {})
    assert check.findings == ()
    assert "published values for the same mixture differ too much" in check.missing[0]


def test_without_expectations_papers_are_still_compared_with_one_another():
    check = solvent_check(papers({**dict.fromkeys(PAPERS, 0.0), "2": -0.07}), {}, {})
    assert [finding.papers for finding in check.findings] == [("2",)]
    assert check.papers == ()


def test_each_batch_is_judged_for_itself():
    shifts = {"1": 0.06, "2": 0.06, "3": 0.06, "4": 0.0, "5": 0.0, "6": 0.0}
    batches = {paper: "new" if shift else "old" for paper, shift in shifts.items()}
    check = solvent_check(papers(shifts), KNOWN, batches)
    assert [(finding.kind, finding.batch) for finding in check.findings] == [("mobile phase", "new")]


def test_sessions_that_spread_widely_need_a_larger_shift():
    wide = {name: Expected(rf, "past sessions", 0.05) for name, rf in EXPECTED.items()}
    assert solvent_check(papers(dict.fromkeys(PAPERS, 0.06)), wide, {}).findings == ()
    assert kinds(solvent_check(papers(dict.fromkeys(PAPERS, 0.12)), wide, {})) == ["mobile phase"]


def test_a_shift_of_exactly_the_threshold_counts():
    assert kinds(solvent_check(papers(dict.fromkeys(PAPERS, 0.04)), KNOWN, {})) == ["mobile phase"]


def test_three_of_five_are_not_most():
    check = solvent_check(papers({"1": 0.05, "2": 0.05, "3": 0.05, "4": 0.01, "5": 0.01}), KNOWN, {})
    assert "mobile phase" not in kinds(check)


def test_half_up_and_half_down_is_no_mobile_phase():
    shifts = {"1": 0.05, "2": 0.05, "3": 0.05, "4": -0.05, "5": -0.05, "6": -0.05}
    assert "mobile phase" not in kinds(solvent_check(papers(shifts), KNOWN, {}))


def test_one_standard_a_paper_is_not_judged():
    check = solvent_check(papers(dict.fromkeys(PAPERS, 0.1), standards={"glycine": 0.26}), KNOWN, {})
    assert check.findings == ()
    assert "at least 2 standards each" in check.missing[0]


def test_nothing_read_yet_is_said():
    assert solvent_check([], KNOWN, {}).missing == ("No standard has been read yet.",)


def test_the_rule_states_its_thresholds():
    words = rule_in_words(Thresholds(shift=0.05, papers=4))
    assert "at least 4 papers" in words
    assert "0.05 or more" in words


@given(st.lists(st.integers(-300, 300), min_size=0, max_size=12), st.integers(1, 4))
def test_judging_never_fails_and_is_the_same_upside_down(hundredths, standards):
    names = dict(list(EXPECTED.items())[:standards])
    shifts = {str(place): shift / 1000 for place, shift in enumerate(hundredths)}
    up = solvent_check(papers(shifts, standards=names), KNOWN, {})
    down = solvent_check(
        papers({paper: -shift for paper, shift in shifts.items()}, standards=names), KNOWN, {}
    )
    assert sorted(kinds(up)) == sorted(kinds(down))


def test_the_same_seed_gives_the_same_rates():
    one, again = (rates(World(), fault="front", size=10, trials=50, seed=3) for _ in range(2))
    assert one == again


def test_an_honest_class_seldom_alarms_and_a_bad_batch_is_noticed():
    # The bounds are wide: 200 classes place a share to within about 0.07.
    honest = rates(World(), fault="none", size=0, trials=200, seed=1)
    assert honest.mobile_phase < 0.05
    assert honest.wrong_paper < 0.12
    assert rates(World(), fault="mobile phase", size=0.08, trials=200, seed=1).mobile_phase > 0.9
    assert rates(World(), fault="front", size=10, trials=200, seed=1).right_paper > 0.8


def test_a_simulated_class_has_a_reading_per_paper_and_standard():
    from random import Random

    found = one_class(World(papers=5), fault="origin", size=5, random=Random(1))
    assert len(found) == 20
    assert all(0 < reading.rf < 1 for reading in found)


def test_a_rate_of_no_trials_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        rates(World(), fault="none", size=0, trials=0, seed=1)
