"""A class doing a practical: the session, its lessons, groups, register and chambers."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q, QuerySet

from practicals.models.people import TeachingClass, User
from practicals.models.practical import Practical
from reagents.models import Batch, Kept, KeptQuerySet, Requisition, Versioned


class SessionQuerySet(KeptQuerySet):
    def for_list(self) -> "SessionQuerySet":
        return self.select_related("practical", "teaching_class", "teacher").prefetch_related("lessons")

    def standing(self) -> "SessionQuerySet":
        return self.filter(withdrawn_at=None)


class Session(Kept, Versioned):
    class Help(models.TextChoices):
        NOTHING = "nothing", "nothing"
        SOMETHING = "something", "that something is off"
        HINT = "hint", "a hint"
        EXPLANATION = "explanation", "the full explanation"

    class Unknowns(models.TextChoices):
        SAME = "same", "every group the same unknowns"
        DIFFER = "differ", "unknowns differ by group"
        BY_HAND = "by hand", "picked by hand for each group"

    practical = models.ForeignKey(Practical, on_delete=models.PROTECT, related_name="sessions")
    teaching_class = models.ForeignKey(TeachingClass, on_delete=models.PROTECT, related_name="sessions")
    teacher = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    title = models.CharField(max_length=160)
    help_setting = models.CharField(max_length=12, choices=Help, default=Help.HINT)
    group_size = models.PositiveSmallIntegerField(default=3)
    group_seed = models.PositiveBigIntegerField()
    unknowns = models.CharField(
        max_length=10, choices=Unknowns, blank=True, help_text="empty: as the practical codes them"
    )
    unknowns_seed = models.PositiveBigIntegerField(null=True, blank=True)
    requisition = models.OneToOneField(
        Requisition, on_delete=models.PROTECT, null=True, blank=True, related_name="session"
    )
    copied_from = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    planned_at = models.DateTimeField()
    started_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)
    readings_locked_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    results_released_at = models.DateTimeField(
        null=True, blank=True, help_text="when learners may see the class's values, without names"
    )

    objects: ClassVar[Any] = SessionQuerySet.as_manager()

    class Meta:
        ordering = ["-planned_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(readings_locked_at=None) | Q(started_at__isnull=False),
                name="session_locked_only_when_started",
            ),
            models.CheckConstraint(
                condition=Q(closed_at=None) | Q(readings_locked_at__isnull=False),
                name="session_closed_only_when_locked",
            ),
            models.CheckConstraint(condition=Q(group_size__gte=1), name="session_group_size_positive"),
            models.CheckConstraint(
                condition=Q(unknowns="", unknowns_seed=None)
                | (~Q(unknowns="") & Q(unknowns_seed__isnull=False)),
                name="session_unknowns_with_their_seed",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None) | Q(started_at=None),
                name="session_withdrawn_only_before_start",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None, withdrawn_reason="")
                | (Q(withdrawn_at__isnull=False) & ~Q(withdrawn_reason="")),
                name="session_withdrawn_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def stage(self) -> str:
        if self.withdrawn_at:
            return "withdrawn"
        if self.closed_at:
            return "closed"
        if self.readings_locked_at:
            return "bench work ended"
        return "at the bench" if self.started_at else "planned"


class Lesson(Kept):
    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="lessons")
    starts_at = models.DateTimeField()
    minutes = models.PositiveSmallIntegerField()
    room = models.CharField(max_length=60)
    leader = models.ForeignKey(User, on_delete=models.PROTECT, related_name="lessons_led")

    class Meta:
        ordering = ["starts_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["session", "starts_at"], name="lesson_start_once"),
            models.CheckConstraint(
                condition=Q(minutes__gte=10) & Q(minutes__lte=600), name="lesson_length_sensible"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.session} in {self.room}"


class LessonHelper(models.Model):
    """Someone who covers or supports one lesson and nothing else."""

    class Part(models.TextChoices):
        COVER = "cover leader", "cover leader"
        SUPPORT = "support assistant", "support assistant"

    lesson = models.ForeignKey(Lesson, on_delete=models.PROTECT, related_name="helpers")
    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="lessons_helped")
    part = models.CharField(max_length=20, choices=Part)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["lesson", "user"], name="lesson_helper_once")]

    def __str__(self) -> str:
        return f"{self.user}, {self.part}"


class Group(Kept):
    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="groups")
    number = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["session", "number"], name="group_number_once")]

    def __str__(self) -> str:
        return f"Group {self.number}"


class GroupMember(models.Model):
    """A learner in a group. A catch-up comes from another class's session and stays with its assessor."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="members")
    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="members")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="memberships")
    home_session = models.ForeignKey(
        Session, on_delete=models.PROTECT, null=True, blank=True, related_name="catching_up_elsewhere"
    )

    class Meta:
        ordering = ["learner__sort_name", "learner_id"]
        constraints = [
            models.UniqueConstraint(fields=["session", "learner"], name="member_of_one_group"),
            models.CheckConstraint(
                condition=Q(home_session=None) | ~Q(home_session=models.F("session")),
                name="catch_up_is_elsewhere",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.learner}, {self.group}"


class Attendance(models.Model):
    class Mark(models.TextChoices):
        PRESENT = "present", "present"
        LATE = "late", "late"
        ABSENT = "absent", "absent"

    lesson = models.ForeignKey(Lesson, on_delete=models.PROTECT, related_name="register")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="attendance")
    mark = models.CharField(max_length=10, choices=Mark)
    marked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    marked_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["lesson", "learner"], name="marked_once_a_lesson")]

    def __str__(self) -> str:
        return f"{self.learner}: {self.mark}"


class Chamber(Kept):
    """A vessel in which papers are developed, and the batch it was filled from."""

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="chambers")
    number = models.PositiveSmallIntegerField()
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="chambers")
    filled_at = models.DateTimeField(null=True, blank=True)
    filled_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(max_length=200, blank=True, help_text="why another batch than the proposed one")

    class Meta:
        ordering = ["group__number", "number"]
        constraints = [
            models.UniqueConstraint(fields=["group", "number"], name="chamber_number_once"),
            models.CheckConstraint(
                condition=Q(batch=None, filled_at=None, filled_by=None)
                | Q(batch__isnull=False, filled_at__isnull=False, filled_by__isnull=False),
                name="chamber_filled_by_someone",
            ),
        ]

    def __str__(self) -> str:
        return f"chamber {self.number} of {self.group}"


def learners_of(session: Session) -> "QuerySet[User]":
    """Everybody who works in the session, catch-ups included."""
    return User.objects.filter(memberships__session=session)
