"""The prep list of one requisition, a day or a week, for page and paper. It names staff, never a class."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from reagents.actions.take_from_container import as_held
from reagents.calculations.prep_order import (
    bench_of,
    fill_at,
    filling_rule,
    minutes_for,
    rule,
    said_minutes,
    time_rule,
)
from reagents.calculations.prep_plan import plan_for, stocks_first
from reagents.calculations.preparation import (
    Filling,
    PrepPlan,
    Wanted,
)
from reagents.calculations.recipe_tree import substances_of
from reagents.calculations.stock import Held
from reagents.documents.prep_groups import Group, group_of_each, in_use, local, state
from reagents.documents.prep_listed import (
    Destination,
    ListedLiquid,
    MadeBatch,
    PrepList,
    Step,
)
from reagents.documents.prep_measures import (
    bottles_for,
    box_of,
    by_name,
    by_the_bottle,
    measuring_of,
    steps_for,
)
from reagents.documents.prep_rooms import asked_of, plain, rooms_of
from reagents.models import Container, PrepTick, Recipe, Requisition, RequisitionLine
from reagents.rendering import render_pdf


def prep_list(
    requisitions: Sequence[Requisition],
    *,
    title: str,
    around: Iterable[Requisition] | None = None,
    shelf: Sequence[Container] = (),
    ticks: Iterable[PrepTick] = (),
) -> PrepList:
    """Combine requisitions (read with `for_prep`) into what is made together, in the order of making.

    `around` is all that is asked for in that week, and says what else a batch serves; `shelf` says from which
    bottle each part is taken, `ticks` which boxes are ticked.
    """
    groups = group_of_each(requisitions if around is None else around)
    parts = list(_parts(requisitions, groups))
    held, bottles = by_name(as_held(one) for one in shelf), {one.pk: one for one in shelf}
    boxes, put_out = _ticked(ticks)
    liquids = [_liquid(lines, group, held, bottles, boxes) for lines, group in parts]
    liquids.sort(key=_turn)
    numbered = _said_once(replace(one, number=number) for number, one in enumerate(liquids, start=1))
    hazards = {one.substance: one for liquid in numbered for one in liquid.plan.hazards}
    lay_out = int(rule("laying_out")) * len(requisitions)
    return PrepList(
        title=title,
        requisitions=tuple(asked_of(one) for one in requisitions),
        liquids=numbered,
        rooms=rooms_of(
            requisitions,
            {goes.line: one.number for one in numbered for goes in one.destinations},
            put_out,
        ),
        hazards=tuple(hazards.values()),
        stocks=stocks_first(liquid.plan for liquid in numbered),
        filling_rule=filling_rule()
        if any(goes.fill_at for one in numbered for goes in one.destinations)
        else "",
        time_rule=time_rule(),
        time=said_minutes(sum(liquid.minutes for liquid in numbered) + lay_out),
    )


def _parts(
    requisitions: Sequence[Requisition], groups: dict[UUID, Group]
) -> Iterator[tuple[list[RequisitionLine], Group]]:
    """The lines of this list that are made in one go, with all that is made together with them."""
    found: dict[tuple[Any, ...], list[RequisitionLine]] = {}
    for requisition in requisitions:
        for line in requisition.lines.all():
            line.requisition = requisition  # the same row: saves a query for each line
            group = groups.get(line.uuid)
            first = group.lines[0].uuid if group else line.uuid
            found.setdefault((line.recipe_id, line.label_code, first), []).append(line)
    for lines in found.values():
        yield lines, groups.get(lines[0].uuid) or Group(local(lines[0]).date(), tuple(lines))


def _turn(liquid: ListedLiquid) -> tuple[date, datetime, int]:
    """By the day of making, then by when it must be ready; what keeps longest first."""
    return liquid.day, liquid.ready_by, -(liquid.plan.wanted.shelf_life_hours or 0)


def _said_once(liquids: Iterable[ListedLiquid]) -> tuple[ListedLiquid, ...]:
    """Leave a caution out where an earlier liquid said it, and steps where one is made the same way."""
    said: dict[tuple[str, tuple[str, ...]], int] = {}
    made: dict[tuple[str, ...], int] = {}
    told: set[tuple[str, str]] = set()
    found = []
    for liquid in liquids:
        new, before = [], []
        for caution in liquid.plan.cautions:
            key = (caution.about, caution.sentences)
            if key in said:
                before.append((caution.about, said[key]))
            else:
                said[key] = liquid.number
                new.append(caution)
        way = _way_of_making(liquid.plan)
        alike = made.setdefault(way, liquid.number) if way else liquid.number
        found.append(
            replace(
                liquid,
                cautions=tuple(new),
                said_before=tuple(before),
                alike=alike if alike != liquid.number else None,
                way=way,
                remarks=tuple(_new_remarks(liquid, told)),
            )
        )
    return tuple(found)


def _new_remarks(liquid: ListedLiquid, told: set[tuple[str, str]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Remarks on each substance that no liquid before has had."""
    for measure, ours in zip(liquid.plan.measures, liquid.measures, strict=True):
        new = [said for said in measure.remarks if (measure.substance, said) not in told]
        told.update((measure.substance, said) for said in new)
        if new and ours.form_factor != 1:
            # The bottle is known, so its form is no question any more.
            new = [said for said in new if not said.startswith("Ask which form")]
            new.insert(0, by_the_bottle(ours))
        if new:
            yield ours.measure.substance, tuple(new)


