"""What the shelf's pages show, read in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.shortcuts import get_object_or_404

from reagents.actions.take_from_container import as_held
from reagents.calculations.stock import condition, short_lived
from reagents.calculations.storage import Clash, Stored, clashes, misplaced
from reagents.models import Container

MOST_GONE = 200  # the latest; older ones are found through their batches
#: The word of each condition and the class of its mark.
MARKS = {
    "empty": "closed",
    "expired": "doubt",
    "ends soon": "waiting",
    "in date": "done",
    "no date": "open",
}


@dataclass(frozen=True)
class Bottle:
    """One container as the shelf shows it."""

    container: Container
    word: str
    remarks: tuple[str, ...]

    @property
    def mark(self) -> str:
        return MARKS.get(self.word, "closed")


@dataclass(frozen=True)
class Group:
    """Bottles of one substance, or in one place."""

    title: str
    bottles: tuple[Bottle, ...]


@dataclass(frozen=True)
class Shelf:
    groups: tuple[Group, ...]
    clashes: tuple[Clash, ...]
    expired: tuple[Bottle, ...]
    ends_soon: tuple[Bottle, ...]


def shelf_of(*, day: date, by_place: bool, gone: bool) -> Shelf:
    """The whole shelf; `gone` shows what was used up or discarded instead."""
    if gone:
        used_up = Q(discarded_at__isnull=False) | Q(remaining=0)
        containers = list(Container.objects.filter(used_up).order_by("-received_on", "id")[:MOST_GONE])
    else:
        containers = list(Container.objects.on_the_shelf())
    bottles = [bottle(one, day=day) for one in containers]
    return Shelf(
        groups=tuple(_groups(bottles, by_place)),
        clashes=() if gone else clashes(Stored(c.substance, c.place, c.storage) for c in containers),
        expired=tuple(one for one in bottles if one.word == "expired"),
        ends_soon=tuple(one for one in bottles if one.word == "ends soon"),
    )


def bottle(container: Container, *, day: date) -> Bottle:
    """One container with its condition and what is wrong with it, in words."""
    if container.discarded_at:
        return Bottle(container, "discarded", ())
    said = list(misplaced(container.substance, container.storage))
    spoils = short_lived(container.substance)
    if spoils and container.expires_on is None:
        said.append(f"It must carry a date: {spoils.why}.")
    return Bottle(container, condition(as_held(container), day=day), tuple(said))


def _groups(bottles: list[Bottle], by_place: bool) -> Iterable[Group]:
    def title(one: Bottle) -> str:
        return one.container.place if by_place else one.container.substance

    ordered = sorted(bottles, key=lambda one: (title(one).casefold(), one.container.substance.casefold()))
    for _, alike in groupby(ordered, key=lambda one: title(one).casefold()):
        together = tuple(alike)
        yield Group(title(together[0]), together)


def container_or_404(uuid: UUID) -> Any:
    return get_object_or_404(Container, uuid=uuid)
