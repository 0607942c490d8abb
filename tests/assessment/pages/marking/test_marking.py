"""Marking: what is submitted is judged by people, with the evidence beside the criteria."""

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessment.actions.decide import decide
from assessment.models import Decision, Feedback, Work
from practicals.models import AuditEntry, BenchNote, GroupMember, HelpGiven, SpotReading
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment, make_class, make_readings, make_session

WHERE = "Table 1 shows it."


@pytest.fixture
def assignment(cast):
    found = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    needs = {
        "P1": [{"kind": "readings", "at_least": 1}, {"kind": "photo"}],
        "P2": [{"kind": "own_rf", "at_least": 1}],
        "M1": [{"kind": "conclusion", "at_least": 3}],
        "D1": [{"kind": "identification", "at_least": 1}],
    }
    for criterion in found.brief.criteria.all():
        criterion.needs = needs[criterion.code]
        criterion.save()
    return found


@pytest.fixture
def submission(cast, assignment):
    make_readings(cast.session.groups.first().papers.get(), cast.learner)
    return hand_in(
        assignment, cast.learner, conclusion="X runs with leucine.", evaluation="It touched the wall."
    )


def page(client, work):
    return client.get(reverse("marking:work", args=[work.uuid]))


def name(submission, code, field):
    return f"criterion-{submission.work.assignment.brief.criteria.get(code=code).pk}-{field}"


def typed(submission, code, outcome="met", comment=WHERE, seen=None, **more):
    data = {name(submission, code, "outcome"): outcome, name(submission, code, "comment"): comment}
    data[name(submission, code, "seen")] = str(seen.uuid) if seen else ""
    if outcome == "met":
        data |= {name(submission, code, "valid"): "on", name(submission, code, "sufficient"): "on"}
    return data | {name(submission, code, field): text for field, text in more.items()}


def send(client, what, submission, *texts, **data):
    together = {key: value for text in texts for key, value in text.items()}
    address = reverse(f"marking:{what}", args=[submission.work.uuid])
    return client.post(
        address, {"once": str(uuid4()), "submission": str(submission.uuid), **together, **data}
    )


def stands(submission, code):
    return submission.decisions.filter(criterion__code=code, is_current=True).first()


def decide_all(client, submission, **outcomes):
    chosen = {"P1": "met", "P2": "met", "M1": "met", "D1": "not yet met"} | outcomes
    return send(client, "decide", submission, *(typed(submission, code, out) for code, out in chosen.items()))


def declare(client, submission):
    return send(client, "declare", submission, authentic="on", current="on")


# What is read


def test_what_was_frozen_is_shown_not_what_the_records_hold_since(cast, as_, submission):
    SpotReading.objects.filter(lane_reading__lane__number=1).update(centre_mm="88")
    Work.objects.update(conclusion="Written afterwards.")
    shown = page(as_(cast.teacher), submission.work)
    spots = shown.context["evidence"].papers[0].review.lanes[0].spots
    # (35 - 15) / (95 - 15) by hand
    assert [str(spot.rounded_rf) for spot in spots] == ["0.25"]
    text = shown.content.decode()
    assert "X runs with leucine." in text
    assert "Written afterwards." not in text


def test_before_submission_the_live_state_is_shown_and_marked_so(cast, as_, assignment):
    make_readings(cast.session.groups.first().papers.get(), cast.learner)
    work = assignment.works.get(learner=cast.learner)
    shown = page(as_(cast.teacher), work)
    text = shown.content.decode()
    assert "Not submitted yet." in text
    assert "0.25" in text
    assert "Save the decisions" not in text
    assert not shown.context["evidence"].frozen


def test_the_evidence_of_each_criterion_says_what_is_there_missing_or_to_look_at(cast, as_, submission):
    shown = page(as_(cast.teacher), submission.work).context["criteria"]
    states = {row.criterion.code: [item.state for item in row.items] for row in shown}
    assert states == {"P1": ["present", "missing"], "P2": ["missing"], "M1": ["present"], "D1": ["missing"]}


def test_help_and_notes_from_the_bench_are_shown(cast, as_, assignment):
    HelpGiven.objects.create(session=cast.session, learner=cast.learner, at=NOW, text="From the origin line.")
    BenchNote.objects.create(
        session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="Spots small."
    )
    HelpGiven.objects.create(session=cast.session, learner=cast.rival, at=NOW, text="Another's help.")
    submission = hand_in(assignment, cast.learner)
    text = page(as_(cast.teacher), submission.work).content.decode()
    assert "From the origin line." in text
    assert "by the program" in text
    assert "Spots small." in text
    assert "Another&#x27;s help." not in text


