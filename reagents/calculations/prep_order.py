"""When each liquid is made, what is made together, and when chambers are filled."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from itertools import pairwise

from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import known_substance
from reagents.calculations.tables import rows

KEEPS = timedelta(hours=48)  # what keeps less is made on the day it is needed: common practice, no source
MADE_AT = time(12, 0)  # midday of the day of making: shelf life is counted from there
SATURDAY = 5
FUME_CUPBOARD, BALANCE = "At the fume cupboard", "At the balance"
_FUME = {"H224", "H225", "H226", "H314", "H330", "H331", "H332", "H334", "H335", "H336"}
FRESH_EACH_TIME = (
    "One filling does not serve the next class: while the lids are off, the more volatile part is lost, and "
    "papers take liquid up, so the ratio drifts and the two classes could not be compared. The volume counts "
    "a fresh filling for each (common practice, no source)."
)


@dataclass(frozen=True)
class MadeTogether:
    """What one batch covers: the day it is made, and which needs by their place."""

    day: date
    needs: tuple[int, ...]


@dataclass(frozen=True)
class Running:
    """One class's run of a liquid in a room: when its chambers are wanted, and how many."""

    at: datetime
    chambers: int


def rule(name: str) -> Decimal:
    """A figure of the shipped rules for preparing.

    Parameters
    ----------
    name : str
        Such as "saturation" [-].

    Returns
    -------
    Decimal
        The figure [min or %].

    Raises
    ------
    KeyError
        When there is no rule of that name.

    References
    ----------
    .. [1] `reagents/data/preparing.csv`, each row with its source or "common practice".
    """
    for row in rows("preparing"):
        if row["name"] == name:
            return Decimal(row["value"])
    raise KeyError(name)


def made_together(
    needs: Sequence[datetime], *, shelf_life_hours: int | None, made_on_the_day: bool = False
) -> tuple[MadeTogether, ...]:
    """Put the needs of one liquid into as few batches as its shelf life allows.

    What keeps for two days or more is made on the last working day before it is first needed, as long as it
    reaches that far, and serves all needs until it ends. What keeps for less, or has no shelf life stated, is
    made on the day, for that day.

    Parameters
    ----------
    needs : sequence of datetime
        When each is needed, in local time [-].
    shelf_life_hours : int or None
        By the recipe [h].
    made_on_the_day : bool, optional
        Whether the recipe says so [-].

    Returns
    -------
    tuple of MadeTogether
        In the order of making.

    References
    ----------
    .. [1] Butanol mixtures are made on the day (`baw_fresh` in SOURCES.csv); the rest is common practice, no
       source.
    """
    order = sorted(range(len(needs)), key=lambda place: needs[place])
    found: list[MadeTogether] = []
    while order:
        first = needs[order[0]]
        day, ends = _making(first, shelf_life_hours, made_on_the_day)
        within = [place for place in order if needs[place] <= ends]
        found.append(MadeTogether(day, tuple(within)))
        order = [place for place in order if needs[place] > ends]
    return tuple(found)


def _making(first: datetime, hours: int | None, made_on_the_day: bool) -> tuple[date, datetime]:
    """Day of making and the last moment that it serves."""
    end_of_day = datetime.combine(first.date(), time.max, tzinfo=first.tzinfo)
    keeps = timedelta(hours=hours or 0)
    if made_on_the_day or keeps < KEEPS:
        return first.date(), end_of_day
    before = _working_day_before(first.date())
    ends = datetime.combine(before, MADE_AT, tzinfo=first.tzinfo) + keeps
    if ends >= first:
        return before, ends
    return first.date(), max(end_of_day, first + keeps)


def _working_day_before(day: date) -> date:
    """The last weekday before; holidays are not known here."""
    day -= timedelta(days=1)
    while day.weekday() >= SATURDAY:
        day -= timedelta(days=1)
    return day


def fill_at(wanted: datetime) -> datetime:
    """When chambers are filled, so that their air is saturated when the paper goes in.

    Parameters
    ----------
    wanted : datetime
        When they are needed [-].

    Returns
    -------
    datetime
        30 min earlier.

    References
    ----------
    .. [1] 10 min read (`chamber_10min` in SOURCES.csv), 15 to 90 min in use: common practice, no source. A
       practical that says how long goes before this.
    """
    return wanted - timedelta(minutes=int(rule("saturation")))


