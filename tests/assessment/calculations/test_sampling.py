from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.sampling import STRATA, Candidate, SamplingError, allocate, draw, empty_strata

from .published import case_id, stats_cases

CLASS = [
    Candidate(f"L{n:02}", "Ash" if n < 30 else "Birch" if n < 39 else "Cole", ("pass", "merit")[n % 2])
    for n in range(40)
]


@pytest.mark.parametrize("case", stats_cases("stratified_allocation"), ids=case_id)
def test_allocation_by_largest_remainders_cochran_1977(case):
    # Cochran W. G. (1977) Sampling Techniques, proportional allocation (from memory); rounding derived.
    data = case["data"]
    shares = allocate(data["stratum_sizes"], data["sample"], at_least_one_each=data["at_least_one_each"])
    assert list(shares) == case["expected"]["allocation"]
    assert sum(shares) == case["expected"]["total"]


def test_at_least_one_each_lets_the_total_grow():
    assert allocate([38, 1, 1, 0], 4) == (4, 0, 0, 0)
    assert allocate([38, 1, 1, 0], 4, at_least_one_each=True) == (4, 1, 1, 0)


def test_the_only_portfolio_of_an_assessor_is_drawn_and_says_so():
    chosen = {choice.key: choice.reasons for choice in draw(CLASS, 7, seed=1).chosen}
    assert len(chosen) == 7
    assert "the only portfolio by assessor Cole" in chosen["L39"]
    assert any("drawn at random" in reason for reason in chosen[min(chosen)])


def test_what_must_be_seen_is_always_in():
    marked = [Candidate("X", "Ash", "pass", always_because=("resubmission", "appeal")), *CLASS]
    for seed in range(20):
        chosen = {choice.key: choice.reasons for choice in draw(marked, 5, seed).chosen}
        assert chosen["X"] == ("always sampled: resubmission", "always sampled: appeal")


def test_each_risk_and_each_site_is_represented():
    candidates = [
        *CLASS,
        Candidate("R1", "Ash", "pass", site="North", risks=("borderline",)),
        Candidate("R2", "Ash", "pass", site="North", risks=("borderline",)),
        Candidate("R3", "Ash", "pass", site="South"),
    ]
    for seed in range(20):
        keys = {choice.key for choice in draw(candidates, 6, seed).chosen}
        assert keys & {"R1", "R2"}
        assert "R3" in keys


def test_crossed_strata_show_every_grade_of_every_assessor():
    for seed in range(20):
        keys = {choice.key for choice in draw(CLASS, 5, seed, crossed=True).chosen}
        seen = {(c.assessor, c.grade) for c in CLASS if c.key in keys}
        assert seen == {(c.assessor, c.grade) for c in CLASS}


def test_a_sample_that_had_to_grow_says_so():
    drawn = draw(CLASS, 1, seed=3)
    assert len(drawn.chosen) == 3
    assert drawn.note.startswith("1 portfolio was asked for; 3 were drawn, because every stratum")
    assert draw(CLASS, 7, seed=3).note == ""


def test_another_seed_draws_another_sample():
    assert len({tuple(choice.key for choice in draw(CLASS, 7, seed).chosen) for seed in range(10)}) > 1


def test_no_portfolio_of_an_even_class_is_favoured():
    # 40 alike, 10 drawn: each should come up in a quarter of the draws; 5 standard deviations are allowed.
    alike = [Candidate(f"L{n:02}", "Ash", "pass") for n in range(40)]
    times = dict.fromkeys((c.key for c in alike), 0)
    for seed in range(1000):
        for choice in draw(alike, 10, seed).chosen:
            times[choice.key] += 1
    assert all(abs(count - 250) < 5 * (1000 * 0.25 * 0.75) ** 0.5 for count in times.values())


@pytest.mark.parametrize(
    ("size", "message"),
    [
        (41, "A sample of 41 cannot be drawn from 40 portfolios. Ask for 1 to 40."),
        (0, "A sample needs at least 1 portfolio, not 0. Ask for 1 to 40."),
        (-3, "A sample needs at least 1 portfolio, not -3. Ask for 1 to 40."),
    ],
)
def test_an_impossible_size_is_refused_with_what_is_possible(size, message):
    with pytest.raises(SamplingError) as refused:
        draw(CLASS, size, seed=1)
    assert str(refused.value) == message


def test_nothing_to_draw_from_and_doubles_are_refused():
    with pytest.raises(SamplingError, match="no portfolio to draw from"):
        draw([], 1, seed=1)
    with pytest.raises(SamplingError, match="Portfolio A is listed twice"):
        draw([Candidate("A", "Ash", "pass")] * 2, 1, seed=1)
    with pytest.raises(SamplingError, match="fewer than 0"):
        allocate([3, -1], 1)


