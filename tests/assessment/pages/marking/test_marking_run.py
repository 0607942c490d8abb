"""The marking run: one criterion across the class, by keyboard alone, position kept."""

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessment.actions.decide import decide
from assessment.models import Decision, DecisionDraft, Work
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment, make_class, make_readings, make_session

NEEDS = {
    "P1": [{"kind": "readings", "at_least": 1}],
    "P2": [{"kind": "conclusion", "at_least": 2}],
    "M1": [{"kind": "identification", "at_least": 1}],
    "D1": [],
}


def submitted_class(cast, learners):
    teaching_class = make_class(teacher=cast.teacher, learners=learners)
    session = make_session(teacher=cast.teacher, teaching_class=teaching_class)
    assignment = make_assignment(session=session, signed_off_by=cast.verifier)
    for criterion in assignment.brief.criteria.all():
        criterion.needs = NEEDS[criterion.code]
        criterion.save()
    for member in session.members.all():
        make_readings(member.group.papers.get(), member.learner)
        hand_in(assignment, member.learner, conclusion="X runs with leucine.")
    return assignment


def address(assignment, code="P1"):
    return reverse("marking:run", args=[assignment.uuid, code])


def field(answer, name):
    return answer.context["form"].add_prefix(name)


def post(client, answer, outcome="met", comment="Lanes 1 to 4.", **more):
    """Send the form that the page shows, as it stands there, with these answers."""
    form = answer.context["form"]
    data = {"once": str(uuid4()), "work": str(answer.context["work"].uuid)}
    data["submission"] = str(answer.context["submission"].uuid)
    data[form.add_prefix("seen")] = form["seen"].value() or ""
    data[form.add_prefix("draft")] = form["draft"].value() or ""
    data |= {form.add_prefix("outcome"): outcome, form.add_prefix("comment"): comment}
    if outcome == "met":
        data |= {form.add_prefix("valid"): "on", form.add_prefix("sufficient"): "on"}
    data |= {form.add_prefix(name): value for name, value in more.items() if name != "keep"}
    if "keep" in more:
        data["keep"] = more["keep"]
    return client.post(answer.request["PATH_INFO"], data)


@pytest.fixture
def assignment(cast):
    return submitted_class(cast, 4)


def test_it_goes_through_the_class_in_order_and_says_how_far_it_is(cast, as_, assignment):
    client = as_(cast.teacher)
    expected = [work.learner for work in Work.objects.filter(assignment=assignment)]
    answer, seen = client.get(address(assignment)), []
    for number in range(4):
        assert f"{number} of 4 decided on P1" in answer.content.decode()
        seen.append(answer.context["work"].learner)
        answer = client.get(post(client, answer, comment=f"Comment {number}.").url)
    assert seen == expected
    assert "everybody who has submitted" in answer.content.decode()
    assert Decision.objects.filter(criterion__code="P1", valid=True, sufficient=True).count() == 4


def test_who_was_passed_over_comes_after_the_last(cast, as_, assignment):
    client = as_(cast.teacher)
    works = list(Work.objects.filter(assignment=assignment))
    answer = client.get(f"{address(assignment)}?at={works[3].uuid}")
    assert post(client, answer).url.endswith(str(works[0].uuid))


def test_a_whole_unit_takes_two_requests_for_each_decision(cast, as_):
    """24 learners and the unit's criteria: one answer sent, the next learner back, nothing in between."""
    assignment = submitted_class(cast, 24)
    client, requests = as_(cast.teacher), 0
    criteria = list(assignment.brief.criteria.all())
    for criterion in criteria:
        answer = client.get(address(assignment, criterion.code))
        requests += 1
        while "form" in answer.context:
            kept = post(client, answer, comment=f"For {answer.context['work'].learner}.")
            assert kept.status_code == 302
            answer = client.get(kept.url)
            requests += 2
    decided = 24 * len(criteria)
    assert Decision.objects.filter(submission__work__assignment=assignment).count() == decided
    assert requests == 2 * decided + len(criteria)


def test_the_focus_starts_on_the_answers_and_comes_to_the_button_in_eight_steps(cast, as_, assignment):
    """Without a script Tab goes as the page does: answer, two ticks, comment, references, button."""
    text = as_(cast.teacher).get(address(assignment)).content.decode()
    form = text[text.index("data-marking-run") : text.index("Save and next learner")]
    assert form.count("autofocus") == 1
    assert (
        form.index("autofocus") < form.index("-valid") < form.index("-sufficient") < form.index("<textarea")
    )
    # Radios of one group are one stop of Tab: the group, two ticks, the comment, one reference, the button.
    stops = 1 + form.count('type="checkbox"') + form.count("<textarea") + 1
    assert stops <= 8
    assert "accesskey" not in text


