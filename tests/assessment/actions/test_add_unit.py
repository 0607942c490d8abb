"""A unit comes from the text of its file, edition by edition."""

from pathlib import Path

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command

from assessment.actions.add_unit import add_unit
from assessment.calculations.unit_file import UnitFileError
from assessment.models import Unit
from practicals.models import AuditEntry
from tests.factories import NOW

FILE = """
slug = "trial"
title = "A trial"
[grade]
levels = ["pass", "merit"]
[[criterion]]
code = "P1"
level = "pass"
text = "Read a paper."
needs = [{ kind = "readings", at_least = 2 }]
[[criterion]]
code = "M1"
level = "merit"
text = "Argue."
"""
SHIPPED = Path(__file__).parents[3] / "assessment" / "data" / "units"


def test_a_unit_holds_its_criteria_in_the_order_of_the_file(cast):
    unit = add_unit(by=cast.teacher, text=FILE, now=NOW)
    assert [(c.code, c.level) for c in unit.criteria.all()] == [("P1", "pass"), ("M1", "merit")]
    assert unit.criteria.first().asks_for == ["complete readings of 2 papers"]
    assert unit.criteria.last().asks_for == []


def test_the_same_text_again_is_the_edition_there_is(cast):
    first = add_unit(by=cast.teacher, text=FILE, now=NOW)
    assert add_unit(by=cast.lead_verifier, text=FILE, now=NOW) == first
    assert AuditEntry.objects.filter(action="add_unit").count() == 1


def test_another_text_of_the_same_unit_is_its_next_edition_and_the_old_one_stays(cast):
    first = add_unit(by=cast.teacher, text=FILE, now=NOW)
    second = add_unit(by=cast.teacher, text=FILE.replace("Argue.", "Argue well."), now=NOW)
    assert (first.edition, second.edition) == (1, 2)
    assert first.criteria.get(code="M1").text == "Argue."
    assert list(Unit.objects.newest_editions()) == [second]


def test_adding_a_unit_is_audited(cast):
    unit = add_unit(by=cast.teacher, text=FILE, now=NOW)
    entry = AuditEntry.objects.get(action="add_unit")
    assert (entry.actor, entry.subject) == (cast.teacher.token, str(unit.uuid))


@pytest.mark.parametrize("who", ["verifier", "technician", "learner", "administrator"])
def test_others_may_not_add_a_unit(cast, who):
    with pytest.raises(PermissionDenied):
        add_unit(by=getattr(cast, who), text=FILE, now=NOW)
    assert not Unit.objects.exists()


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ('title = "A trial"', f'title = "{"t" * 161}"', "160"),
        ('"merit"', f'"{"m" * 21}"', "20"),
        ('"Argue."', '"Arg\\u0000ue."', "printed"),
        ('code = "M1"', 'code = "P1"', "twice"),
    ],
)
def test_what_the_records_cannot_keep_is_refused_in_a_sentence(cast, old, new, word):
    with pytest.raises(UnitFileError, match=word):
        add_unit(by=cast.teacher, text=FILE.replace(old, new), now=NOW)
    assert not Unit.objects.exists()


def test_the_shipped_units_load_once(centre):
    call_command("load_units", verbosity=0)
    call_command("load_units", verbosity=0)
    assert Unit.objects.count() == len(list(SHIPPED.glob("*.toml"))) > 0
    assert AuditEntry.objects.get(action="add_unit").actor is None
