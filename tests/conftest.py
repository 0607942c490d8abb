"""The cast that every test may use: one class, one of each role, one rival learner."""

from dataclasses import dataclass

import pytest
from django.test import Client

from practicals.models import Centre, Role, Session, TeachingClass, User
from tests.factories import make_class, make_session, make_user


@dataclass(frozen=True)
class Cast:
    teacher: User
    other_teacher: User
    technician: User
    verifier: User
    lead_verifier: User
    administrator: User
    teaching_class: TeachingClass
    session: Session
    learner: User
    group_mate: User
    rival: User
    stranger: User


@pytest.fixture
def centre(db: None) -> Centre:
    centre = Centre(name="Invented College", invented_notice="Invented data for tests.")
    centre.save()
    return centre


@pytest.fixture
def cast(centre: Centre) -> Cast:
    """The learner and a group mate share group 1; the rival is in group 2, the stranger in another class."""
    teacher = make_user("Tess Teacher", Role.TEACHER)
    other_teacher = make_user("Olu Other", Role.TEACHER)
    teaching_class = make_class("Class 1A", teacher=teacher, learners=6)
    elsewhere = make_class("Class 2B", teacher=other_teacher, learners=3)
    make_session(teacher=other_teacher, teaching_class=elsewhere)
    session = make_session(teacher=teacher, teaching_class=teaching_class)
    first, second = session.groups.all()
    learner, group_mate, *_ = [member.learner for member in first.members.all()]
    return Cast(
        teacher=teacher,
        other_teacher=other_teacher,
        technician=make_user("Tam Technician", Role.TECHNICIAN),
        verifier=make_user("Vic Verifier", Role.VERIFIER),
        lead_verifier=make_user("Lee Lead", Role.LEAD_VERIFIER),
        administrator=make_user("Ada Administrator", Role.ADMINISTRATOR),
        teaching_class=teaching_class,
        session=session,
        learner=learner,
        group_mate=group_mate,
        rival=second.members.first().learner,
        stranger=elsewhere.learners().first(),
    )


@pytest.fixture
def as_():
    """`as_(person)` is a client signed in as that person."""

    def sign_in(person: User) -> Client:
        fresh = Client()
        fresh.force_login(person, backend="practicals.gate.TableBackend")
        return fresh

    return sign_in
