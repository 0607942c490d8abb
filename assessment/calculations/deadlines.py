"""Deadlines in working days, by the bank holidays of a region and the calendar of the centre.

Three layers close a day: the weekend, the bank holidays of the region, the days the centre adds. The
day of the event is day 0, so starting on a closed day changes nothing.
"""

import csv
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

REGIONS = {"ENG-WLS": "England and Wales", "SCT": "Scotland", "NIR": "Northern Ireland"}
LAST_MINUTE = time(23, 59)
MOST_WORKING_DAYS = 1000

_SHIPPED = Path(__file__).resolve().parent.parent / "data" / "bank_holidays.csv"
_SATURDAY = 5


class DeadlineError(ValueError):
    """A deadline that cannot be counted; the message says why and what to do."""


@dataclass(frozen=True)
class BankHoliday:
    """One bank holiday in one region, with the date and origin of the list it was taken from."""

    day: date
    region: str
    name: str
    list_dated: date
    source: str


@dataclass(frozen=True)
class BankHolidays:
    """A list of bank holidays; it vouches for whole years, the first to the last of each region."""

    days: tuple[BankHoliday, ...]

    def closed(self, region: str) -> frozenset[date]:
        """Return the bank holidays of one region.

        Parameters
        ----------
        region : str
            A key of `REGIONS`.

        Returns
        -------
        frozenset of date
            The days.

        Raises
        ------
        DeadlineError
            If the region is unknown or the list has no day for it.

        References
        ----------
        Banking and Financial Dealings Act 1971, section 1 and schedule 1 (the days differ by country).
        """
        if region not in REGIONS:
            known = ", ".join(f"{key} ({name})" for key, name in REGIONS.items())
            raise DeadlineError(
                f"“{region}” is not a region with a list of bank holidays. Use one of {known}."
            )
        days = frozenset(holiday.day for holiday in self.days if holiday.region == region)
        if not days:
            raise DeadlineError(
                f"The list of bank holidays has no day for {REGIONS[region]}. Load a fuller list."
            )
        return days

    def statement(self, region: str) -> str:
        """Say which list a deadline was counted with.

        Parameters
        ----------
        region : str
            A key of `REGIONS`.

        Returns
        -------
        str
            A sentence with the region, the date of the list and the years it covers.

        Raises
        ------
        DeadlineError
            If the region is unknown or the list has no day for it.

        References
        ----------
        Common practice, no source: a bundled list goes stale, so its date is shown.
        """
        days = self.closed(region)
        dated = max(holiday.list_dated for holiday in self.days if holiday.region == region)
        return (
            f"Counted with the bank holidays of {REGIONS[region]}, list of {dated.day} {dated:%B %Y}, "
            f"which covers {min(days).year} to {max(days).year}."
        )


def read_bank_holidays(text: str) -> BankHolidays:
    """Read a list of bank holidays.

    Parameters
    ----------
    text : str
        CSV with the columns date, region, name, list_dated, source; dates as YYYY-MM-DD. Lines that
        begin with # are notes.

    Returns
    -------
    BankHolidays
        The list.

    Raises
    ------
    DeadlineError
        If a column is absent or a date is not a date; the message gives the line.

    References
    ----------
    Dates: ISO 8601. The columns are this project's own.
    """
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if _is_row(line)]
    rows = csv.DictReader(line for _, line in lines)
    wanted = {"date", "region", "name", "list_dated", "source"}
    absent = sorted(wanted - set(rows.fieldnames or ()))
    if absent:
        raise DeadlineError(f"The list of bank holidays lacks the column {', '.join(absent)}.")
    return BankHolidays(tuple(_holiday(row, lines[rows.line_num - 1][0]) for row in rows))


@cache
def shipped_bank_holidays() -> BankHolidays:
    """Return the list that comes with the program.

    Returns
    -------
    BankHolidays
        The days of ``assessment/data/bank_holidays.csv``.

    References
    ----------
    The head of that file says how it was made.
    """
    return read_bank_holidays(_SHIPPED.read_text(encoding="utf-8"))


def closing_names(day: date, *, region: str, holidays_data: BankHolidays | None = None) -> tuple[str, ...]:
    """Name the bank holidays that fall on a day.

    Parameters
    ----------
    day : date
        The day.
    region : str
        A key of `REGIONS`.
    holidays_data : BankHolidays, optional
        The list to use; by default the shipped one.

    Returns
    -------
    tuple of str
        Names; empty when the day is no bank holiday.

    References
    ----------
    The list says where each day comes from.
    """
    listed: Iterable[BankHoliday] = (holidays_data or shipped_bank_holidays()).days
    return tuple(holiday.name for holiday in listed if holiday.day == day and holiday.region == region)


