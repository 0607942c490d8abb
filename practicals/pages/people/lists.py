"""What the lists of this journey show, in a number of queries that does not grow with them."""

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Count, Q, QuerySet

from practicals.access import manageable_people, planned_sessions, readable_classes
from practicals.models import AuditEntry, Enrolment, Role, Session, TeachingClass, User

ON_A_PAGE = 50


def account_page(user: Any, search: str, number: str) -> Page[User]:
    people = manageable_people(user).prefetch_related("grants")
    words = search.replace("\0", " ").split()[:5]
    for word in words:
        people = people.filter(Q(name__icontains=word) | Q(username__icontains=word))
    return Paginator(people, ON_A_PAGE).get_page(number)


def class_list(user: Any) -> QuerySet[TeachingClass]:
    present = Count("enrolments", filter=Q(enrolments__left_at=None), distinct=True)
    return readable_classes(user).annotate(learner_count=present).prefetch_related("teachers")


def enrolments_of(teaching_class: TeachingClass) -> QuerySet[Enrolment]:
    """Everybody who is in the class or was, those who left last."""
    return teaching_class.enrolments.select_related("learner").order_by(
        "left_at", "learner__sort_name", "learner_id"
    )


def sessions_of(teaching_class: TeachingClass, user: Any) -> list[tuple[Session, bool]]:
    """Sessions of the class, and whether this person may open each."""
    may = set(planned_sessions(user).values_list("pk", flat=True))
    sessions = teaching_class.sessions.select_related("practical").prefetch_related("lessons")
    return [(session, session.pk in may) for session in sessions]


def possible_teachers() -> QuerySet[User]:
    return User.objects.holding(Role.TEACHER)


def possible_teachers_of(teaching_class: TeachingClass) -> QuerySet[User]:
    """Also those who teach the class and may no longer be chosen elsewhere: they can be taken off."""
    teaching = teaching_class.teachers.values("pk")
    return User.objects.filter(Q(pk__in=possible_teachers().values("pk")) | Q(pk__in=teaching))


def colleagues_of(teaching_class: TeachingClass) -> QuerySet[User]:
    """Teachers who could join those of the class."""
    return possible_teachers().exclude(pk__in=teaching_class.teachers.values("pk"))


@dataclass(frozen=True, slots=True)
class TrailLine:
    """One entry of the audit trail, with the name of whoever acted while the person is known."""

    entry: AuditEntry
    who: str


def trail_page(number: str) -> tuple[Page[AuditEntry], list[TrailLine]]:
    page = Paginator(AuditEntry.objects.all(), ON_A_PAGE).get_page(number)
    tokens = {entry.actor for entry in page if entry.actor}
    people = User.objects.filter(token__in=tokens, erased_at=None).values_list("token", "name")
    names = dict(people)
    lines = [TrailLine(entry, _who(entry, names)) for entry in page]
    return page, lines


def _who(entry: AuditEntry, names: dict[Any, str]) -> str:
    if entry.actor is None:
        return "the program"
    return names.get(entry.actor) or str(entry.actor)