CANDIDATES = st.lists(
    st.builds(
        Candidate,
        key=st.text("abcdef", min_size=1, max_size=4),
        assessor=st.sampled_from(["Ash", "Birch", "Cole"]),
        grade=st.sampled_from(["pass", "merit", "distinction", "not yet achieved"]),
        site=st.sampled_from(["", "North", "South"]),
        risks=st.sampled_from([(), ("borderline",), ("new assessor", "borderline")]),
        always_because=st.sampled_from([(), (), (), ("resubmission",)]),
    ),
    min_size=1,
    max_size=30,
    unique_by=lambda candidate: candidate.key,
)


@given(CANDIDATES, st.data(), st.integers(0, 2**32), st.booleans())
def test_a_draw_covers_every_stratum_whatever_the_order(candidates, data, seed, crossed):
    size = data.draw(st.integers(1, len(candidates)))
    drawn = draw(candidates, size, seed, crossed=crossed)
    keys = {choice.key for choice in drawn.chosen}
    assert len(keys) == len(drawn.chosen) >= size
    assert all(choice.reasons for choice in drawn.chosen)
    assert bool(drawn.note) == (len(keys) > size)
    wanted = {stratum for c in candidates for stratum in c.strata(crossed=crossed)}
    assert wanted == {s for c in candidates if c.key in keys for s in c.strata(crossed=crossed)}
    assert {c.key for c in candidates if c.always_because} <= keys
    shuffled = data.draw(st.permutations(candidates))
    assert draw(shuffled, size, seed, crossed=crossed) == drawn


@given(st.lists(st.integers(0, 50), min_size=1, max_size=8).filter(sum), st.data())
def test_shares_add_up_and_stay_within_one_of_the_quota(sizes, data):
    sample = data.draw(st.integers(1, sum(sizes)))
    shares = allocate(sizes, sample)
    assert sum(shares) == sample
    for share, size in zip(shares, sizes, strict=True):
        assert share <= size
        assert abs(share - sample * size / sum(sizes)) < 1


def candidate(number, **more):
    values = {"key": f"P{number:02}", "assessor": "Ash", "grade": "pass"}
    return Candidate(**(values | more))


ALL = tuple(STRATA)


def reasons_of(candidates, size, kinds, seed=5):
    return {c.key: "; ".join(c.reasons) for c in draw(candidates, size, seed, kinds=kinds).chosen}


@pytest.mark.parametrize(
    ("kind", "marks", "said"),
    [
        ("assessor", {"assessor": "Elm"}, "the only portfolio by assessor Elm"),
        ("grade", {"grade": "merit"}, "the only portfolio graded merit"),
        ("class", {"group": "1B"}, "the only portfolio from class 1B"),
        ("unknown", {"unknown": "unknown Y"}, "the only portfolio on unknown Y"),
        (
            "borderline",
            {"borderline": "one criterion short of merit: M2"},
            "one criterion short of merit: M2",
        ),
        ("resubmitted", {"always_because": ("resubmission",)}, "always sampled: resubmission"),
        ("new assessor", {"new_assessor": True}, "the only portfolio by the new assessor Ash"),
        (
            "new brief",
            {"new_brief": "Dyes, edition 2"},
            "the only portfolio on the new brief Dyes, edition 2",
        ),
    ],
)
def test_each_chosen_stratum_is_in_the_sample_with_its_reason(kind, marks, said):
    # Strata as public centre and college guidance lists them; the words are this project's.
    candidates = [*(candidate(n) for n in range(20)), candidate(20, **marks)]
    assert said in reasons_of(candidates, 1, [kind])["P20"]
    without = reasons_of(candidates, 1, [])
    assert len(without) == 1
    assert said not in without.get("P20", "")


def test_resubmitted_work_is_drawn_whole_only_when_it_was_chosen():
    candidates = [candidate(n, always_because=("resubmission",) if n < 4 else ()) for n in range(9)]
    assert {"P00", "P01", "P02", "P03"} <= set(reasons_of(candidates, 1, ["resubmitted"]))
    assert len(reasons_of(candidates, 1, ["grade"])) == 1


def test_a_plan_from_before_there_was_a_choice_is_drawn_as_it_was():
    chosen = [c.key for c in draw(CLASS, 3, seed=3).chosen]
    marked = [replace(c, group="1A", unknown="unknown X", borderline="one short") for c in CLASS]
    assert [c.key for c in draw(marked, 3, seed=3).chosen] == chosen


def test_a_stratum_without_a_portfolio_is_said_in_a_sentence():
    assert empty_strata([candidate(1)], ["grade", "borderline"]) == (
        "Asked for, but there is none to draw: borderline results.",
    )
    assert empty_strata([candidate(1)], []) == ()
    assert len(empty_strata([], ALL)) == len(STRATA)
