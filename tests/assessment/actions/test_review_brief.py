"""Rounds of feedback on a brief: kept with the edition that was looked at, answered by the next one."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.actions.review_brief import review_brief
from assessment.actions.sign_off_brief import sign_off_brief
from assessment.actions.write_brief import write_brief
from assessment.models import BriefReview
from assessment.models.editions import changed_parts, rounds_of
from assessment.models.waiting import briefs_to_change, briefs_to_check
from assessment.pages.home.sections import sections_for
from practicals.models import AuditEntry, Role
from tests.assessment.actions.test_write_brief import ALL_YES
from tests.factories import NOW, make_unit, make_user


@pytest.fixture
def brief(cast):
    return write(cast, make_unit())


def write(cast, unit, *, edits=None, tasks="Run it."):
    criteria = list(unit.criteria.all())
    texts = {"title": "Which acid?", "scenario": "", "tasks": tasks}
    return write_brief(by=cast.teacher, unit=unit, criteria=criteria, edits=edits, now=NOW, **texts)


def look(by, brief, *, verdict="changes wanted", comment="Task 1 names no criterion.", **answers):
    points = {**ALL_YES, **answers}
    return review_brief(by=by, brief=brief, points=points, comment=comment, verdict=verdict, now=NOW)


def test_a_round_is_kept_with_its_points_and_audited(cast, brief):
    kept = look(cast.verifier, brief, evidence="no", options="does not apply")
    assert (kept.reviewer, kept.author, kept.points["evidence"]) == (cast.verifier, cast.teacher, "no")
    assert ("Each task can produce the evidence that the criteria named for it ask for.", "no") in (
        kept.points_in_words
    )
    assert "changes wanted" in AuditEntry.objects.get(action="review_brief").sentence


def test_changes_are_answered_by_the_next_edition_which_is_then_signed_off(cast, brief):
    """A required change is made before learners get the task: public guidance on internal verification."""
    look(cast.verifier, brief, language="no")
    with pytest.raises(ValidationError, match="last look found it fit"):
        sign_off_brief(by=cast.verifier, brief=brief, comment="", now=NOW)
    second = write(cast, brief.unit, edits=brief, tasks="Run it, then hand in the table.")
    signed = sign_off_brief(by=cast.verifier, brief=second, comment="Clear now.", points=ALL_YES, now=NOW)
    assert signed.signed_off_by == cast.verifier
    assert [(r.brief.edition, r.verdict) for r in rounds_of(signed)] == [(2, "fit"), (1, "changes wanted")]
    assert changed_parts(signed) == ("tasks",)


def test_a_sign_off_without_points_needs_the_same_persons_fit(cast, brief):
    look(cast.verifier, brief, verdict="fit")
    with pytest.raises(ValidationError, match="last look found it fit"):
        sign_off_brief(by=cast.lead_verifier, brief=brief, comment="", now=NOW)
    assert sign_off_brief(by=cast.verifier, brief=brief, comment="", now=NOW).signed_off_at == NOW


def test_a_later_wish_for_changes_takes_the_fit_away(cast, brief):
    look(cast.verifier, brief, verdict="fit")
    look(cast.lead_verifier, brief)
    with pytest.raises(ValidationError, match="last look found it fit"):
        sign_off_brief(by=cast.verifier, brief=brief, comment="", now=NOW)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"verdict": "fit", "level": "no"}, "not fit yet"),
        ({"level": ""}, "Answer this point"),
        ({"level": "does not apply"}, "applies to every brief"),
        ({"level": "1e9"}, "Answer this point"),
        ({"taste": "yes"}, "no point of the list"),
        ({"verdict": "maybe"}, "fit for purpose or changes"),
        ({"comment": "  "}, "a sentence at least"),
    ],
)
def test_a_round_that_lacks_or_contradicts_something_is_refused(cast, brief, changes, sentence):
    with pytest.raises(ValidationError, match=sentence):
        look(cast.verifier, brief, **changes)
    assert not BriefReview.objects.exists()


def test_nobody_looks_at_their_own_brief_in_the_action_or_in_the_database(cast):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    brief = write_brief(
        by=both, unit=(unit := make_unit()), title="T", scenario="", tasks="T",
        criteria=list(unit.criteria.all()), now=NOW,
    )  # fmt: skip
    with pytest.raises(ValidationError, match="You wrote this brief"):
        look(both, brief)
    row = BriefReview(brief=brief, reviewer=both, comment="Fine.", verdict="fit", reviewed_at=NOW)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "administrator"])
def test_only_a_verifier_looks(cast, brief, who):
    with pytest.raises(PermissionDenied):
        look(getattr(cast, who), brief)


def test_a_signed_edition_takes_no_further_round(cast, brief):
    sign_off_brief(by=cast.verifier, brief=brief, comment="Fit.", points=ALL_YES, now=NOW)
    with pytest.raises(ValidationError, match="signed off meanwhile"):
        look(cast.lead_verifier, brief)


def test_a_refused_round_leaves_the_brief_unsigned(cast, brief):
    with pytest.raises(ValidationError):
        sign_off_brief(by=cast.verifier, brief=brief, comment="", points=ALL_YES, now=NOW)
    brief.refresh_from_db()
    assert (brief.signed_off_at, BriefReview.objects.count()) == (None, 0)


def test_who_is_waited_for_follows_the_rounds(cast, brief):
    assert (briefs_to_check(cast.verifier), briefs_to_change(cast.teacher)) == ([brief], [])
    look(cast.verifier, brief)
    assert (briefs_to_check(cast.verifier), briefs_to_change(cast.teacher)) == ([], [brief])
    titles = {section.title: section.rows for section in sections_for(cast.teacher, NOW)}
    assert [row.text for row in titles["Briefs of yours in which changes are wanted"]] == [str(brief)]
    second = write(cast, brief.unit, edits=brief, tasks="Run it twice.")
    assert (briefs_to_check(cast.verifier), briefs_to_change(cast.teacher)) == ([second], [])
    assert briefs_to_check(cast.teacher) == []