def _way_of_making(plan: PrepPlan) -> tuple[str, ...]:
    """The steps without what differs from row to row: equal for solutions made in the very same way."""
    if not any(measure.fills_up for measure in plan.measures):
        return ()  # a mixture has its own ratio, and may have its own layers
    steps = list(plan.steps)
    for measure in plan.measures:
        if not measure.fills_up:
            steps = [
                step.replace(f"{measure.shown} of {measure.substance}", "what its row says") for step in steps
            ]
    return tuple(dict.fromkeys(steps))


def wanted_of(lines: Sequence[RequisitionLine]) -> Wanted:
    """The plain values of one liquid, for one line or for several of the same recipe."""
    recipe: Recipe = lines[0].recipe
    return Wanted(
        title=recipe.title,
        kind=recipe.kind,
        parts=recipe.wanted_parts(),
        fillings=tuple(_filling(line) for line in lines),
        cautions=tuple(str(caution) for caution in recipe.cautions),
        made_on_the_day=recipe.made_on_the_day,
        shelf_life_hours=recipe.shelf_life_hours,
        label_code=lines[0].label_code,
    )


def prep_list_pdf(made: PrepList, *, created: datetime, centre: Any = None) -> bytes:
    """The list on A4, with boxes to tick, places to initial and to write what was measured."""
    return render_pdf(
        "documents/prep_list/prep_list.html",
        {"list": made, "centre": centre},
        title=made.title,
        created=created,
    )


def day_title(day: date) -> str:
    return f"Prep list, {day:%a} {day.day} {day:%b %Y}"


def week_title(monday: date) -> str:
    return f"Prep list, week of {monday:%a} {monday.day} {monday:%b %Y}"


def _filling(line: RequisitionLine) -> Filling:
    return Filling(
        total_ml=line.total_ml,
        chambers=line.chambers,
        volume_per_chamber_ml=line.volume_per_chamber_ml,
        diameter_mm=line.chamber_diameter_mm,
        depth_mm=line.depth_mm,
        origin_height_mm=line.origin_height_mm,
        overage_percent=line.overage_percent,
    )


def _liquid(
    lines: list[RequisitionLine],
    group: Group,
    held: Mapping[str, list[Held]],
    bottles: dict[int, Container],
    boxes: Mapping[int, set[str]],
) -> ListedLiquid:
    now = state(lines, group.lines)
    recipe = lines[0].recipe
    plan = plan_for(wanted_of(lines))
    taken = bottles_for(plan, group.day, held, bottles)
    destinations = tuple(sorted((_destination(line) for line in lines), key=lambda goes: goes.needed_at))
    to_record = next((line for line in lines if not in_use(line)), lines[0])
    ticked = {box: line for line in group.lines for box in boxes.get(line.pk, ())}
    return ListedLiquid(
        number=0,
        title=recipe.title,
        kind=recipe.kind,
        label_code=lines[0].label_code,
        plan=plan,
        destinations=destinations,
        batches=_batches(group.lines if now == "covered" else lines),
        state="covered for days" if now == "covered" and group.several_days else now,
        line=to_record.uuid,
        day=group.day,
        ready_by=min(goes.fill_at or goes.needed_at for goes in destinations),
        bench=bench_of(
            substances_of(plan.wanted.parts),
            weighed={measure.substance for measure in plan.measures if measure.unit == "g"},
        ),
        minutes=_minutes(plan, destinations),
        span=_span(group),
        measures=tuple(
            measuring_of(one, lines[0], ticked, taken.get(one.key), bool(held)) for one in plan.measures
        ),
        steps=tuple(
            Step(text, box_of(lines[0], f"step {place}", ticked))
            for place, text in enumerate(steps_for(plan, taken), start=1)
        ),
    )


def _ticked(ticks: Iterable[PrepTick]) -> tuple[dict[int, set[str]], set[int]]:
    """Boxes that are ticked, by the key of their line; and the items that are put out."""
    boxes: dict[int, set[str]] = {}
    put_out = set()
    for tick in ticks:
        if tick.line_id is not None:
            boxes.setdefault(tick.line_id, set()).add(tick.box)
        elif tick.item_id is not None:
            put_out.add(tick.item_id)
    return boxes, put_out


def _minutes(plan: PrepPlan, destinations: Iterable[Destination]) -> int:
    return minutes_for(
        volumes=sum(measure.unit == "mL" for measure in plan.measures),
        masses=sum(measure.unit == "g" for measure in plan.measures),
        chambers=sum(goes.chambers or 0 for goes in destinations),
    )


def _span(group: Group) -> str:
    """Which days one batch serves, where it is more than one."""
    if not group.several_days:
        return ""
    first, last = local(group.lines[0]), local(group.lines[-1])
    return f"One batch serves {first:%a} {first.day} {first:%b} to {last:%a} {last.day} {last:%b}."


def _batches(lines: Iterable[RequisitionLine]) -> tuple[MadeBatch, ...]:
    return tuple(
        MadeBatch(batch.uuid, batch.code, batch.made_at, batch.total_ml, bool(batch.recalled_at))
        for line in lines
        for batch in line.batches.all()
    )


def _destination(line: RequisitionLine) -> Destination:
    requisition = line.requisition
    return Destination(
        requisition=requisition.uuid,
        line=line.uuid,
        title=requisition.title,
        room=requisition.room,
        needed_at=requisition.needed_at,
        total_ml=line.total_ml,
        chambers=line.chambers,
        fill_at=fill_at(requisition.needed_at) if line.chambers else None,
        needed=f"{local(line):%a %H:%M}",
        fill=f"{fill_at(local(line)):%H:%M}" if line.chambers else "not in chambers",
        volume=plain(line.total_ml),
    )
