"""Who may do what in `practicals`, what each address needs, and what a person may see.

PERMISSIONS and URLS are the tables that the gate reads. The functions below return what a person may
see; the rule for one object is membership of that queryset, so lists and pages cannot disagree.
"""

from typing import Any

from django.db.models import Q, QuerySet

from practicals.models import (
    Chamber,
    Lesson,
    Paper,
    PaperPhoto,
    ReadingSet,
    Role,
    Session,
    TeachingClass,
    User,
)
from practicals.models.people import UserQuerySet
from reagents.access import ANYONE, SIGNED_IN, Rule, holding

PERMISSIONS: dict[str, Rule] = {
    "practicals.manage_people": holding(Role.ADMINISTRATOR),
    "practicals.manage_centre": holding(Role.ADMINISTRATOR),
    "practicals.see_audit": holding(Role.ADMINISTRATOR),
    "practicals.import_roster": holding(Role.ADMINISTRATOR),
    "practicals.import_class": holding(Role.ADMINISTRATOR, Role.TEACHER),
    "practicals.see_classes": holding(Role.ADMINISTRATOR, Role.TEACHER),
    "practicals.see_practicals": holding(Role.TEACHER, Role.TECHNICIAN),
    "practicals.edit_practical": holding(Role.TEACHER),
    "practicals.plan_session": holding(Role.TEACHER),
    # Not who leads or supports a lesson, nor who verifies: they need no identity.
    "practicals.see_key": holding(Role.TEACHER, Role.TECHNICIAN),
    "practicals.run_lesson": holding(Role.TEACHER, Role.LESSON_ONLY),
    "practicals.end_bench_work": holding(Role.TEACHER),
    # What a learner measures and what help they get bears on the evidence: for those who answer for it.
    "practicals.change_conditions": holding(Role.TEACHER),
    "practicals.fill_chamber": holding(Role.TEACHER, Role.TECHNICIAN),
    "practicals.enter_readings": holding(Role.LEARNER),
    "practicals.set_passphrase": holding(Role.LEARNER),
    "practicals.change_password": holding(*(role for role in Role.values if role != Role.LEARNER)),
}

URLS: dict[str, str] = {
    "people:sign_in": ANYONE,
    "people:sign_out": ANYONE,
    "people:bench_sign_in": ANYONE,
    "people:theme": ANYONE,
    "people:statement": ANYONE,
    "people:health": ANYONE,
    "people:passphrase": "practicals.set_passphrase",
    "people:password": "practicals.change_password",
    "people:accounts": "practicals.manage_people",
    "people:new_account": "practicals.manage_people",
    "people:account": "practicals.manage_people",
    "people:erase": "practicals.manage_people",
    "people:centre": "practicals.manage_centre",
    "people:audit": "practicals.see_audit",
    "people:classes": "practicals.see_classes",
    "people:class": "practicals.see_classes",
    "people:class_teachers": "practicals.see_classes",
    "people:import_roster": "practicals.import_roster",
    "people:import_class": "practicals.import_class",
    "plan:practicals": "practicals.see_practicals",
    "plan:practical": "practicals.see_practicals",
    "plan:edit_practical": "practicals.edit_practical",
    "plan:published": "practicals.see_practicals",
    "plan:add_reference": "practicals.edit_practical",
    "plan:withdraw_reference": "practicals.edit_practical",
    "plan:sessions": "practicals.plan_session",
    "plan:new_session": "practicals.plan_session",
    "plan:session": "practicals.plan_session",
    "plan:edit_session": "practicals.plan_session",
    "plan:groups": "practicals.plan_session",
    "plan:unknowns": "practicals.plan_session",
    "plan:key": "practicals.see_key",
    "plan:copy": "practicals.plan_session",
    "plan:requisition": "practicals.plan_session",
    "plan:slips": "practicals.plan_session",
    "plan:reissue": "practicals.plan_session",
    "plan:start": "practicals.plan_session",
    "plan:withdraw": "practicals.plan_session",
    "plan:catch_up": "practicals.plan_session",
    "plan:lesson_staff": "practicals.plan_session",
    "board:board": "practicals.run_lesson",
    "board:live": "practicals.run_lesson",
    "board:register": "practicals.run_lesson",
    "board:paper": "practicals.run_lesson",
    "board:learner": "practicals.run_lesson",
    "board:note": "practicals.run_lesson",
    "board:no_result": "practicals.run_lesson",
    "board:give_paper": "practicals.change_conditions",
    "board:release_help": "practicals.change_conditions",
    "board:end_bench_work": "practicals.end_bench_work",
    "board:close": "practicals.end_bench_work",
    "board:results": "practicals.end_bench_work",
    "board:results_csv": "practicals.end_bench_work",
    "board:results_xlsx": "practicals.end_bench_work",
    "board:release_results": "practicals.end_bench_work",
    "board:same_figures": "practicals.end_bench_work",
    "board:chambers": "practicals.fill_chamber",
    "board:batch_papers": "practicals.fill_chamber",
    "bench:home": "practicals.enter_readings",
    "bench:session": "practicals.enter_readings",
    "bench:results": "practicals.enter_readings",
    "bench:paper": "practicals.enter_readings",
    "bench:readings": "practicals.enter_readings",
    "bench:lock": "practicals.enter_readings",
    "bench:amend": "practicals.enter_readings",
    "bench:add_photo": "practicals.enter_readings",
    "bench:photo": "practicals.enter_readings",
    "bench:front": "practicals.enter_readings",
    "board:front": "practicals.run_lesson",
    "board:photo": "practicals.run_lesson",
    "home:home": SIGNED_IN,
}