def test_the_evidence_for_the_criterion_alone_stands_beside_it(cast, as_, assignment):
    client = as_(cast.teacher)
    on_papers = client.get(address(assignment, "P1")).content.decode()
    on_writing = client.get(address(assignment, "P2")).content.decode()
    assert "Readings, <i>R</i>" in on_papers
    assert "X runs with leucine." not in on_papers
    assert "X runs with leucine." in on_writing
    assert "Readings, <i>R</i>" not in on_writing


def test_ticked_references_stand_before_the_comment(cast, as_, assignment):
    client = as_(cast.teacher)
    answer = client.get(address(assignment))
    (reference, _), *_rest = answer.context["form"].fields["refer"].choices
    assert reference.startswith("Group 1, paper A, lanes 1–")
    post(client, answer, comment="All read.", refer=[reference])
    assert Decision.objects.get().comment == f"{reference}: All read."


def test_a_reference_that_is_not_there_is_refused_and_the_text_kept(cast, as_, assignment):
    client = as_(cast.teacher)
    answer = post(client, client.get(address(assignment)), comment="All read.", refer=["Group 9, paper Z"])
    assert answer.status_code == 200
    assert "All read." in answer.content.decode()
    assert not Decision.objects.exists()


def test_met_without_both_ticks_is_refused_and_the_text_kept(cast, as_, assignment):
    client = as_(cast.teacher)
    answer = post(client, client.get(address(assignment)), comment="All read.", sufficient="")
    text = answer.content.decode()
    assert "confirm that the evidence is valid" in text
    assert "All read." in text
    assert not Decision.objects.exists()


def test_the_same_words_for_a_third_learner_are_remarked(cast, as_, assignment):
    client = as_(cast.teacher)
    answer, warned = client.get(address(assignment)), []
    for comment in ("All read.", "all  read.", "All read."):
        answer = client.get(post(client, answer, comment=comment).url)
        warned.append("The same comment on P1 now stands with" in answer.content.decode())
    assert warned == [False, False, True]


def test_a_draft_is_kept_for_oneself_and_decides_nothing(cast, as_, assignment):
    client = as_(cast.teacher)
    answer = client.get(address(assignment))
    work = answer.context["work"]
    post(client, answer, outcome="", comment="Look at lane 3 again.", keep="draft")
    assert not Decision.objects.exists()
    assert DecisionDraft.objects.get().comment == "Look at lane 3 again."
    again = client.get(f"{address(assignment)}?at={work.uuid}")
    assert "Look at lane 3 again." in again.content.decode()
    cast.other_teacher.classes_taught.add(assignment.teaching_class)
    theirs = as_(cast.other_teacher).get(reverse("marking:work", args=[work.uuid])).content.decode()
    assert "Look at lane 3 again." not in theirs


def test_of_two_who_decide_at_once_one_is_told_and_nothing_is_lost(cast, as_, assignment):
    client = as_(cast.teacher)
    answer = client.get(address(assignment))
    decide(
        by=cast.teacher,
        submission=answer.context["submission"],
        criterion=answer.context["criterion"],
        outcome="not yet met",
        comment="Theirs.",
        now=NOW,
    )
    told = post(client, answer, comment="Mine.")
    text = told.content.decode()
    assert "What stands now:" in text
    assert "Theirs." in text
    assert "Mine." in text
    assert Decision.objects.get(is_current=True).comment == "Theirs."
    assert post(client, told, comment="Mine.").status_code == 302
    assert list(Decision.objects.order_by("is_current").values_list("comment", flat=True)) == [
        "Theirs.",
        "Mine.",
    ]


@pytest.mark.parametrize("at", ["nobody", "00000000-0000-0000-0000-000000000000", "1e9"])
def test_a_learner_who_is_not_there_is_no_error_of_ours(cast, as_, assignment, at):
    answer = as_(cast.teacher).get(f"{address(assignment)}?at={at}")
    assert answer.status_code == 200
    assert "Look at one again" in answer.content.decode()


def test_a_criterion_that_is_not_in_the_brief_is_not_found(cast, as_, assignment):
    assert as_(cast.teacher).get(address(assignment, "P99")).status_code == 404


def test_the_page_takes_the_same_queries_for_3_and_for_30_learners(cast, as_):
    client, counts = as_(cast.teacher), []
    for learners in (3, 30):
        assignment = submitted_class(cast, learners)
        with CaptureQueriesContext(connection) as seen:
            assert client.get(address(assignment)).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]
