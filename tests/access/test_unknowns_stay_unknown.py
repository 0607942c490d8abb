"""No page and no file that a person without the key can open says what an unknown holds, or its pool name."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.urls import reverse

from practicals.models import Analyte, GroupMember, Lane, Practical, Session, UnknownCode
from reagents.models import RequisitionLine
from tests.access.test_every_url_every_role import MATRIX, address_of
from tests.access.world import World
from tests.documents.reading import attachments, page_texts
from tests.factories import NOW, make_readings, make_recipe

#: Stand nowhere but in the record of the unknown.
TELLTALES = ("telltale", "poolname", "poolkey")
WITHOUT_KEY = [
    "learner",
    "at_the_bench",
    "group_mate",
    "lesson_staff",
    "verifier",
    "lead_verifier",
    "administrator",
]


def code_the_unknown(session: Session) -> None:
    """Give the session's unknown a code, and names that are known wherever they turn up."""
    recipe = make_recipe("Telltale solution", kind="solution")
    found = session.practical.analytes.get(role="unknown")
    Analyte.objects.filter(pk=found.pk).update(
        key="poolkey", name="Poolname", contains=["telltale"], recipe=recipe
    )
    plan = ["poolkey" if key == found.key else key for key in session.practical.lane_plan]
    Practical.objects.filter(pk=session.practical_id).update(lane_plan=plan)
    Session.objects.filter(pk=session.pk).update(
        unknowns="same", unknowns_seed=1, readings_locked_at=NOW, results_released_at=NOW
    )
    UnknownCode.objects.create(session=session, analyte=found, code="K7")
    Lane.objects.filter(analyte=found, paper__group__session=session).update(code="K7")
    session.refresh_from_db()


@pytest.fixture
def world(cast):
    code_the_unknown(cast.session)
    found = World(cast)
    for member in GroupMember.objects.filter(session=cast.session).exclude(learner=cast.learner):
        make_readings(member.group.papers.get(), member.learner, locked_at=NOW)
    RequisitionLine.objects.create(
        requisition=found.requisition,
        order=2,
        recipe=Analyte.objects.get(key="poolkey").recipe,
        total_ml=4,
        label_code="K7",
    )
    return found


def texts_of(response: Any) -> Iterator[str]:
    body = b"".join(response.streaming_content) if response.streaming else response.content
    # A learner's own attachment may only look like a PDF.
    if body.startswith(b"%PDF") and b"%%EOF" in body[-64:]:
        yield from page_texts(body)
        yield from (str(name) + data.decode(errors="replace") for name, data in attachments(body).items())
    else:
        yield body.decode(errors="replace")
    yield str(response.headers)


@pytest.mark.parametrize("who", WITHOUT_KEY)
def test_whoever_needs_no_key_reads_the_code_alone(world, as_, who):
    seen, coded = 0, 0
    for name in [name for name, row in MATRIX.items() if row[who] == "opens" and name != "people:sign_out"]:
        client = as_(world.people()[who])
        if who == "at_the_bench":
            session = client.session
            session["bench_session"] = str(world.session.uuid)
            session.save()
        for text in texts_of(client.get(address_of(name, world), follow=True)):
            assert not [word for word in TELLTALES if word in text.casefold()], name
            seen, coded = seen + 1, coded + ("K7" in text)
    assert seen > 10
    # The code does reach the pages where lanes are shown, so that an empty page would be noticed.
    assert coded > 0 or who == "administrator"


def test_teacher_and_technician_read_the_key_and_the_technician_no_name(world, as_):
    for person, name in ((world.cast.teacher, "plan:unknowns"), (world.cast.technician, "plan:key")):
        text = as_(person).get(address_of(name, world)).content.decode()
        assert "telltale" in text
        assert "K7" in text
    names = [world.cast.teaching_class.name, *(one.learner.name for one in world.session.members.all())]
    assert not [one for one in names if one in text]


def test_the_board_shows_the_key_to_the_session_s_teacher_and_to_nobody_who_helps(world, as_):
    page = reverse("board:paper", args=[world.paper.uuid])
    assert "telltale" in as_(world.cast.teacher).get(page).content.decode()
    assert "telltale" not in as_(world.lesson_staff).get(page).content.decode()
