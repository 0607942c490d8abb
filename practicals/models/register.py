"""The register of a lesson as it stands."""

from dataclasses import dataclass
from datetime import datetime

from practicals.models.people import User
from practicals.models.session import Lesson


@dataclass(frozen=True, slots=True)
class Register:
    """Everybody to be marked, guests included; who marked last, and when."""

    learners: tuple[User, ...]
    guests: dict[int, str]
    marks: dict[int, str]
    taken_by: User | None
    taken_at: datetime | None

    @property
    def unmarked(self) -> int:
        return sum(learner.pk not in self.marks for learner in self.learners)


def register_of(lesson: Lesson) -> Register:
    members = list(lesson.session.members.select_related("learner", "home_session__teaching_class"))
    kept = list(lesson.register.select_related("marked_by").order_by("marked_at"))
    last = kept[-1] if kept else None
    return Register(
        learners=tuple(member.learner for member in members),
        guests={m.learner_id: m.home_session.teaching_class.name for m in members if m.home_session},
        marks={row.learner_id: row.mark for row in kept},
        taken_by=last.marked_by if last else None,
        taken_at=last.marked_at if last else None,
    )
