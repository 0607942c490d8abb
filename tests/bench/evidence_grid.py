"""The evidence of a large class: learner by criterion, on screen and gathered for print."""

from time import perf_counter

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessment.documents.class_summary import gather_class_summary
from assessment.models import Criterion, EvidencePart, Submission
from practicals.models import Role, User
from tests.assessment.submitting import hand_in
from tests.bench.pages import measured
from tests.factories import NOW, make_assignment, make_class, make_readings, make_session, make_user

CRITERIA = 10
KINDS = ("readings", "own_rf", "identification", "conclusion", "evaluation", "observation", "photo")


def report():
    small, large = class_of(30), class_of(300)
    for what, measure in (("page", on_screen), ("gathered for print", for_print)):
        (few, fast), (many, slow) = measure(*small), measure(*large)
        yield (
            f"evidence grid, {what}, 30 and 300 x {CRITERIA}",
            f"{fast:.0f} and {slow:.0f} ms",
            f"{few} and {many} queries",
        )


def class_of(learners):
    """A tenth has not submitted and stands there as it is now; the rest has copies of one submission."""
    teacher = make_user("", Role.TEACHER)
    session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=learners))
    assignment = make_assignment(session=session)
    ask_more(assignment)
    members = list(session.members.all())
    for member in members[: 1 + learners // 10]:
        make_readings(member.group.papers.get(), member.learner)
    first = hand_in(assignment, members[0].learner, conclusion="X runs with leucine.")
    facts = first.parts.get(name="facts")
    waiting = {member.learner_id for member in members[1 : 1 + learners // 10]}
    for work in assignment.works.exclude(pk=first.work_id).exclude(learner__in=waiting):
        copy = Submission.objects.create(
            work=work,
            submitted_at=NOW,
            declaration=first.declaration,
            manifest=first.manifest,
            manifest_sha256=first.manifest_sha256,
        )
        EvidencePart.objects.create(
            submission=copy,
            name="facts",
            media_type=facts.media_type,
            text=facts.text,
            sha256=facts.sha256,
        )
    return teacher, assignment


def ask_more(assignment):
    unit = assignment.brief.unit
    for order in range(5, CRITERIA + 1):
        Criterion.objects.create(unit=unit, order=order, code=f"P{order}", level="pass", text="More.")
    for number, criterion in enumerate(unit.criteria.all()):
        criterion.needs = [{"kind": kind} for kind in (KINDS[number % 7], KINDS[(number + 3) % 7])]
        criterion.save()
    assignment.brief.criteria.set(unit.criteria.all())


def on_screen(teacher, assignment):
    client = Client()
    client.force_login(User.objects.get(pk=teacher.pk))
    return measured(client, reverse("marking:evidence", args=[assignment.uuid]))


def for_print(teacher, assignment):
    with CaptureQueriesContext(connection) as caught:
        start = perf_counter()
        gather_class_summary(assignment, by=teacher, now=NOW)
        taken = perf_counter() - start
    return len(caught), 1000 * taken
