"""When what is made, what is made together, when chambers are filled, and where the waste goes."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from reagents.calculations.prep_order import (
    BALANCE,
    FUME_CUPBOARD,
    Running,
    bench_of,
    between_classes,
    fill_at,
    filling_rule,
    made_together,
    minutes_for,
    rule,
    said_minutes,
    time_rule,
)
from reagents.calculations.waste import (
    ASK,
    HALOGENATED,
    SOLVENT,
    WATERY,
    Waste,
    route_of,
    waste_bottles,
    waste_of,
)

MONDAY = datetime(2026, 11, 23, 9, 0, tzinfo=UTC)
WEEK = 7 * 24


def needs(*days, hour=9):
    return [MONDAY.replace(hour=hour) + timedelta(days=day) for day in days]


def days(found):
    return [(one.day.isoweekday(), one.needs) for one in found]


@pytest.mark.parametrize(
    "keeps", [{"shelf_life_hours": 24}, {"shelf_life_hours": WEEK, "made_on_the_day": True}]
)
def test_a_butanol_mixture_for_friday_is_not_made_on_monday(keeps):
    """Made fresh on the day (`baw_fresh` in SOURCES.csv)."""
    assert days(made_together(needs(0, 4), **keeps)) == [(1, (0,)), (5, (1,))]


def test_no_shelf_life_stated_means_the_day_itself_common_practice():
    """Common practice, no source."""
    assert days(made_together(needs(2, 1), shelf_life_hours=None)) == [(2, (1,)), (3, (0,))]


def test_what_keeps_a_week_is_made_once_on_the_working_day_before_common_practice():
    """Monday's is made on Friday and keeps until the next Friday noon; common practice, no source."""
    found = made_together(needs(4, 0, 2), shelf_life_hours=WEEK)
    assert days(found) == [(5, (1, 2, 0))]
    assert found[0].day == date(2026, 11, 20)


def test_two_batches_where_one_does_not_reach():
    """Made Friday noon with 100 h it ends on Tuesday at 16:00: Friday's needs a second, made on Thursday."""
    assert days(made_together(needs(0, 1, 4), shelf_life_hours=100)) == [(5, (0, 1)), (4, (2,))]


def test_two_days_do_not_reach_over_a_weekend():
    """Friday noon + 48 h is Sunday noon: Monday's is made on Monday."""
    assert days(made_together(needs(0), shelf_life_hours=48)) == [(1, (0,))]
    assert days(made_together(needs(2), shelf_life_hours=48)) == [(2, (0,))]


def test_chambers_are_filled_within_the_usual_span_before():
    """10 min read (`chamber_10min` in SOURCES.csv), 15 to 90 min common practice, no source."""
    assert timedelta(minutes=10) <= MONDAY - fill_at(MONDAY) <= timedelta(minutes=90)
    assert "10 min was read" in filling_rule()


def test_one_filling_does_not_serve_two_classes_common_practice():
    """The ratio drifts while lids are off; common practice, no source."""
    assert between_classes([Running(MONDAY, 6)]) == ()
    said = between_classes([Running(MONDAY + timedelta(hours=3), 6), Running(MONDAY, 6)])
    assert "does not serve the next class" in said[0]
    assert said[1].startswith("Between 09:00 and 12:00: empty")
    tight = between_classes([Running(MONDAY, 6), Running(MONDAY + timedelta(minutes=30), 6)])
    assert "cannot be changed" in tight[1]


def test_time_follows_its_stated_rule():
    """Hand-worked from the shipped rule: 10 + 3 x 3 + 6 x 2 = 31; 10 + 3 + 5 + 10 = 28 min."""
    assert minutes_for(volumes=3, masses=0, chambers=6) == 31
    assert minutes_for(volumes=1, masses=1, chambers=0) == 28
    assert "10 min for each liquid" in time_rule()


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "about 5 min"), (28, "about 30 min"), (60, "about 1 h"), (94, "about 1 h 35 min")],
)
def test_minutes_are_said_to_five(minutes, said):
    assert said_minutes(minutes).replace("\u00a0", " ") == said


def test_a_rule_that_does_not_exist():
    with pytest.raises(KeyError):
        rule("hurry")


def test_what_smells_or_burns_is_made_in_the_fume_cupboard():
    """Butan-1-ol H226 H335 H336, ethanoic acid H226 H314, glycine none (CLP Annex VI, ATP 17)."""
    assert bench_of(["butan-1-ol", "water"]) == FUME_CUPBOARD
    assert bench_of(["glycine", "water"]) == BALANCE
    assert bench_of(["moon dust", "water"]) == FUME_CUPBOARD
    assert bench_of(["moon dust", "water"], weighed={"moon dust"}) == BALANCE


# -- waste


@pytest.mark.parametrize(
    ("names", "route"),
    [
        (["butan-1-ol", "ethanoic acid", "water"], SOLVENT),
        (["ninhydrin", "ethanol"], SOLVENT),
        (["glycine", "water"], WATERY),
        (["trichloromethane"], HALOGENATED),
        (["moon dust", "water"], ASK),
    ],
)
def test_the_route_of_waste_common_practice(names, route):
    """Halogen-free flammable solvent waste, not to the sink: common practice, no source."""
    assert route_of(names) == route


def test_used_mobile_phase_is_poured_away_with_its_rinsings():
    """Hand-worked: 300 mL in chambers and a tenth for rinsing are 330, the spare 36 is not kept: 366."""
    found = waste_of(["butan-1-ol", "water"], total_ml=Decimal(336), in_chambers_ml=Decimal(300), keeps=False)
    assert (found.waste_ml, found.back_ml) == (366, 0)


def test_what_keeps_comes_back():
    found = waste_of(["glycine", "water"], total_ml=Decimal(50), in_chambers_ml=Decimal(0), keeps=True)
    assert (found.waste_ml, found.back_ml) == (0, 50)


def test_waste_bottles_keep_a_fifth_free_common_practice():
    """Hand-worked: 366 mL need 457.5 mL of bottle; 2100 need 2625, so two of 2.5 L. No source."""
    (one,) = waste_bottles(
        [Waste(SOLVENT, Decimal(300), Decimal(0)), Waste(SOLVENT, Decimal(66), Decimal(0))]
    )
    assert (one.waste_ml, one.bottles.replace("\u00a0", " ")) == (366, "1 bottle of 500 mL")
    (large,) = waste_bottles([Waste(SOLVENT, Decimal(2100), Decimal(0))])
    assert large.bottles.replace("\u00a0", " ") == "2 bottles of 2.5 L"
    assert waste_bottles([Waste(WATERY, Decimal(0), Decimal(50))]) == ()
