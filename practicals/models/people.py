"""The centre, its people, their roles and classes."""

from functools import cached_property
from typing import Any
from uuid import UUID, uuid4

from django.contrib.auth import get_backends
from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.core.exceptions import PermissionDenied
from django.db import models
from django.db.models import Q

from reagents.models import Kept, NeverDeleted, Versioned


class Centre(Versioned):
    """The one college or school that this installation serves."""

    class Region(models.TextChoices):
        ENGLAND_WALES = "ENG-WLS", "England and Wales"
        SCOTLAND = "SCT", "Scotland"
        NORTHERN_IRELAND = "NIR", "Northern Ireland"

    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=60, default="Europe/London")
    region = models.CharField(max_length=8, choices=Region, default=Region.ENGLAND_WALES)
    base_address = models.URLField(
        default="http://127.0.0.1:8000", help_text="what the QR codes on slips and documents lead to"
    )
    invented_notice = models.CharField(
        max_length=200, blank=True, help_text="stands on every page and document while the data is invented"
    )

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(id=1), name="centre_is_one")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.id = 1
        super().save(*args, **kwargs)

    @classmethod
    def here(cls) -> "Centre":
        return cls.objects.first() or cls(name="Your centre")


class Role(models.TextChoices):
    TEACHER = "teacher", "teacher"
    TECHNICIAN = "technician", "technician"
    LEARNER = "learner", "learner"
    VERIFIER = "internal verifier", "internal verifier"
    LEAD_VERIFIER = "lead verifier", "lead verifier"
    ADMINISTRATOR = "administrator", "administrator"
    LESSON_ONLY = "lesson staff", "cover leader or support assistant"


class UserQuerySet(models.QuerySet["User"]):
    def holding(self, *roles: str) -> "UserQuerySet":
        return self.filter(grants__role__in=roles, is_active=True).distinct()

    def delete(self) -> Any:
        raise NeverDeleted("User")


class UserManager(BaseUserManager.from_queryset(UserQuerySet)):  # type: ignore[misc]
    def get_by_natural_key(self, username: str | None) -> "User":
        return self.get(username__iexact=username)


class User(AbstractBaseUser, Versioned):
    """A person. Audit rows and frozen evidence name them by `token`, so that erasure breaks no hash."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    token = models.UUIDField(default=uuid4, unique=True, editable=False)
    username = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    sort_name = models.CharField(max_length=120)
    reference = models.CharField(max_length=40, blank=True, help_text="the centre's own learner number")
    is_active = models.BooleanField(default=True)
    theme = models.CharField(
        max_length=5, blank=True, choices=[("", "as the device"), ("light", "light"), ("dark", "dark")]
    )
    erased_at = models.DateTimeField(null=True, blank=True)

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["name"]

    #: Set by the gate for someone who signed in at the bench: the one session they may see.
    bench_session: UUID | None = None

    objects = UserManager()

    class Meta:
        ordering = ["sort_name", "name", "id"]

    def __str__(self) -> str:
        return self.name

    @cached_property
    def roles(self) -> frozenset[str]:
        return frozenset(self.grants.values_list("role", flat=True))

    def holds(self, role: str) -> bool:
        """Whether the role may be used now. A bench code is short: it opens a learner's bench and no more."""
        if self.bench_session is not None and role != Role.LEARNER:
            return False
        return self.is_active and role in self.roles

    def has_perm(self, perm: str, obj: Any = None) -> bool:
        """Ask the gate's tables. There is no superuser who would pass by them."""
        for backend in get_backends():
            try:
                if hasattr(backend, "has_perm") and backend.has_perm(self, perm, obj):
                    return True
            except PermissionDenied:
                return False
        return False


class RoleGrant(models.Model):
    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="grants")
    role = models.CharField(max_length=20, choices=Role)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "role"], name="role_once_per_person")]

    def __str__(self) -> str:
        return f"{self.user}: {self.role}"


class TeachingClass(Kept):
    """A class of learners, with the word that opens the bench sign-in for it."""

    name = models.CharField(max_length=80, unique=True)
    class_word = models.CharField(max_length=30, unique=True)
    teachers = models.ManyToManyField(User, related_name="classes_taught", blank=True)

    class Meta:
        ordering = ["name"]
        verbose_name = "class"
        verbose_name_plural = "classes"

    def __str__(self) -> str:
        return self.name

    def learners(self) -> "UserQuerySet":
        return User.objects.filter(enrolments__teaching_class=self, enrolments__left_at=None)


class Enrolment(models.Model):
    teaching_class = models.ForeignKey(TeachingClass, on_delete=models.PROTECT, related_name="enrolments")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="enrolments")
    joined_at = models.DateTimeField()
    left_at = models.DateTimeField(null=True, blank=True)
    left_reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["learner__sort_name", "learner_id"]
        constraints = [
            models.UniqueConstraint(
                fields=["teaching_class", "learner"],
                condition=Q(left_at=None),
                name="enrolled_once_in_a_class",
            )
        ]

    def __str__(self) -> str:
        return f"{self.learner} in {self.teaching_class}"