def test_readings_of_a_catch_up_in_another_class_belong_to_the_home_assignment(cast, as_, assignment):
    elsewhere = cast.stranger.memberships.get().session
    group = elsewhere.groups.first()
    GroupMember.objects.create(
        session=elsewhere, group=group, learner=cast.learner, home_session=cast.session
    )
    make_readings(group.papers.get(), cast.learner)
    work = assignment.works.get(learner=cast.learner)
    assert len(page(as_(cast.teacher), work).context["evidence"].papers) == 1
    submission = hand_in(assignment, cast.learner)
    assert len(page(as_(cast.teacher), submission.work).context["evidence"].papers) == 1


def test_nothing_is_chosen_for_the_assessor(cast, as_, submission):
    shown = page(as_(cast.teacher), submission.work)
    assert [row.form["outcome"].value() for row in shown.context["criteria"]] == ["", "", "", ""]


# What is decided


def test_decisions_are_saved_together_and_the_rest_stays_open(cast, as_, submission):
    answer = send(as_(cast.teacher), "decide", submission, typed(submission, "P1"), typed(submission, "P2"))
    assert answer.url == reverse("marking:work", args=[submission.work.uuid])
    assert set(submission.decisions.values_list("criterion__code", "outcome")) == {
        ("P1", "met"),
        ("P2", "met"),
    }
    assert AuditEntry.objects.filter(action="decide").count() == 2


@pytest.mark.parametrize(
    ("outcome", "comment", "sentence"),
    [
        ("met", "", "Write a comment"),
        ("", "Well.", "Choose “met” or “not yet met”"),
        ("distinction", "Well.", "Choose “met” or “not yet met”"),
        ("met", "c" * 5001, "5000"),
    ],
)
def test_one_wrong_criterion_saves_nothing_and_keeps_every_text(
    cast, as_, submission, outcome, comment, sentence
):
    good = typed(submission, "P1", comment="A text to keep.")
    answer = send(as_(cast.teacher), "decide", submission, good, typed(submission, "P2", outcome, comment))
    text = answer.content.decode()
    assert answer.status_code == 200
    assert sentence in text
    assert [criterion.code for criterion in answer.context["refused"]] == ["P2"]
    assert "A text to keep." in text
    assert comment in text
    assert not Decision.objects.exists()


def test_a_merit_met_while_a_pass_is_open_gives_no_grade_and_says_which(cast, as_, submission):
    client = as_(cast.teacher)
    send(client, "decide", submission, typed(submission, "P1"), typed(submission, "M1"))
    text = page(client, submission.work).content.decode()
    assert "No grade yet: P2 is not yet decided, although M1 is met." in text


def test_two_who_decide_at_once_see_both_and_can_answer(cast, as_, submission):
    client = as_(cast.teacher)
    criterion = submission.work.assignment.brief.criteria.get(code="P1")
    theirs = decide(
        by=cast.teacher,
        submission=submission,
        criterion=criterion,
        outcome="met",
        comment="Theirs.",
        valid=True,
        sufficient=True,
        now=NOW,
    )
    mine = typed(submission, "P1", "not yet met", "Mine.")
    answer = send(client, "decide", submission, mine)
    text = answer.content.decode()
    assert "What stands now:" in text
    assert "Theirs." in text
    assert "Mine." in text
    assert f'value="{theirs.uuid}"' in text
    send(client, "decide", submission, typed(submission, "P1", "not yet met", "Mine.", seen=theirs))
    assert stands(submission, "P1").comment == "Mine."
    assert "Theirs." in page(client, submission.work).content.decode()


def test_a_criterion_left_alone_is_not_in_the_way_of_another(cast, as_, submission):
    """The page showed P1 as decided; somebody changed it since; only P2 is touched here."""
    client = as_(cast.teacher)
    send(client, "decide", submission, typed(submission, "P1"))
    seen = stands(submission, "P1")
    send(client, "decide", submission, typed(submission, "P1", "not yet met", "Changed.", seen=seen))
    send(client, "decide", submission, typed(submission, "P1", seen=seen), typed(submission, "P2"))
    assert stands(submission, "P1").comment == "Changed."
    assert stands(submission, "P2").outcome == "met"