def filling_rule() -> str:
    """The rule behind `fill_at`, in a sentence.

    Returns
    -------
    str
        With the range in use and where it comes from.

    References
    ----------
    .. [1] `reagents/data/preparing.csv`.
    """
    usual, least, most = (rule(name) for name in ("saturation", "saturation_least", "saturation_most"))
    return (
        f"Chambers are filled and closed {usual} min before they are needed, so that their air is saturated: "
        f"{least} min was read, up to {most} min is common practice. Where the practical says how long, that "
        "goes before."
    )


def between_classes(runs: Sequence[Running]) -> tuple[str, ...]:
    """Whether one filling serves classes that follow each other in a room, and how long the change takes.

    Parameters
    ----------
    runs : sequence of Running
        The runs of one liquid in one room on one day [-].

    Returns
    -------
    tuple of str
        Nothing for a single run; else the rule, and for each pair how much time there is.

    References
    ----------
    .. [1] Fresh liquid for each run, since the volatile part is lost and the ratio drifts: common practice,
       no source.
    """
    ordered = sorted(runs, key=lambda run: run.at)
    if len(ordered) < 2:
        return ()
    said = [FRESH_EACH_TIME]
    for one, other in pairwise(ordered):
        gap = other.at - one.at
        change = timedelta(minutes=int(rule("saturation") + other.chambers * rule("chamber")))
        times = f"{one.at:%H:%M} and {other.at:%H:%M}"
        shown = format_quantity(Decimal(change // timedelta(minutes=1)), "min")
        if gap < change:
            said.append(
                f"Between {times} the same chambers cannot be changed: that takes {shown}. "
                "Put out a second set."
            )
        else:
            said.append(
                f"Between {times}: empty, wipe and refill the chambers, or put out a second set; {shown}."
            )
    return tuple(said)


def bench_of(names: Iterable[str], *, weighed: Collection[str] = ()) -> str:
    """Where a liquid is made: in the fume cupboard, or at the balance.

    Parameters
    ----------
    names : iterable of str
        Its substances [-].
    weighed : collection of str, optional
        Those that are solids [-].

    Returns
    -------
    str
        The fume cupboard for what is flammable, corrosive or bad to breathe, and for a liquid not known here.

    References
    ----------
    .. [1] H codes in `reagents/data/substances.csv`; that these go into the fume cupboard is common practice,
       no source, and the risk assessment may ask it of others too.
    """
    for name in names:
        known = known_substance(name)
        if known is None and name not in weighed:
            return FUME_CUPBOARD
        if known is not None and set(known.hazard_codes) & _FUME:
            return FUME_CUPBOARD
    return BALANCE


def minutes_for(*, volumes: int, masses: int, chambers: int) -> int:
    """Time that one liquid takes, as an estimate.

    Parameters
    ----------
    volumes, masses : int
        How many parts are measured and weighed [-].
    chambers : int
        How many chambers are filled with it [-].

    Returns
    -------
    int
        Estimate [min].

    References
    ----------
    .. [1] 10 min each, 3 for a volume, 5 for a weighing, 10 to dissolve and fill up, 2 for a chamber: common
       practice, no source (`reagents/data/preparing.csv`).
    """
    minutes = rule("liquid") + volumes * rule("volume") + masses * rule("mass") + chambers * rule("chamber")
    return int(minutes + (rule("dissolving") if masses else 0))


def time_rule() -> str:
    """The rule behind `minutes_for`, in a sentence.

    Returns
    -------
    str
        That it is an estimate, and of what.

    References
    ----------
    .. [1] `reagents/data/preparing.csv`.
    """
    return (
        f"An estimate, common practice without a source: {rule('liquid')} min for each liquid, "
        f"{rule('volume')} for a volume, {rule('mass')} for a weighing, {rule('dissolving')} to dissolve and "
        f"fill up, {rule('chamber')} for a chamber, {rule('laying_out')} to lay out each requisition."
    )


def said_minutes(minutes: int) -> str:
    """A time as one says it, to five minutes.

    Parameters
    ----------
    minutes : int
        So many [min].

    Returns
    -------
    str
        Such as "about 1 h 35 min".

    References
    ----------
    No formula.
    """
    rounded = max(5, 5 * ((minutes + 2) // 5))
    hours, rest = divmod(rounded, 60)
    parts = ([f"{hours}\u00a0h"] if hours else []) + ([f"{rest}\u00a0min"] if rest else [])
    return f"about {' '.join(parts)}"
