"""The shelf: what is received, taken, counted, moved, discarded; who may; what the trail says."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from practicals.models import AuditEntry
from reagents.actions.count_container import count_container
from reagents.actions.discard_container import discard_container
from reagents.actions.move_container import move_container
from reagents.actions.open_container import open_container
from reagents.actions.receive_container import Delivery, NotReceived, receive_container
from reagents.actions.take_from_container import NotTaken, take_from_container
from reagents.models import Container, Stale
from tests.reagents.shelved import make_container

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


def delivery(**more):
    return Delivery(
        **{
            "substance": "n-butanol",
            "unit": "mL",
            "amount": Decimal(500),
            "received_on": TODAY,
            "place": "Cupboard 1",
            "storage": "flammable",
            **more,
        }
    )


def test_each_bottle_has_its_own_record_under_its_usual_name(cast):
    made = receive_container(by=cast.technician, delivery=delivery(bottles=3), now=timezone.now())
    assert [one.substance for one in made] == ["butan-1-ol"] * 3
    assert [one.changes.get().left for one in made] == [500] * 3
    assert AuditEntry.objects.filter(action="receive_container").count() == 3


@pytest.mark.parametrize(
    "wrong",
    [
        {"amount": Decimal(0)},
        {"bottles": 0},
        {"bottles": 51},
        {"unit": "kg"},
        {"storage": "attic"},
        {"substance": " "},
        {"place": " "},
        {"received_on": TODAY + timedelta(days=1)},
        {"expires_on": TODAY - timedelta(days=1)},
        {"substance": "aspartame"},
    ],
)
def test_what_cannot_be_received_is_a_sentence(cast, wrong):
    with pytest.raises(NotReceived, match=r"\.$"):
        receive_container(by=cast.technician, delivery=delivery(**wrong), now=timezone.now())
    assert not Container.objects.exists()


def test_aspartame_with_a_date_is_received(cast):
    dated = delivery(substance="aspartame", unit="g", expires_on=TODAY + timedelta(days=90))
    assert receive_container(by=cast.technician, delivery=dated, now=timezone.now())


def test_taking_out_is_written_down_and_opens_it(cast):
    kept = take_from_container(
        by=cast.technician, container=make_container(), amount=Decimal("12.5"), why="demo", now=timezone.now()
    )
    assert (kept.remaining, kept.opened_on) == (Decimal("487.5"), TODAY)
    change = kept.changes.get()
    assert (change.change, change.left, change.why) == (Decimal("-12.5"), Decimal("487.5"), "demo")


@pytest.mark.parametrize(
    ("amount", "why"), [("0", "demo"), ("-1", "demo"), ("500.1", "demo"), ("1", " "), ("1", "x" * 201)]
)
def test_what_cannot_be_taken_is_a_sentence(cast, amount, why):
    found = make_container()
    with pytest.raises(NotTaken):
        take_from_container(
            by=cast.technician, container=found, amount=Decimal(amount), why=why, now=timezone.now()
        )
    found.refresh_from_db()
    assert found.remaining == 500


def test_an_expired_bottle_is_used_only_with_a_reason(cast):
    old = make_container(expires_on=TODAY - timedelta(days=1))
    given = {
        "by": cast.technician,
        "container": old,
        "amount": Decimal(5),
        "why": "rinsing",
        "now": timezone.now(),
    }
    with pytest.raises(NotTaken, match="past its date"):
        take_from_container(**given)
    kept = take_from_container(**given, reason_expired="only to rinse glass")
    assert "past its date: only to rinse glass" in kept.changes.get().why


def test_counting_keeps_the_difference(cast):
    found = make_container()
    kept = count_container(
        by=cast.technician,
        container=found,
        remaining=Decimal(430),
        why="spilt",
        seen_version=1,
        now=timezone.now(),
    )
    assert (kept.remaining, kept.version) == (430, 2)
    assert (kept.changes.get().change, kept.changes.get().why) == (Decimal(-70), "counted: spilt")


def test_opening_may_shorten_how_long_it_lasts(cast):
    given = {"by": cast.technician, "opened_on": TODAY, "seen_version": 1, "now": timezone.now()}
    soon = TODAY + timedelta(days=60)
    kept = open_container(container=make_container(), expires_on=soon, **given)
    assert (kept.opened_on, kept.expires_on) == (TODAY, soon)
    with pytest.raises(NotTaken, match="already"):
        open_container(container=kept, expires_on=None, **{**given, "seen_version": 2})
    with pytest.raises(NotTaken, match="longer"):
        open_container(container=make_container(), expires_on=TODAY + timedelta(days=999), **given)


def test_moving_keeps_what_stood_there(cast):
    kept = move_container(
        by=cast.technician,
        container=make_container(),
        place=" Cupboard  2 ",
        storage="general",
        expires_on=None,
        seen_version=1,
        now=timezone.now(),
    )
    assert (kept.place, kept.storage, kept.expires_on) == ("Cupboard 2", "general", None)
    assert "before: Cupboard 1, flammable" in kept.changes.get().why


def test_discarding_needs_a_reason_and_ends_it(cast):
    found = make_container()
    given = {"by": cast.technician, "container": found, "seen_version": 1, "now": timezone.now()}
    with pytest.raises(NotTaken, match="Write why"):
        discard_container(**given, reason=" ")
    kept = discard_container(**given, reason="leaks, to solvent waste")
    assert (kept.remaining, kept.opened_on) == (0, None)
    assert not Container.objects.on_the_shelf().exists()
    with pytest.raises(NotTaken, match="was discarded"):
        take_from_container(
            by=cast.technician, container=kept, amount=Decimal(1), why="no", now=timezone.now()
        )


@pytest.mark.parametrize("act", [count_container, open_container, move_container, discard_container])
def test_what_somebody_else_changed_meanwhile_is_refused(cast, act):
    given = {
        count_container: {"remaining": Decimal(1), "why": ""},
        open_container: {"opened_on": TODAY, "expires_on": None},
        move_container: {"place": "B", "storage": "general", "expires_on": None},
        discard_container: {"reason": "old"},
    }[act]
    found = make_container(version=2)
    with pytest.raises(Stale):
        act(by=cast.technician, container=found, seen_version=1, now=timezone.now(), **given)


@pytest.mark.parametrize("who", ["teacher", "learner", "verifier", "administrator"])
def test_only_the_technician_keeps_the_shelf(cast, who):
    by, found, now = getattr(cast, who), make_container(), timezone.now()
    for act in (
        lambda: receive_container(by=by, delivery=delivery(), now=now),
        lambda: take_from_container(by=by, container=found, amount=Decimal(1), why="x", now=now),
        lambda: count_container(
            by=by, container=found, remaining=Decimal(1), why="", seen_version=1, now=now
        ),
        lambda: open_container(
            by=by, container=found, opened_on=TODAY, expires_on=None, seen_version=1, now=now
        ),
        lambda: move_container(
            by=by, container=found, place="B", storage="cold", expires_on=None, seen_version=1, now=now
        ),
        lambda: discard_container(by=by, container=found, reason="x", seen_version=1, now=now),
    ):
        with pytest.raises(PermissionDenied):
            act()


def test_the_trail_names_the_bottle(cast):
    found = make_container()
    take_from_container(
        by=cast.technician, container=found, amount=Decimal(5), why="demo", now=timezone.now()
    )
    entry = AuditEntry.objects.get(action="take_from_container")
    assert entry.subject == str(found.uuid)
    assert "5\xa0mL of butan-1-ol" in entry.sentence
