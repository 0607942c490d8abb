"""The requisition's form: what it suggests, works out, refuses, and never says."""

import math
import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.models import Lane
from reagents.actions.record_batch import record_batch
from reagents.actions.take_for_batch import AmountEntry
from reagents.models import Requisition
from tests.factories import NOW


@pytest.fixture
def planned(cast, shipped):
    return plan_session(
        by=cast.teacher,
        practical=shipped,
        teaching_class=cast.teaching_class,
        lessons=[LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
        group_size=3,
        now=timezone.now(),
    )


@pytest.fixture
def answers(planned):
    def make(**changed):
        keys = [analyte.key for analyte in planned.practical.analytes.all()]
        places = range(len(planned.practical.equipment))
        return {
            "once": str(uuid.uuid4()),
            "day": "2026-11-24",
            "time": "09:00",
            "room": "Lab 2",
            "chambers": "2",
            "diameter": "9 cm",
            "depth": "8",
            "overage": "15",
            "locating": "20",
            **{f"solution-{key}": "4" for key in keys},
            **{f"spare-{place}": "1" for place in places},
            **changed,
        }

    return make


def send(client, session, typed):
    return client.post(reverse("plan:requisition", args=[session.uuid]), typed)


def sent(session):
    session.refresh_from_db()
    return session.requisition


def test_the_total_is_chambers_times_a_cylinder_and_something_to_spare(as_, cast, planned, answers):
    # Volume of a cylinder, pi d^2 h / 4: 9 cm across and 8 mm deep hold 50.89 mL; kept rounded up to 0.1 mL.
    send(as_(cast.teacher), planned, answers())
    line = sent(planned).lines.first()
    needed = 2 * math.pi * 9**2 * 0.8 / 4 * 1.15
    assert float(line.total_ml) == pytest.approx(needed, abs=0.1)
    assert float(line.total_ml) >= needed
    assert (line.chambers, line.depth_mm, line.origin_height_mm) == (2, 8, 20)


def test_a_volume_that_is_given_is_used(as_, cast, planned, answers):
    send(as_(cast.teacher), planned, answers(volume_per_chamber="0,05 L", overage="20"))
    assert sent(planned).lines.first().total_ml == Decimal(120)


def test_coded_unknowns_carry_their_code_and_nothing_else(as_, cast, planned, answers):
    send(as_(cast.teacher), planned, answers())
    codes = {line.recipe_id: line.label_code for line in sent(planned).lines.all()}
    drawn = {one.analyte.recipe_id: one.code for one in planned.unknown_codes.all()}
    on_lanes = set(Lane.objects.exclude(code="").values_list("analyte__recipe", flat=True))
    assert {recipe: code for recipe, code in codes.items() if code} == {
        recipe: drawn[recipe] for recipe in on_lanes
    }
    assert len(on_lanes) == 2 < len(drawn)
    assert codes[planned.practical.analytes.get(key="glycine").recipe_id] == ""


def test_equipment_goes_by_group_class_and_learner(as_, cast, planned, answers):
    send(as_(cast.teacher), planned, answers())
    counts = {item.name: item.count for item in sent(planned).items.all()}
    assert counts["capillary tube"] == 7 * 2
    assert counts["goggles"] == 6
    assert counts["hair dryer with a cold setting"] == 2


def test_nothing_in_it_names_the_class_or_a_learner(as_, cast, planned, answers):
    send(as_(cast.teacher), planned, answers())
    requisition = sent(planned)
    assert requisition.title == "Amino acids on paper, Tue 24 Nov, Lab 2"
    words = " ".join([requisition.title, requisition.note, requisition.room])
    assert cast.teaching_class.name not in words
    assert not any(learner.name in words for learner in cast.teaching_class.learners())


def test_looking_at_the_total_sends_nothing(as_, cast, planned, answers):
    text = send(as_(cast.teacher), planned, answers(preview="1")).content.decode()
    assert "117.1 mL" in text
    assert sent(planned) is None


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("day", "yesterday"),
        ("time", ""),
        ("room", ""),
        ("room", "Lab of Class 1A"),
        ("chambers", "0"),
        ("chambers", "2.5"),
        ("chambers", "1e9"),
        ("diameter", ""),
        ("diameter", "-9"),
        ("diameter", "0"),
        ("diameter", "90 mL"),
        ("diameter", "1e9"),
        ("depth", "deep"),
        ("depth", "16"),
        ("depth", "25"),
        ("volume_per_chamber", "200 mL"),
        ("volume_per_chamber", "0"),
        ("volume_per_chamber", "50 mm"),
        ("overage", "101"),
        ("overage", "-1"),
        ("locating", "some"),
        ("solution-glycine", "1e9"),
        ("solution-glycine", ""),
        ("spare-0", "-1"),
        ("spare-0", "x"),
        ("note", "For class 1a, please"),
        ("note", "x" * 1001),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence_and_kept(as_, cast, planned, answers, field, typed):
    response = send(as_(cast.teacher), planned, answers(**{field: typed}))
    assert response.status_code == 200
    assert "Nothing was saved yet" in response.content.decode()
    assert sent(planned) is None


def test_a_learners_name_in_the_note_is_refused_and_the_note_kept(as_, cast, planned, answers):
    note = f"{cast.learner.name} is allergic to latex."
    text = send(as_(cast.teacher), planned, answers(note=note)).content.decode()
    assert "the prep room needs no names" in text
    assert note in text
    assert sent(planned) is None


def test_sending_again_replaces_the_earlier_one(as_, cast, planned, answers):
    client = as_(cast.teacher)
    send(client, planned, answers())
    first = sent(planned)
    send(client, planned, answers(overage="10"))
    first.refresh_from_db()
    assert first.withdrawn_at is not None
    assert sent(planned).replaces == first


def test_one_that_batches_were_made_for_stays_beside_the_new_one(as_, cast, planned, answers):
    client = as_(cast.teacher)
    send(client, planned, answers())
    line = sent(planned).lines.first()
    amounts = [AmountEntry(part, "mL", Decimal(10), Decimal(10), "") for part in line.recipe.parts.all()]
    record_batch(
        by=cast.technician,
        line=line,
        made_at=NOW,
        initials="TT",
        use_by=NOW + timedelta(days=1),
        amounts=amounts,
        note="",
        now=NOW,
    )
    response = client.post(reverse("plan:requisition", args=[planned.uuid]), answers(), follow=True)
    assert "Batches were already made" in response.content.decode()
    assert Requisition.objects.filter(withdrawn_at=None).count() == 2