def add_working_days(
    start: date,
    n: int,
    *,
    region: str,
    extra_closed: Collection[date] = frozenset(),
    extra_open: Collection[date] = frozenset(),
    holidays_data: BankHolidays | None = None,
) -> date:
    """Return the n-th working day after a day.

    Parameters
    ----------
    start : date
        The day of the event, day 0; it may itself be closed.
    n : int
        Working days to add, 0 to 1000 [-]. 0 gives the day of the event itself.
    region : str
        A key of `REGIONS`.
    extra_closed : collection of date
        Days the centre adds as closed: a proclaimed one-off day, or vacations if its policy counts
        term time only.
    extra_open : collection of date
        Days the centre works although they are a weekend or bank holiday.
    holidays_data : BankHolidays, optional
        The list to use; by default the shipped one.

    Returns
    -------
    date
        The n-th working day.

    Raises
    ------
    DeadlineError
        If n is out of range, the region is unknown, a day is both closed and open, or the count leaves
        the years that the list covers.

    References
    ----------
    Banking and Financial Dealings Act 1971, section 1 and schedule 1; statutory definitions of "working
    day" (weekend and bank holidays left out, the day of the event not counted), read side by side.
    """
    if isinstance(n, bool) or not 0 <= n <= MOST_WORKING_DAYS:
        raise DeadlineError(
            f"A deadline can be 0 to {MOST_WORKING_DAYS} working days away, not {n}. "
            "Give a number in that range."
        )
    clash = sorted(set(extra_closed) & set(extra_open))
    if clash:
        raise DeadlineError(f"{clash[0]:%d %B %Y} is set as both open and closed. Remove one of the two.")
    bank_days = (holidays_data or shipped_bank_holidays()).closed(region)
    closed = (bank_days | set(extra_closed)) - set(extra_open)
    first, last = min(bank_days).year, max(bank_days).year
    day, left = start, n
    while left:
        if day == date.max:
            raise _outside(day, region, first, last)
        day += timedelta(days=1)
        if not first <= day.year <= last:
            raise _outside(day, region, first, last)
        if day in extra_open or (day.weekday() < _SATURDAY and day not in closed):
            left -= 1
    return day


def deadline_moment(day: date, tz: str) -> datetime:
    """Return the moment a deadline passes: 23:59 on its day.

    Parameters
    ----------
    day : date
        The last day.
    tz : str
        Time zone of the centre by its IANA name, such as Europe/London.

    Returns
    -------
    datetime
        23:59 on that day in that zone, as an aware moment in UTC. Where the clock shows 23:59 twice or
        skips it, the later reading is taken, in the learner's favour.

    Raises
    ------
    DeadlineError
        If the zone is unknown.

    References
    ----------
    IANA time zone database; repeated and skipped local times as in PEP 495.
    """
    try:
        zone = ZoneInfo(tz)
    except (KeyError, ValueError, OSError) as error:
        raise DeadlineError(f"“{tz}” is not a known time zone. Use a name such as Europe/London.") from error
    local = datetime.combine(day, LAST_MINUTE, tzinfo=zone)
    try:
        return max(local.replace(fold=fold).astimezone(UTC) for fold in (0, 1))
    except OverflowError as error:
        raise DeadlineError(f"{day} is too far away for a deadline. Check the year.") from error


def _is_row(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _holiday(row: dict[str, str], number: int) -> BankHoliday:
    if any(not row[column] for column in ("region", "name", "source")):
        raise DeadlineError(f"Line {number} of the list of bank holidays lacks a region, a name or a source.")
    try:
        return BankHoliday(
            date.fromisoformat(row["date"]),
            row["region"],
            row["name"],
            date.fromisoformat(row["list_dated"]),
            row["source"],
        )
    except (TypeError, ValueError) as error:
        raise DeadlineError(
            f"Line {number} of the list of bank holidays has no readable date. Write dates as 2026-12-25."
        ) from error


def _outside(day: date, region: str, first: int, last: int) -> DeadlineError:
    return DeadlineError(
        f"The list of bank holidays of {REGIONS[region]} covers {first} to {last}, "
        f"and the count reaches {day.year}. Load a newer list, or choose another date."
    )