def manageable_people(user: Any) -> UserQuerySet:
    """Everybody who has an account, for whoever keeps the accounts; of those erased only a token is left."""
    if not user.has_perm("practicals.manage_people"):
        return User.objects.none()
    return User.objects.filter(erased_at=None)


def readable_classes(user: Any) -> QuerySet[TeachingClass]:
    if user.holds(Role.ADMINISTRATOR):
        return TeachingClass.objects.all()
    if user.holds(Role.TEACHER):
        return TeachingClass.objects.filter(teachers=user)
    return TeachingClass.objects.none()


def planned_sessions(user: Any) -> QuerySet[Session]:
    """Sessions that a teacher may plan and change: their own and those of classes they teach."""
    if not user.holds(Role.TEACHER):
        return Session.objects.none()
    return Session.objects.filter(Q(teacher=user) | Q(teaching_class__teachers=user)).distinct()


def standing_sessions(user: Any) -> QuerySet[Session]:
    """Those of `planned_sessions` that were not withdrawn: what lists show and what is built upon."""
    return planned_sessions(user).filter(withdrawn_at=None)


def keyed_sessions(user: Any) -> QuerySet[Session]:
    """Sessions whose key to the unknowns a person may see: a technician's once they are asked to prepare."""
    if user.holds(Role.TECHNICIAN):
        return Session.objects.filter(Q(requisition__isnull=False) | Q(pk__in=planned_sessions(user)))
    return planned_sessions(user)


def led_sessions(user: Any) -> QuerySet[Session]:
    """Sessions whose bench board a person may open: as teacher, as leader or helper of one lesson."""
    mine = Q(lessons__helpers__user=user)
    if user.holds(Role.TEACHER):
        mine |= Q(teacher=user) | Q(teaching_class__teachers=user) | Q(lessons__leader=user)
    elif user.holds(Role.LESSON_ONLY):
        mine |= Q(lessons__leader=user)
    else:
        return Session.objects.none()
    return Session.objects.filter(mine, withdrawn_at=None).distinct()


def endable_sessions(user: Any) -> QuerySet[Session]:
    """Sessions whose bench work a teacher may end: their own, their classes', and where they lead a lesson.

    Who helps in one lesson follows the board and ends nothing, also if they teach elsewhere.
    """
    if not user.holds(Role.TEACHER):
        return Session.objects.none()
    mine = Q(teacher=user) | Q(teaching_class__teachers=user) | Q(lessons__leader=user)
    return Session.objects.filter(mine, withdrawn_at=None).distinct()


def led_lessons(user: Any) -> QuerySet[Lesson]:
    """Lessons whose register a person may take. Lesson staff have the one lesson they were given."""
    if user.holds(Role.TEACHER):
        return Lesson.objects.filter(session__in=led_sessions(user))
    if user.holds(Role.LESSON_ONLY):
        given = Q(helpers__user=user) | Q(leader=user)
        return Lesson.objects.filter(given, session__withdrawn_at=None).distinct()
    return Lesson.objects.none()


def bench_sessions(user: Any) -> QuerySet[Session]:
    """A learner's own sessions; at the bench only the one that the code opened."""
    if not user.holds(Role.LEARNER):
        return Session.objects.none()
    mine = Session.objects.filter(members__learner=user, started_at__isnull=False)
    return mine.filter(uuid=user.bench_session) if user.bench_session else mine


def bench_papers(user: Any) -> QuerySet[Paper]:
    """Papers that a learner may measure: their group's, and one the teacher gave them instead."""
    sessions = bench_sessions(user)
    own = Q(group__members__learner=user, group__session__in=sessions)
    given = Q(reading_sets__learner=user, group__session__in=sessions)
    return Paper.objects.filter(own | given).distinct()


def own_readings(user: Any) -> QuerySet[ReadingSet]:
    return ReadingSet.objects.filter(learner=user, session__in=bench_sessions(user))


def own_photos(user: Any) -> QuerySet[PaperPhoto]:
    """A learner's own photos, those withdrawn included."""
    return PaperPhoto.objects.filter(learner=user, paper__group__session__in=bench_sessions(user))


def led_papers(user: Any) -> QuerySet[Paper]:
    return Paper.objects.filter(group__session__in=led_sessions(user))


def followed_papers(user: Any) -> QuerySet[Paper]:
    """Papers whose front a person may follow: their own group's at the bench, and those they lead."""
    own = Q(group__members__learner=user, group__session__in=bench_sessions(user))
    return Paper.objects.filter(own | Q(group__session__in=led_sessions(user))).distinct()


def led_readings(user: Any) -> QuerySet[ReadingSet]:
    return ReadingSet.objects.filter(session__in=led_sessions(user))


def led_learners(session: Session) -> QuerySet[User]:
    return User.objects.filter(memberships__session=session)


def fillable_chambers(user: Any) -> QuerySet[Chamber]:
    """A technician fills any chamber; a teacher those of sessions they lead."""
    if user.holds(Role.TECHNICIAN):
        return Chamber.objects.filter(group__session__closed_at=None, group__session__withdrawn_at=None)
    return Chamber.objects.filter(group__session__in=led_sessions(user))


def fillable_sessions(user: Any) -> QuerySet[Session]:
    """Sessions with chambers that a person may fill."""
    return Session.objects.filter(groups__chambers__in=fillable_chambers(user)).distinct()


def traceable_sessions(user: Any) -> QuerySet[Session]:
    """Sessions in which a person may trace a batch: a technician in all, by group number only."""
    return Session.objects.all() if user.holds(Role.TECHNICIAN) else led_sessions(user)
