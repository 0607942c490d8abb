"""What waits for a person today, in the order in which it should be done. Queries only, no links."""

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, Exists, Min, OuterRef, Q, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from assessment.models.attempts import ResubmissionGrant
from assessment.models.brief import Assignment, Brief
from assessment.models.decision import Feedback
from assessment.models.evidence import Submission, Work
from assessment.models.follow_up import BriefReview
from assessment.models.verification import SampledPortfolio
from practicals.models import Lesson, Session, User
from reagents.models import Requisition

#: Beyond these the full lists are one link away.
ROWS = 8
AHEAD = timedelta(days=14)


def lessons_ahead(lessons: QuerySet[Lesson], now: datetime) -> list[Lesson]:
    """Lessons that begin today or later, soonest first; those at the bench stand in their own list."""
    return lessons_given(lessons.filter(session__started_at=None), now)


def lessons_given(lessons: QuerySet[Lesson], now: datetime) -> list[Lesson]:
    """The same with those at the bench, for whoever has lessons and no list of sessions."""
    ahead = lessons.filter(starts_at__gte=now - timedelta(hours=12), session__closed_at=None)
    return list(ahead.select_related("session__practical", "leader").order_by("starts_at")[:ROWS])


def sessions_at_the_bench(sessions: QuerySet[Session]) -> list[Session]:
    running = sessions.filter(started_at__isnull=False, closed_at=None)
    return list(running.select_related("practical", "teaching_class").order_by("-started_at")[:ROWS])


def sessions_without_requisition(sessions: QuerySet[Session]) -> list[Session]:
    return list(
        sessions.filter(requisition=None, started_at=None, withdrawn_at=None)
        .select_related("practical")
        .order_by("planned_at")[:ROWS]
    )


def assignments_to_decide(assessor: User) -> list[Any]:
    """Assignments with handed-in work whose result is not released, with how many (`waiting`)."""
    released = Feedback.objects.filter(submission=OuterRef("pk"), released_at__isnull=False)
    waiting = Submission.objects.filter(work__assessor=assessor).exclude(Exists(released))
    return list(
        Assignment.objects.filter(works__submissions__in=waiting)
        .annotate(
            waiting=Count("works__submissions", filter=Q(works__submissions__in=waiting), distinct=True)
        )
        .select_related("brief", "teaching_class")
        .order_by("due_at")[:ROWS]
    )


def assignments_not_issued(assessor: User) -> list[Assignment]:
    unissued = Assignment.objects.filter(assessor=assessor, issued_at=None)
    return list(unissued.select_related("brief", "teaching_class").order_by("due_at")[:ROWS])


def resubmissions_running(assessor: User, now: datetime) -> list[ResubmissionGrant]:
    """Authorised, not handed in yet and not over: the one that ends first comes first."""
    later = Submission.objects.filter(
        work=OuterRef("submission__work"), attempt__gt=OuterRef("submission__attempt")
    )
    running = ResubmissionGrant.objects.filter(submission__work__assessor=assessor, due_at__gte=now)
    return list(
        running.exclude(Exists(later))
        .select_related("submission__work__learner", "submission__work__assignment__brief")
        .order_by("due_at")[:ROWS]
    )


def requisitions_ahead(now: datetime) -> list[Any]:
    """Requisitions still to come, with how many lines have no batch yet (`to_make`)."""
    no_batch = Q(lines__batches=None) & Q(lines__isnull=False)
    return list(
        Requisition.objects.standing()
        .filter(needed_at__gte=now - timedelta(hours=12), needed_at__lte=now + AHEAD)
        .annotate(to_make=Count("lines", filter=no_batch, distinct=True))
        .order_by("needed_at")[:ROWS]
    )


def sessions_with_chambers(sessions: QuerySet[Session], now: datetime) -> list[Any]:
    """Sessions of today and the days ahead, with how many chambers there are (`chambers`, `empty`)."""
    near = sessions.filter(
        closed_at=None,
        lessons__starts_at__gte=now - timedelta(hours=12),
        lessons__starts_at__lte=now + AHEAD,
    ).values("pk")
    no_batch = Q(groups__chambers__batch=None) & Q(groups__chambers__isnull=False)
    return list(
        Session.objects.filter(pk__in=near)
        .annotate(
            first_lesson=Min("lessons__starts_at"),
            chambers=Count("groups__chambers", distinct=True),
            empty=Count("groups__chambers", filter=no_batch, distinct=True),
        )
        .select_related("practical")
        .prefetch_related("lessons")
        .order_by("first_lesson")[:ROWS]
    )


def works_to_do(works: QuerySet[Work]) -> list[Work]:
    """A learner's work, soonest due first, with what its state needs."""
    return list(
        works.select_related("assignment__brief")
        .prefetch_related("submissions__feedback", "submissions__grant")
        .order_by(Coalesce("due_at", "assignment__due_at"))
    )


def briefs_to_check(verifier: User) -> list[Brief]:
    """Newest editions that nobody has looked at, or whose last look found no fault."""
    unsigned = Brief.objects.newest_editions().filter(signed_off_at=None).exclude(author=verifier)
    asked = unsigned.annotate(last_verdict=_last_verdict()).exclude(last_verdict=BriefReview.Verdict.CHANGES)
    return list(asked.order_by("written_at")[:ROWS])


def briefs_to_change(author: User) -> list[Brief]:
    """Newest editions of one author in which the last look wants something changed."""
    mine = Brief.objects.newest_editions().filter(signed_off_at=None, author=author)
    asked = mine.annotate(last_verdict=_last_verdict()).filter(last_verdict=BriefReview.Verdict.CHANGES)
    return list(asked.order_by("written_at")[:ROWS])


def _last_verdict() -> Coalesce:
    rounds = BriefReview.objects.filter(brief=OuterRef("pk")).order_by("-reviewed_at", "-pk")
    return Coalesce(Subquery(rounds.values("verdict")[:1]), Value(""))


def portfolios_to_verify(portfolios: QuerySet[SampledPortfolio], verifier: User) -> list[SampledPortfolio]:
    """Sampled portfolios that nobody has begun, or that this verifier has begun and not signed."""
    open_ones = portfolios.filter(Q(record=None) | Q(record__verifier=verifier, record__signed_at=None))
    return list(
        open_ones.select_related("plan__unit", "submission__work__learner").order_by("plan_id", "order")[
            :ROWS
        ]
    )
