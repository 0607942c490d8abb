from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.deadlines import (
    REGIONS,
    DeadlineError,
    add_working_days,
    closing_names,
    deadline_moment,
    read_bank_holidays,
    shipped_bank_holidays,
)

from .published import case_id, deadline_cases


@pytest.mark.parametrize("case", deadline_cases(), ids=case_id)
def test_working_days_official_list_of_bank_holidays(case):
    # UK Government, bank holidays, official list 2012-2028 (see the head of the published file).
    start, expected = date.fromisoformat(case["start"]), date.fromisoformat(case["expected"])
    assert add_working_days(start, int(case["working_days"]), region=case["region"]) == expected


def test_the_one_off_day_in_scotland_names_its_proclamation():
    # Proclamation of 3 February 2026 under section 1(3), Banking and Financial Dealings Act 1971.
    holidays = shipped_bank_holidays().days
    day = next(h for h in holidays if h.day == date(2026, 6, 15))
    assert (day.region, "proclamation of 3 February 2026" in day.source) == ("SCT", True)
    assert add_working_days(date(2026, 6, 12), 1, region="SCT") == date(2026, 6, 16)
    assert add_working_days(date(2026, 6, 12), 1, region="ENG-WLS") == date(2026, 6, 15)


@pytest.mark.parametrize(
    ("region", "weekdays_closed"),
    # 8 in England and Wales, 10 in Northern Ireland; Scotland 9. Every holiday or its substitute falls on a
    # weekday: Banking and Financial Dealings Act 1971, schedule 1, with Christmas Day and Good Friday and, in
    # all three, the early May day by proclamation (count from memory).
    [("ENG-WLS", 8), ("SCT", 9), ("NIR", 10)],
)
def test_every_year_closes_as_many_weekdays_banking_and_financial_dealings_act_1971(region, weekdays_closed):
    days = [day for day in shipped_bank_holidays().closed(region) if day.weekday() < 5]
    for year in range(2024, 2031):
        extra = 1 if (region, year) == ("SCT", 2026) else 0
        assert len([day for day in days if day.year == year]) == weekdays_closed + extra, year


@pytest.mark.parametrize("start", [date(2026, 4, 3), date(2026, 4, 4), date(2026, 4, 5), date(2026, 4, 6)])
def test_starting_on_a_closed_day_changes_nothing_common_practice(start):
    # Good Friday to Easter Monday 2026; common practice, no source.
    assert add_working_days(start, 1, region="ENG-WLS") == date(2026, 4, 7)


def test_no_working_day_later_is_the_day_itself():
    assert add_working_days(date(2026, 4, 5), 0, region="NIR") == date(2026, 4, 5)


def test_the_centre_closes_and_opens_days_of_its_own():
    monday, saturday = date(2026, 11, 23), date(2026, 11, 28)
    closed = [date(2026, 11, 24), date(2026, 11, 25)]
    assert add_working_days(monday, 1, region="ENG-WLS", extra_closed=closed) == date(2026, 11, 26)
    assert add_working_days(date(2026, 11, 27), 1, region="ENG-WLS", extra_open=[saturday]) == saturday


@pytest.mark.parametrize("n", [-1, 1001, 10**9, True])
def test_a_number_of_days_out_of_range_is_refused(n):
    with pytest.raises(DeadlineError, match="0 to 1000 working days"):
        add_working_days(date(2026, 1, 1), n, region="SCT")


@pytest.mark.parametrize(
    ("start", "n"),
    [(date(2030, 12, 20), 15), (date(2022, 5, 1), 3), (date.max, 1), (date(2026, 1, 1), 1000 + 400)],
)
def test_years_the_list_does_not_cover_are_not_guessed(start, n):
    with pytest.raises(DeadlineError):
        add_working_days(start, n, region="ENG-WLS")


def test_leaving_the_list_says_which_years_it_covers():
    with pytest.raises(DeadlineError, match="covers 2024 to 2030, and the count reaches 2031"):
        add_working_days(date(2030, 12, 20), 15, region="ENG-WLS")


def test_an_unknown_region_is_refused_with_those_that_are_known():
    with pytest.raises(DeadlineError, match=r"“GB” is not a region.*ENG-WLS .England and Wales."):
        add_working_days(date(2026, 1, 1), 1, region="GB")