def test_a_double_click_decides_once(cast, as_, submission):
    client = as_(cast.teacher)
    once = str(uuid4())
    send(client, "decide", submission, typed(submission, "P1"), once=once)
    send(client, "decide", submission, typed(submission, "P1"), once=once)
    assert submission.decisions.count() == 1


def test_a_seen_decision_that_is_no_key_is_no_error_of_ours(cast, as_, submission):
    data = typed(submission, "P1") | {name(submission, "P1", "seen"): "1e9"}
    assert send(as_(cast.teacher), "decide", submission, data).status_code == 302


def test_after_release_a_change_without_a_reason_is_refused_beside_its_field(cast, as_, submission):
    client = as_(cast.teacher)
    decide_all(client, submission)
    send(client, "feedback", submission, text="Well read.")
    declare(client, submission)
    send(client, "release", submission)
    standing = stands(submission, "D1")
    changed = typed(submission, "D1", "met", "Page 2.", seen=standing)
    text = send(client, "decide", submission, changed).content.decode()
    assert "Give the reason for changing it." in text
    assert "Page 2." in text
    send(client, "decide", submission, changed | {name(submission, "D1", "reason"): "Page 2 overlooked."})
    assert stands(submission, "D1").reason == "Page 2 overlooked."


# Feedback and release


def test_release_comes_when_all_is_decided_and_written(cast, as_, submission):
    client = as_(cast.teacher)
    assert "Release to the learner" not in page(client, submission.work).content.decode()
    decide_all(client, submission)
    send(client, "feedback", submission, text="Well read.")
    assert "Release to the learner" not in page(client, submission.work).content.decode()
    declare(client, submission)
    assert "Release to the learner" in page(client, submission.work).content.decode()
    send(client, "release", submission)
    assert Feedback.objects.get().released_at
    assert AuditEntry.objects.filter(action__in=["give_feedback", "release"]).count() == 2


def test_an_early_release_is_refused_in_a_sentence(cast, as_, submission):
    client = as_(cast.teacher)
    answer = send(client, "release", submission)
    assert "Still to decide: P1, P2, M1, D1." in client.get(answer.url).content.decode()


def test_feedback_of_a_second_tab_shows_both_and_can_be_saved_after_all(cast, as_, submission):
    client = as_(cast.teacher)
    send(client, "feedback", submission, text="First tab.")
    answer = send(client, "feedback", submission, text="Second tab.")
    text = answer.content.decode()
    assert "First tab." in text
    assert "Second tab." in text
    version = Feedback.objects.get().version
    assert answer.context["feedback_form"]["version"].value() == str(version)
    send(client, "feedback", submission, text="Second tab.", version=version)
    assert Feedback.objects.get().text == "Second tab."


@pytest.mark.parametrize(
    ("text", "version", "sentence"),
    [(" ", "", "Write what was met"), ("x" * 20_001, "", "20000"), ("Kept text.", "1e9", "whole number")],
)
def test_bad_feedback_is_refused_and_kept(cast, as_, submission, text, version, sentence):
    answer = send(as_(cast.teacher), "feedback", submission, text=text, version=version)
    assert sentence in answer.content.decode()
    assert text.strip() in answer.content.decode()
    assert not Feedback.objects.exists()


# Who


def test_a_class_teacher_reads_but_has_no_form(cast, as_, submission):
    cast.teaching_class.teachers.add(cast.other_teacher)
    client = as_(cast.other_teacher)
    text = page(client, submission.work).content.decode()
    assert "X runs with leucine." in text
    assert "Save the decisions" not in text
    assert "Save the feedback" not in text
    for what in ("decide", "feedback", "release"):
        assert send(client, what, submission, typed(submission, "P1"), text="x").status_code == 404
    assert not Decision.objects.exists()


@pytest.mark.parametrize(
    "who", ["other_teacher", "verifier", "lead_verifier", "technician", "learner", "rival", "administrator"]
)
def test_for_others_it_is_not_there(cast, as_, submission, who):
    client = as_(getattr(cast, who))
    assert page(client, submission.work).status_code == 404
    grid = reverse("marking:assignment", args=[submission.work.assignment.uuid])
    assert client.get(grid).status_code == 404
    for what in ("decide", "feedback", "release"):
        assert send(client, what, submission, typed(submission, "P1"), text="x").status_code == 404
    assert not Decision.objects.exists()


