"""A week of 60 requisitions combined into one prep list: queries and server time, beside a week of 6.

Run by `make bench`. Wanted: 300 ms at most, and as many queries
for 60 as for 6. Nothing here fails: a time depends on the machine.
"""

from datetime import datetime, timedelta

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from practicals.actions.add_practical import add_practical
from practicals.calculations.practical_file import shipped_practicals
from practicals.models import Role, User
from reagents.models import Requisition, RequisitionItem
from tests.bench.pages import measured
from tests.factories import make_user
from tests.reagents.requested import make_requisition
from tests.reagents.shelved import make_container

WANTED_MS = 300
BOTTLES_EACH = 20
FEW, MANY = 6, 60
LAB_COUNT, DAYS, HOURS = 4, 5, (9, 11, 13, 15)
SHELF = ("butan-1-ol", "ethanoic acid", "ethanol", "ninhydrin", "glycine", "L-alanine", "L-leucine")


def report():
    monday = next_monday()
    teacher, technician = make_user("", Role.TEACHER), make_user("", Role.TECHNICIAN)
    practicals = [
        add_practical(by=None, text=text, now=timezone.now()) for text in shipped_practicals().values()
    ]
    for name in SHELF * BOTTLES_EACH:
        make_container(name)
    client = Client()
    client.force_login(User.objects.get(pk=technician.pk))
    week = reverse("prep:week", args=[monday.date()])
    found = []
    for first, last in ((0, FEW), (FEW, MANY)):
        for number in range(first, last):
            ask(teacher, practicals[number % len(practicals)], monday, number)
        found.append(measured(client, week))
    (few, few_ms), (many, many_ms) = found
    return [
        (
            f"prep list of a week, {FEW} and {MANY} requisitions",
            f"{few_ms:.0f} and {many_ms:.0f} ms",
            f"{few} and {many} queries; wanted: {WANTED_MS} ms for {MANY}",
        )
    ]


def next_monday():
    today = timezone.localtime()
    return (today + timedelta(days=7 - today.weekday())).replace(hour=0, minute=0, second=0, microsecond=0)


def ask(teacher, practical, monday: datetime, number: int) -> Requisition:
    """All that a session of the practical asks for: mobile phase, locating agent, standards and unknowns."""
    recipes = [
        practical.mobile_phase,
        practical.locating_agent,
        *(a.recipe for a in practical.analytes.all()),
    ]
    asked = make_requisition(
        teacher,
        *dict.fromkeys(recipe for recipe in recipes if recipe is not None),
        total="336",
        title=f"{practical.title}, {number}",
        room=f"Lab {1 + number % LAB_COUNT}",
        needed_at=monday + timedelta(days=number % DAYS, hours=HOURS[number % len(HOURS)]),
    )
    RequisitionItem.objects.bulk_create(
        RequisitionItem(
            requisition=asked, order=order, name=line["name"], per=line["per"], each=line["quantity"], count=6
        )
        for order, line in enumerate(practical.equipment, start=2)
    )
    return asked
