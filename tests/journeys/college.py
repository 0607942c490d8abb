"""A small invented college as it stands before a session is planned."""

from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone

from assessment.actions.add_unit import add_unit
from assessment.calculations.unit_file import shipped_unit_texts
from assessment.management.scenario.briefing import brief_for
from assessment.models import Unit
from practicals.actions.add_practical import add_practical
from practicals.calculations.practical_file import shipped_practicals
from practicals.models import Centre, Role, Session, TeachingClass, User
from tests.factories import make_class, make_user

#: What `make_user` sets.
PASSWORD = "correct horse battery"


@dataclass
class College:
    teacher: User
    technician: User
    verifier: User
    teaching_class: TeachingClass
    unit: Unit

    @property
    def session(self) -> Session:
        return Session.objects.get()

    @property
    def learner(self) -> User:
        return self.session.groups.get(number=1).members.order_by("pk").first().learner


def found_college() -> College:
    """A class of four, the shipped practicals and unit, a brief that was signed off; nothing else."""
    Centre(name="Invented College", invented_notice="Invented data for tests.").save()
    # A teacher who is a verifier too: what they may not verify follows from the act, not from the role.
    teacher = make_user("Tess Teacher", Role.TEACHER, Role.VERIFIER, username="tess")
    lead = make_user("Lee Lead", Role.LEAD_VERIFIER, username="lee")
    now = timezone.now() - timedelta(days=30)
    for text in shipped_practicals().values():
        add_practical(by=None, text=text, now=now)
    unit = add_unit(by=None, text=shipped_unit_texts()[0], now=now)
    brief_for(unit, author=teacher, checker=lead, now=now)
    teaching_class = make_class("Class 1A", teacher=teacher, learners=4)
    for learner in teaching_class.learners():
        learner.set_unusable_password()
        learner.save()
    return College(
        teacher=teacher,
        technician=make_user("Tam Technician", Role.TECHNICIAN, username="tam"),
        verifier=make_user("Vic Verifier", Role.VERIFIER, username="vic"),
        teaching_class=teaching_class,
        unit=unit,
    )
