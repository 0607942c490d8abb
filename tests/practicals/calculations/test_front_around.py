"""What stands around the front's law: the clock, past papers, the board's words, the picture."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.clock_time import NotATimeError, read_clock
from practicals.calculations.front import FrontPrediction, FrontSeen, predict_front
from practicals.calculations.front_history import expected_time, rate_of_run, rate_of_runs
from practicals.calculations.front_law import FrontHeight, NoFitError, fit_through_start
from practicals.calculations.front_picture import HEIGHT, WIDTH, front_picture
from practicals.calculations.front_stop import front_above_surface, stop_below_top_mm, wanted_height_mm
from practicals.calculations.front_words import front_words
from practicals.calculations.practical_file import shipped_practicals

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 3, 3, 14, 30, tzinfo=LONDON)


@pytest.mark.parametrize(
    ("text", "then"),
    [
        ("14:05", "14:05"),
        (" 9.30 ", "09:30"),
        ("09:30:15", "09:30"),
        ("14 : 30", "14:30"),
        ("14:31", "14:31"),
    ],
)
def test_a_time_of_today(text, then):
    read = read_clock(text, now=NOW)
    assert (f"{read:%H:%M}", read.date()) == (then, NOW.date())


def test_just_after_midnight_a_late_time_is_yesterdays():
    read = read_clock("23:50", now=NOW.replace(hour=0, minute=10))
    assert (read.day, f"{read:%H:%M}") == (2, "23:50")


@pytest.mark.parametrize(
    "text", ["14:32", "23:50", "24:00", "9:60", "930", "", "x", "9:5", "९:३०", "1e1:00", "-9:00"]
)
def test_no_time_or_one_still_to_come(text):
    with pytest.raises(NotATimeError):
        read_clock(text, now=NOW)


def test_in_the_hour_that_comes_twice_the_latest_that_has_passed_counts():
    # In London the clocks go back at 01:00 UTC on 25 October 2026 (tz database): 01:30 comes twice.
    for utc_hour, passed in ((0, 0), (1, 1)):
        now = datetime(2026, 10, 25, utc_hour, 45, tzinfo=UTC).astimezone(LONDON)
        assert read_clock("01:30", now=now).astimezone(UTC) == datetime(2026, 10, 25, passed, 30, tzinfo=UTC)


@given(st.one_of(st.text(max_size=30), st.from_regex(r"[0-9]{1,2}[:.][0-9]{2}", fullmatch=True)))
def test_whatever_is_typed_is_a_past_time_or_refused(text):
    try:
        read = read_clock(text, now=NOW)
    except NotATimeError:
        return
    assert NOW - timedelta(hours=25) < read <= NOW + timedelta(minutes=1)


def run_at(k, *minutes):
    return [FrontHeight(m, (k * m) ** 0.5) for m in minutes]


def test_past_papers_give_the_median_and_range():
    # z^2 = k t: at 100 mm^2/min a height of 100 mm takes 100 min, at 200 it takes 50, at 125 it takes 80.
    rate = rate_of_runs([run_at(k, 5, 20, 60) for k in (100, 125, 200)])
    found = expected_time(rate, wanted_mm=100)
    assert found.sentence == "from 3 papers of past sessions: 80 min (50 to 100)"


def test_one_paper_has_no_range_and_two_heights_are_no_run():
    rate = rate_of_runs([run_at(100, 5, 20, 60), run_at(100, 5, 20), [], run_at(100, 0, 5, 20)])
    assert expected_time(rate, wanted_mm=50).sentence == "from 1 paper of past sessions: 25 min"
    assert rate_of_run([FrontHeight(5, 0), FrontHeight(6, 0), FrontHeight(7, 0)]) is None
    assert rate_of_runs([]) is None
    assert expected_time(None, wanted_mm=50) is None
    assert expected_time(rate, wanted_mm=0) is None


def test_where_to_stop_comes_from_the_practical_or_is_ten_millimetres_met1():
    assert stop_below_top_mm("") == 10
    assert stop_below_top_mm("not [ toml") == 10
    assert stop_below_top_mm("[run]\nstop_below_top_mm = 12.5") == Decimal("12.5")
    assert stop_below_top_mm('[run]\nstop_below_top_mm = "x"') == 10
    for odd in ("nan", "inf", "-3", "0", "true", "99999"):
        assert stop_below_top_mm(f"[run]\nstop_below_top_mm = {odd}") == 10
    assert stop_below_top_mm("run = 5") == 10
    # Three quarters of a paper of 120 mm (MET15) is 90 mm, 30 mm below its top.
    assert stop_below_top_mm(shipped_practicals()["food_dyes.toml"]) == 30
    height = wanted_height_mm(paper_height_mm=Decimal(120), immersed_mm=Decimal(8), stop_mm=Decimal(10))
    assert height == 102


def test_heights_from_the_lower_edge_lose_the_immersed_depth():
    depth = {"immersed_mm": Decimal("8.5")}
    assert front_above_surface(Decimal(40), measured_from="edge", **depth) == Decimal("31.5")
    assert front_above_surface(Decimal(40), measured_from="surface", **depth) == 40
    with pytest.raises(NoFitError):
        front_above_surface(Decimal(8), measured_from="edge", **depth)


START = datetime(2026, 3, 3, 13, 30, tzinfo=UTC)


def predicted(*heights, now):
    seen = [FrontSeen(START + timedelta(minutes=m), z) for m, z in heights]
    return predict_front(seen, started=START, wanted_mm=100, top_mm=110, now=START + timedelta(minutes=now))


@pytest.mark.parametrize(
    ("heights", "now", "words", "kind"),
    [
        ([], 1, "in the chamber, front not read yet", "open"),
        # 50 mm after 25 min: 100 mm after 100 min, 15:10; 80 min is 14:50, 180 min is 16:30.
        ([(25, 50)], 26, "take out at 15:10 (14:50 to 16:30)", "open"),
        ([(25, 50)], 85, "take out at 15:10 (14:50 to 16:30); look now and then", "waiting"),
        ([(25, 50)], 101, "look now: expected by now", "doubt"),
        ([(25, 100)], 26, "take out now", "doubt"),
        ([(25, 110)], 26, "take out now: the front is at the top", "doubt"),
    ],
)
def test_the_boards_words(heights, now, words, kind):
    moment = START + timedelta(minutes=now)
    assert front_words(predicted(*heights, now=now), taken_out=None, now=moment) == (words, kind)


def test_the_boards_words_at_the_ends():
    assert front_words(None, taken_out=START, now=START) == ("taken out 13:30", "done")
    assert front_words(None, taken_out=None, now=START)[1] == "doubt"
    nothing = FrontPrediction("no law", None, None, None, None, "")
    assert front_words(nothing, taken_out=None, now=START)[0].startswith("no time can be given")


def test_the_picture_says_what_it_shows():
    heights = run_at(100, 4, 25)
    drawn = front_picture(
        heights, wanted_mm=100, top_mm=110, fit=fit_through_start(heights), band=(100, 80, 180), now_min=30
    )
    assert drawn.words == (
        "Height of the front above the liquid against time. 2 heights, from 20 mm after 4 min to 50 mm after"
        " 25 min. The paper is to be taken out at 100 mm, expected after 100 min (between 80 and 180 min)."
    )
    assert drawn.top_y == drawn.top < drawn.target_y < drawn.marks[1][1] < drawn.marks[0][1] < drawn.bottom
    assert drawn.marks[1][0] < drawn.now_x < drawn.band_x
    assert drawn.curve


@given(
    st.lists(st.tuples(st.floats(0, 1e5), st.floats(0, 2000)), max_size=8),
    st.floats(1, 1900),
    st.one_of(st.none(), st.floats(-10, 1e5)),
)
def test_the_picture_never_leaves_its_frame(heights, wanted, now):
    seen = [FrontHeight(minutes, height) for minutes, height in heights]
    try:
        fit = fit_through_start(seen)
    except NoFitError:
        fit = None
    drawn = front_picture(seen, wanted_mm=wanted, top_mm=wanted + 10, fit=fit, now_min=now)
    places = [*drawn.marks, *(tuple(map(float, p.split(","))) for p in drawn.curve.split())]
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in places)
    assert len(drawn.minutes) <= 12
    assert len(drawn.heights) <= 12
    assert drawn.now_x is None or drawn.left <= drawn.now_x <= drawn.right
