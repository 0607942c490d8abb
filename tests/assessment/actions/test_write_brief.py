"""A brief is kept edition by edition; the sign-off belongs to an edition."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.actions.sign_off_brief import sign_off_brief
from assessment.actions.write_brief import NewerEdition, write_brief
from assessment.calculations.brief_points import POINTS
from assessment.models import Brief
from practicals.models import AuditEntry, Role
from tests.factories import NOW, make_unit, make_user

ALL_YES = {point.key: "yes" for point in POINTS}


@pytest.fixture
def unit(db):
    return make_unit()


def write(by, unit, *, edits=None, **more):
    given = {
        "title": "Which acid?",
        "scenario": "",
        "tasks": "Run it.",
        "conditions": "In the laboratory.",
        "criteria": list(unit.criteria.all()),
    }
    return write_brief(by=by, unit=unit, edits=edits, now=NOW, **{**given, **more})


def test_the_first_edition_waits_for_its_sign_off(cast, unit):
    brief = write(cast.teacher, unit)
    assert (brief.edition, brief.signed_off_at, brief.author) == (1, None, cast.teacher)
    assert AuditEntry.objects.get(action="write_brief").subject == str(brief.uuid)


def test_an_edit_makes_the_next_edition_without_the_sign_off_and_leaves_the_old_one(cast, unit):
    first = write(cast.teacher, unit)
    first = sign_off_brief(by=cast.verifier, brief=first, comment="Fit.", points=ALL_YES, now=NOW)
    second = write(cast.teacher, unit, edits=first, tasks="Run it twice.")
    assert (second.slug, second.edition, second.signed_off_at) == (first.slug, 2, None)
    first.refresh_from_db()
    assert (first.tasks, first.signed_off_by) == ("Run it.", cast.verifier)


def test_unchanged_reuse_keeps_the_edition_and_its_sign_off(cast, unit):
    first = sign_off_brief(
        by=cast.verifier, brief=write(cast.teacher, unit), comment="Fit.", points=ALL_YES, now=NOW
    )
    assert write(cast.other_teacher, unit, edits=first) == first
    assert Brief.objects.count() == 1


@pytest.mark.parametrize("part", ["title", "scenario", "tasks", "conditions"])
def test_a_change_of_any_text_is_an_edit_and_loses_the_sign_off(cast, unit, part):
    first = sign_off_brief(
        by=cast.verifier, brief=write(cast.teacher, unit), comment="Fit.", points=ALL_YES, now=NOW
    )
    second = write(cast.teacher, unit, edits=first, **{part: "Something else."})
    assert (second.edition, second.signed_off_at) == (2, None)


def test_leaving_out_one_criterion_is_an_edit(cast, unit):
    first = write(cast.teacher, unit)
    assert write(cast.teacher, unit, edits=first, criteria=list(unit.criteria.all())[1:]).edition == 2


def test_an_edit_of_an_edition_that_is_not_the_newest_is_told_which_one_is(cast, unit):
    first = write(cast.teacher, unit)
    second = write(cast.teacher, unit, edits=first, tasks="Run it twice.")
    with pytest.raises(NewerEdition) as told:
        write(cast.other_teacher, unit, edits=first, tasks="Run it thrice.")
    assert told.value.newest == second
    assert Brief.objects.count() == 2


def test_two_briefs_of_one_title_stay_apart(cast, unit):
    assert write(cast.teacher, unit).slug != write(cast.teacher, unit).slug


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"title": " "}, "title"),
        ({"title": "t" * 161}, "160"),
        ({"tasks": "\n"}, "tasks"),
        ({"criteria": []}, "at least one criterion"),
    ],
)
def test_a_brief_that_lacks_something_is_refused(cast, unit, more, word):
    with pytest.raises(ValidationError, match=word):
        write(cast.teacher, unit, **more)


def test_criteria_of_another_unit_are_refused(cast, unit):
    with pytest.raises(ValidationError, match="chosen unit"):
        write(cast.teacher, unit, criteria=list(make_unit().criteria.all()))


@pytest.mark.parametrize("who", ["verifier", "lead_verifier", "technician", "learner", "administrator"])
def test_only_a_teacher_writes_a_brief(cast, unit, who):
    with pytest.raises(PermissionDenied):
        write(getattr(cast, who), unit)


def test_nobody_signs_off_their_own_brief_whatever_roles_they_hold(cast, unit):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    brief = write(both, unit)
    with pytest.raises(ValidationError, match="You wrote this brief"):
        sign_off_brief(by=both, brief=brief, comment="Fit.", points=ALL_YES, now=NOW)
    brief.refresh_from_db()
    assert brief.signed_off_at is None


def test_a_second_signature_changes_nothing(cast, unit):
    brief = sign_off_brief(
        by=cast.verifier, brief=write(cast.teacher, unit), comment="Fine.", points=ALL_YES, now=NOW
    )
    again = sign_off_brief(by=cast.lead_verifier, brief=brief, comment="Mine.", points=ALL_YES, now=NOW)
    assert (again.signed_off_by, again.sign_off_comment) == (cast.verifier, "Fine.")
    assert AuditEntry.objects.filter(action="sign_off_brief").count() == 1


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "administrator"])
def test_only_a_verifier_signs_off(cast, unit, who):
    brief = write(cast.teacher, unit)
    with pytest.raises(PermissionDenied):
        sign_off_brief(by=getattr(cast, who), brief=brief, comment="Fit.", points=ALL_YES, now=NOW)