def test_an_assessor_of_one_learner_sees_that_one_only(cast, as_, assignment):
    mine = assignment.works.get(learner=cast.rival)
    Work.objects.filter(pk=mine.pk).update(assessor=cast.other_teacher)
    client = as_(cast.other_teacher)
    rows = client.get(reverse("marking:assignment", args=[assignment.uuid])).context["rows"]
    assert [row.work for row in rows] == [mine]


def test_the_form_of_another_submission_is_not_taken_for_this_one(cast, as_, assignment, submission):
    other = hand_in(assignment, cast.rival)
    client = as_(cast.teacher)
    address = reverse("marking:decide", args=[submission.work.uuid])
    for named in (str(other.uuid), "nonsense", ""):
        data = {"once": str(uuid4()), **typed(submission, "P1"), "submission": named}
        assert client.post(address, data).status_code == 404
    assert not Decision.objects.exists()


# The class


def test_the_grid_says_in_words_what_was_decided_and_what_evidence_is_there(cast, as_, submission):
    client = as_(cast.teacher)
    send(client, "decide", submission, typed(submission, "P1"), typed(submission, "M1", "not yet met"))
    answer = client.get(reverse("marking:assignment", args=[submission.work.assignment.uuid]))
    row = next(row for row in answer.context["rows"] if row.work == submission.work)
    assert [(cell.code, cell.outcome, cell.evidence) for cell in row.cells] == [
        ("P1", "met", "1 missing"),
        ("P2", "", "1 missing"),
        ("M1", "not yet met", "all there"),
        ("D1", "", "1 missing"),
    ]
    assert row.state.word == "submitted"
    assert "not yet decided" in row.grade
    states = {row.state.word for row in answer.context["rows"]}
    assert states == {"submitted", "not submitted yet"}


def test_the_list_puts_what_waits_first(cast, as_, submission):
    idle = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    idle.due_at = NOW
    idle.save()
    client = as_(cast.teacher)
    found = list(client.get(reverse("marking:assignments")).context["page_obj"])
    assert found == [submission.work.assignment, idle]
    assert [(row.learners, row.submitted, row.waiting) for row in found] == [(6, 1, 1), (6, 0, 0)]
    decide_all(client, submission)
    send(client, "feedback", submission, text="Well read.")
    declare(client, submission)
    send(client, "release", submission)
    assert [row.waiting for row in client.get(reverse("marking:assignments")).context["page_obj"]] == [0, 0]


def test_with_nothing_to_mark_the_page_says_what_to_do(cast, as_):
    assert "Make one" in as_(cast.teacher).get(reverse("marking:assignments")).content.decode()


def marked_class(cast, learners):
    teaching_class = make_class(teacher=cast.teacher, learners=learners)
    session = make_session(teacher=cast.teacher, teaching_class=teaching_class)
    assignment = make_assignment(session=session, signed_off_by=cast.verifier)
    for member in session.members.all():
        make_readings(member.group.papers.get(), member.learner)
        BenchNote.objects.create(session=session, learner=member.learner, by=cast.teacher, at=NOW, text="P1")
        if member.learner.pk % 3:
            submission = hand_in(assignment, member.learner, conclusion="It ran.")
            criterion = assignment.brief.criteria.first()
            decide(
                by=cast.teacher,
                submission=submission,
                criterion=criterion,
                outcome="met",
                comment="x",
                valid=True,
                sufficient=True,
                now=NOW,
            )
    return assignment


def queries(client, address):
    with CaptureQueriesContext(connection) as seen:
        assert client.get(address).status_code == 200
    return len(seen)


def test_the_pages_take_the_same_queries_for_3_and_for_30_learners(cast, as_):
    client = as_(cast.teacher)
    counts = []
    for learners in (3, 30):
        assignment = marked_class(cast, learners)
        handed_in = assignment.works.filter(submissions__isnull=False).first()
        open_work = assignment.works.filter(submissions=None).first()
        pages = [
            reverse("marking:assignments"),
            reverse("marking:assignment", args=[assignment.uuid]),
            reverse("marking:work", args=[handed_in.uuid]),
            reverse("marking:work", args=[open_work.uuid]),
        ]
        counts.append([queries(client, address) for address in pages])
    assert counts[0] == counts[1]
    assert max(counts[0]) < 48
