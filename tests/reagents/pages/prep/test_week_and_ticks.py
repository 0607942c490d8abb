"""A week's list: in the order of making, by room, with ticks that stay."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from reagents.models import Batch, PrepTick
from tests.documents.reading import page_texts
from tests.factories import make_recipe
from tests.reagents.requested import make_requisition, make_solution
from tests.reagents.shelved import make_container

pytestmark = pytest.mark.django_db
MONDAY = date(2026, 12, 7)


def at(day, hour=9):
    zone = timezone.get_current_timezone()
    return datetime(MONDAY.year, MONDAY.month, MONDAY.day, hour, tzinfo=zone) + timedelta(days=day)


def text(answer):
    return answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")


@pytest.fixture
def technician(cast, as_):
    return as_(cast.technician)


@pytest.fixture
def week(cast):
    phase, standard = make_recipe(), make_solution(shelf_life_hours=168)
    phase.shelf_life_hours = 24
    phase.save()
    for day, room in ((0, "Lab 2"), (0, "Lab 1"), (4, "Lab 2")):
        make_requisition(
            cast.teacher, phase, standard, needed_at=at(day, 9 + 4 * (room == "Lab 1")), room=room
        )
    return reverse("prep:week", args=[MONDAY + timedelta(days=2)])


def test_what_keeps_is_made_once_and_what_does_not_on_its_day(technician, week):
    page = text(technician.get(week))
    assert "Prep list, week of Mon 7 Dec 2026" in page
    assert page.count('id="liquid-') == 3
    made = [
        page.index(said)
        for said in ("Fri 4 Dec 2026: at the", "Mon 7 Dec 2026: at the", "Fri 11 Dec 2026: at the")
    ]
    assert made == sorted(made)
    assert "One batch serves Mon 7 Dec to Fri 11 Dec." in page
    assert "Fill the chambers at Mon 7 Dec 2026, 08:30." in page
    for said in (
        "Lab 1, Mon 7 Dec",
        "Lab 2, Mon 7 Dec",
        "Lab 2, Fri 11 Dec",
        "Waste bottles",
        "nothing to keep",
    ):
        assert said in page


def test_a_caution_is_said_once(technician, week):
    page = text(technician.get(week))
    assert page.count("freezes near 16.6 °C") == 1
    assert "The cautions above hold here too" in page


def test_the_same_steps_are_said_once(cast, technician):
    recipes = [
        make_solution(f"{name}, 0.01 mol/L", solutes=((name, "0.01", "mol/L"),))
        for name in ("glycine", "L-alanine", "L-leucine")
    ]
    asked = make_requisition(cast.teacher, *recipes, needed_at=at(1), total="100")
    page = text(technician.get(reverse("prep:requisition", args=[asked.uuid])))
    assert page.count("turn it over ten times") == 1
    assert page.count("Made just as") == 2


def test_the_week_on_paper_has_a_page_for_each_bench_and_each_room(technician, week):
    file = technician.get(reverse("prep:week_pdf", args=[MONDAY]))
    assert file["Content-Type"] == "application/pdf"
    pages = page_texts(file.content)
    for said in (
        "To Lab 1, Mon 7 Dec",
        "To Lab 2, Mon 7 Dec",
        "To Lab 2, Fri 11 Dec",
        "Mon 7 Dec: at the fume cupboard",
    ):
        assert sum(said in page for page in pages) == 1, said
    rooms = [number for number, page in enumerate(pages) if "To Lab" in page]
    assert len(set(rooms)) == 3
    whole = " ".join(pages)
    assert whole.count("freezes near 16.6") == 1
    assert "Came back" in whole


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2026-02-28"])
def test_any_week_may_be_asked_for(technician, day):
    assert technician.get(f"/prep/week/{day}/").status_code == 200
    assert technician.get(f"/prep/week/{day}/list.pdf").status_code == 404


def tick(client, page, *, boxes=(), was=(), back=None):
    return client.post(
        reverse("prep:tick"),
        {"once": str(uuid4()), "box": list(boxes), "was": list(was), "next": page if back is None else back},
    )


def test_a_tick_stays_and_is_taken_back(technician, week):
    page = text(technician.get(week))
    box = page.partition('name="box" value="')[2].partition('"')[0]
    assert tick(technician, week, boxes=[box]).url == week
    assert f'value="{box}" id="box-1-m1" checked' in text(technician.get(week))
    # Somebody else's tick, which this form did not show, stays.
    assert tick(technician, week).status_code == 302
    assert PrepTick.objects.count() == 1
    tick(technician, week, was=[box])
    assert not PrepTick.objects.exists()


def test_a_tick_shows_on_the_days_list_too(technician, week):
    page = text(technician.get(reverse("prep:day", args=[MONDAY])))
    box = page.partition('name="box" value="')[2].partition('"')[0]
    tick(technician, week, boxes=[box])
    assert " checked" in text(technician.get(week))


@pytest.mark.parametrize(
    "back", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", ""]
)
def test_ticks_lead_nowhere_else(technician, week, back):
    assert tick(technician, week, back=back).url == reverse("prep:requisitions")


def test_a_batch_for_the_week_covers_its_days(technician, week):
    page = text(technician.get(week))
    address = page.partition("?whole_week=1")[0].rpartition('href="')[2] + "?whole_week=1"
    form = text(technician.get(address))
    assert "For all 3 requisitions that one batch serves this week" in form
    local = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    use_by = (timezone.localtime() + timedelta(days=7)).strftime("%Y-%m-%dT%H:%M")
    sent = {
        "once": str(uuid4()),
        "measured_1": "0.751 g",
        "measured_2": "1008 mL",
        "made_at": local,
        "use_by": use_by,
        "initials": "tt",
        "seen_total": "1008",
    }
    assert technician.post(address, sent).status_code == 302
    assert Batch.objects.count() == 1
    assert '<span class="state done">made</span>' in text(technician.get(week))
    assert "made, for several days" in text(
        technician.get(reverse("prep:day", args=[MONDAY + timedelta(days=4)]))
    )


def test_the_list_says_which_bottle_to_take_and_never_an_expired_one(technician, week):
    make_container(place="Old place", expires_on=MONDAY - timedelta(days=30))
    make_container(
        "ethanoic acid", place="Acid tray", expires_on=MONDAY + timedelta(days=300), storage="acid"
    )
    page = text(technician.get(week))
    assert "Acid tray, lot L-1" in page
    assert "Old place" not in page
    assert "none in date on the shelf" in page


def test_the_mass_is_that_of_the_salt_in_the_bottle(cast, technician):
    """L-lysine 146.190, hydrochloride 182.65 g/mol (IUPAC weights): 0.5 L of 0.01 mol/L take 0.731 g of
    the one, 0.913 g of the other."""
    recipe = make_solution("Lysine", solutes=(("L-lysine", "0.01", "mol/L"),))
    asked = make_requisition(cast.teacher, recipe, total="500", needed_at=at(1))
    address = reverse("prep:requisition", args=[asked.uuid])
    assert "Weigh 0.731 g of L-lysine" in text(technician.get(address))
    make_container("L-lysine", "25", unit="g", form="hydrochloride", expires_on=None, storage="general")
    page = text(technician.get(address))
    assert "Weigh 0.913 g of L-lysine (hydrochloride)" in page
    assert "0.731 g</td>" not in page
    assert "Ask which form" not in page
    assert "of the bottle take 1.249 times as much" in page