def test_a_day_cannot_be_open_and_closed():
    day = date(2026, 6, 1)
    with pytest.raises(DeadlineError, match="01 June 2026 is set as both"):
        add_working_days(day, 1, region="SCT", extra_closed={day}, extra_open={day})


def test_another_list_can_be_used_and_says_its_date():
    text = (
        "# a note\ndate,region,name,list_dated,source\n"
        "2026-06-02,SCT,Lab day,2026-05-01,invented\n2027-06-02,SCT,Lab day,2026-05-01,invented\n"
    )
    holidays = read_bank_holidays(text)
    assert add_working_days(date(2026, 6, 1), 1, region="SCT", holidays_data=holidays) == date(2026, 6, 3)
    assert closing_names(date(2026, 6, 2), region="SCT", holidays_data=holidays) == ("Lab day",)
    assert holidays.statement("SCT") == (
        "Counted with the bank holidays of Scotland, list of 1 May 2026, which covers 2026 to 2027."
    )
    with pytest.raises(DeadlineError, match="no day for Northern Ireland"):
        holidays.closed("NIR")


HEADER = "date,region,name,list_dated,source\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "lacks the column"),
        ("date,region,name,source\n2026-01-01,SCT,a,b\n", "lacks the column list_dated"),
        ("# note\n" + HEADER + "1/1/2026,SCT,a,2026-01-01,b\n", "Line 3 .* no readable date"),
        (HEADER + "2026-01-01,SCT\n", "Line 2 .* lacks a region"),
        (HEADER + "2026-01-01,SCT,a,,b\n", "Line 2 .* no readable date"),
    ],
)
def test_a_list_that_cannot_be_read_is_refused_with_the_line(text, message):
    with pytest.raises(DeadlineError, match=message):
        read_bank_holidays(text)


@pytest.mark.parametrize(
    ("day", "zone", "expected"),
    [
        # United Kingdom: UTC in winter, one hour ahead in summer; clocks change on the last Sundays of March
        # and October (29 March and 25 October 2026). IANA time zone database.
        (date(2026, 1, 15), "Europe/London", datetime(2026, 1, 15, 23, 59, tzinfo=UTC)),
        (date(2026, 7, 15), "Europe/London", datetime(2026, 7, 15, 22, 59, tzinfo=UTC)),
        (date(2026, 3, 28), "Europe/London", datetime(2026, 3, 28, 23, 59, tzinfo=UTC)),
        (date(2026, 3, 29), "Europe/London", datetime(2026, 3, 29, 22, 59, tzinfo=UTC)),
        (date(2026, 10, 24), "Europe/London", datetime(2026, 10, 24, 22, 59, tzinfo=UTC)),
        (date(2026, 10, 25), "Europe/London", datetime(2026, 10, 25, 23, 59, tzinfo=UTC)),
        # Paraguay put its clocks back at midnight on 24 March 2024: 23:59 came twice on 23 March.
        (date(2024, 3, 23), "America/Asuncion", datetime(2024, 3, 24, 3, 59, tzinfo=UTC)),
    ],
)
def test_the_deadline_is_a_minute_to_midnight_on_the_centres_clock_iana(day, zone, expected):
    assert deadline_moment(day, zone) == expected


@pytest.mark.parametrize("zone", ["", "Mars/Olympus", "../etc/passwd", "Europe/Lon don", "\0"])
def test_an_unknown_zone_is_refused(zone):
    with pytest.raises(DeadlineError, match="is not a known time zone"):
        deadline_moment(date(2026, 1, 1), zone)


def test_the_last_day_of_all_is_too_far_away():
    with pytest.raises(DeadlineError, match="too far away"):
        deadline_moment(date.max, "America/New_York")


DAYS = st.dates(date(2024, 1, 1), date(2028, 12, 31))


@given(DAYS, st.integers(1, 100), st.sampled_from(sorted(REGIONS)))
def test_a_deadline_is_a_working_day_and_days_add_up(start, n, region):
    due = add_working_days(start, n, region=region)
    assert due.weekday() < 5
    assert not closing_names(due, region=region)
    assert due >= start + timedelta(days=n)
    assert add_working_days(add_working_days(start, n - 1, region=region), 1, region=region) == due


@given(DAYS, st.integers(1, 40), st.sets(DAYS, max_size=20))
def test_closing_more_days_never_brings_a_deadline_forward(start, n, closed):
    plain = add_working_days(start, n, region="NIR")
    assert add_working_days(start, n, region="NIR", extra_closed=closed) >= plain
