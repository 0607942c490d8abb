"""The order list of the coming fortnight: what is asked for, less what stands on the shelf in date."""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from reagents.actions.take_from_container import as_held
from reagents.calculations.prep_plan import plan_for
from reagents.calculations.preparation import Measure, PrepPlan
from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock_need import Need, OrderLine, order_list
from reagents.documents.prep_groups import local, monday_of, standing, to_make, weeks
from reagents.documents.prep_list import wanted_of
from reagents.models import Container, Requisition

FORTNIGHT = timedelta(days=14)
_HEAD = (
    "substance",
    "order at least",
    "unit",
    "needed",
    "in date on the shelf",
    "expired on the shelf",
    "short from",
    "for",
    "remarks",
)


@dataclass(frozen=True)
class Order:
    """What is short, what the shelf covers, and what could not be worked out."""

    first: date
    last: date
    requisitions: int
    short: tuple[OrderLine, ...]
    enough: tuple[OrderLine, ...]
    unknown: tuple[str, ...]


def order_of(now: datetime) -> Order:
    """The order list from today to the fourteenth day."""
    today = timezone.localtime(now).date()
    zone = timezone.get_current_timezone()
    # From Monday on: a batch made then may serve the rest of the week.
    start, end = (
        datetime.combine(day, time.min, tzinfo=zone) for day in (monday_of(today), today + FORTNIGHT)
    )
    asked = standing(Requisition.objects.for_prep().needed_between(start, end))
    needs, unknown = needs_of(asked, today)
    held = [as_held(one) for one in Container.objects.on_the_shelf()]
    lines = order_list(needs, held, day=today)
    return Order(
        first=today,
        last=today + FORTNIGHT - timedelta(days=1),
        requisitions=sum(timezone.localtime(one.needed_at).date() >= today for one in asked),
        short=tuple(line for line in lines if line.short),
        enough=tuple(line for line in lines if not line.short),
        unknown=tuple(unknown),
    )


def needs_of(requisitions: Iterable[Requisition], today: date) -> tuple[list[Need], list[str]]:
    """What the liquids that are still to be made take of each substance, and what cannot be reckoned."""
    needs, unknown = [], []
    for all_lines in (lines for week in weeks(requisitions) for lines in to_make(week)):
        lines = [line for line in all_lines if local(line).date() >= today]
        if not lines:
            continue
        day, plan = local(lines[0]).date(), plan_for(wanted_of(lines))
        if not plan.measures:
            unknown.append(f"{plan.wanted.title}: what to measure cannot be worked out.")
        # What a stock is made of is needed; the stock itself is not on the shelf.
        for measure in (one for made in (plan, *plan.stocks) for one in made.measures if not one.from_stock):
            if measure.wanted is None:
                unknown.append(
                    f"{measure.substance}, for {plan.wanted.title}: its molar mass is not known here."
                )
            else:
                needs.append(Need(measure.substance, measure.unit, measure.wanted, day, plan.wanted.title))
    return needs, list(dict.fromkeys(unknown))


def _bought(plan: PrepPlan) -> Iterator[Measure]:
    """What is taken from bottles, for a liquid and for the stocks that are made first; not the stocks."""
    for one in (plan, *plan.stocks):
        made_here = {part.key for part in one.wanted.parts if part.made_from}
        yield from (measure for measure in one.measures if measure.key not in made_here)


def order_csv(order: Order) -> bytes:
    """The list for a spreadsheet, in UTF-8 with the mark by which spreadsheets know it."""
    file = io.StringIO()
    csv.writer(file).writerows([_HEAD, *_rows(order)])
    return file.getvalue().encode("utf-8-sig")


def _rows(order: Order) -> Iterator[tuple[str, ...]]:
    for line in order.short:
        yield (
            _unharmed(line.substance),
            f"{line.to_order:f}",
            line.unit,
            *(_figure(value) for value in (line.needed, line.usable, line.expired)),
            f"{line.short_from:%Y-%m-%d}" if line.short_from else "",
            _unharmed("; ".join(line.liquids)),
            _unharmed(" ".join(line.remarks)),
        )


def _figure(value: object) -> str:
    return format_quantity(value, "").replace("\u2212", "-")  # type: ignore[arg-type]


def _unharmed(text: str) -> str:
    """A text that a spreadsheet would take for a formula gets an apostrophe before it."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
