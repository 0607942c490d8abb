"""The demo's shelf: one bottle past its date, one that ends soon, one that holds too little."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from practicals.models import User
from reagents.actions.receive_container import Delivery, receive_container
from reagents.actions.take_from_container import as_held
from reagents.calculations.stock import proposed
from reagents.models import Container


@dataclass(frozen=True)
class Bottle:
    """A bottle of the demo; `ends` is in days from the day on which the demo is loaded."""

    substance: str
    amount: str
    unit: str
    place: str
    storage: str
    ends: int | None = None
    strength: str = ""
    form: str = ""


SOLVENTS, ACIDS, DRY, COLD = "Solvent cupboard", "Acid tray", "Dry store, shelf 2", "Cold store"
BOTTLES = (
    Bottle("butan-1-ol", "2500", "mL", SOLVENTS, "flammable", 400),
    Bottle("ethanol", "2500", "mL", SOLVENTS, "flammable", 500),
    Bottle("propanone", "1000", "mL", SOLVENTS, "flammable", 200),
    Bottle("ethanoic acid", "1000", "mL", ACIDS, "acid", 300, strength="99.7 % w/w"),
    Bottle("ninhydrin", "10", "g", COLD, "cold", 9),
    Bottle("aspartame", "25", "g", COLD, "cold", -6),
    Bottle("glycine", "100", "g", DRY, "general"),
    Bottle("L-alanine", "25", "g", DRY, "general"),
    Bottle("L-leucine", "25", "g", DRY, "general"),
    Bottle("L-lysine", "25", "g", DRY, "general", form="hydrochloride"),
    Bottle("L-proline", "25", "g", DRY, "general"),
    Bottle("sodium chloride", "500", "g", DRY, "general"),
    Bottle("Tartrazine", "5", "g", DRY, "general"),
    Bottle("Sunset Yellow FCF", "5", "g", DRY, "general"),
    Bottle("Allura Red AC", "5", "g", DRY, "general"),
    Bottle("Erythrosine", "5", "g", DRY, "general"),
    # Too little for the food dyes that are planned: it stands on the order list.
    Bottle("Brilliant Blue FCF", "0.02", "g", DRY, "general"),
    Bottle("Indigotine", "5", "g", DRY, "general"),
    # Put down where it should not stand: the shelf says so.
    Bottle("ammonia solution 35 %", "500", "mL", ACIDS, "base", 90),
)


def stock(technician: User, *, now: datetime, loaded: datetime) -> None:
    """Put every bottle on the shelf; dates count from the day on which the demo is loaded."""
    day, today = timezone.localtime(now).date(), timezone.localtime(loaded).date()
    for number, bottle in enumerate(BOTTLES, start=1):
        delivery = Delivery(
            substance=bottle.substance,
            unit=bottle.unit,
            amount=Decimal(bottle.amount),
            received_on=day,
            place=bottle.place,
            storage=bottle.storage,
            form=bottle.form,
            strength=bottle.strength,
            lot=f"Q{4100 + 17 * number}",
            expires_on=None if bottle.ends is None else today + timedelta(days=bottle.ends),
        )
        receive_container(by=technician, delivery=delivery, now=now)


def bottle_for(substance: str, *, now: datetime) -> Container | None:
    """The bottle that the prep list would propose."""
    shelf = {one.pk: one for one in Container.objects.on_the_shelf()}
    day = timezone.localtime(now).date()
    first = proposed([as_held(one) for one in shelf.values()], substance, day=day)
    return shelf[first.key] if first else None
