"""Queries and milliseconds of the pages that a class makes heavy, with a small and a large class."""

from time import perf_counter

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.models import Role, User
from tests.factories import make_assignment, make_class, make_readings, make_session, make_user

REPEATS = 5


def report():
    small, large = pages_of(6), pages_of(30)
    return [row(name, small[name], large[name]) for name in small]


def row(name, small, large):
    return (
        f"{name}, 6 and 30 learners",
        f"{small[1]:.0f} and {large[1]:.0f} ms",
        f"{small[0]} and {large[0]} queries",
    )


def pages_of(learners):
    """Queries and the middle time of each page, for a class of so many."""
    teacher = make_user("", Role.TEACHER)
    teaching_class = make_class(teacher=teacher, learners=learners)
    session = make_session(teacher=teacher, teaching_class=teaching_class)
    for group in session.groups.all():
        for member in group.members.all():
            make_readings(group.papers.get(), member.learner)
    assignment = make_assignment(session=session)
    client = Client()
    client.force_login(User.objects.get(pk=teacher.pk))
    addresses = {
        "bench board, refresh": reverse("board:live", args=[session.uuid]),
        "register": reverse("board:register", args=[session.lessons.get().uuid]),
        "session page": reverse("plan:session", args=[session.uuid]),
        "marking grid": reverse("marking:assignment", args=[assignment.uuid]),
    }
    return {name: measured(client, address) for name, address in addresses.items()}


def measured(client, address):
    client.get(address)
    times = []
    for _ in range(REPEATS):
        with CaptureQueriesContext(
            connection,
        ) as caught:
            start = perf_counter()
            answer = client.get(address)
            times.append(perf_counter() - start)
        assert answer.status_code == 200, address
    return len(caught), 1000 * sorted(times)[REPEATS // 2]
