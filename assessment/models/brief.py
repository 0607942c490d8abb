"""Briefs, signed off version by version, and the assignments issued from them."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Exists, F, OuterRef, Q

from assessment.models.policy import Policy
from assessment.models.unit import Criterion, Unit
from practicals.models import Session, TeachingClass, User
from reagents.models import Kept, KeptQuerySet, Versioned


class BriefQuerySet(KeptQuerySet):
    def newest_editions(self) -> "BriefQuerySet":
        later = Brief.objects.filter(slug=OuterRef("slug"), edition__gt=OuterRef("edition"))
        return self.filter(~Exists(later)).whole()

    def whole(self) -> "BriefQuerySet":
        return self.select_related("unit", "author", "signed_off_by").prefetch_related("criteria")

    def signed_off_first(self) -> "BriefQuerySet":
        return self.order_by(F("signed_off_at").desc(nulls_last=True), "title")

    def other_editions(self, brief: "Brief") -> "BriefQuerySet":
        return self.filter(slug=brief.slug).exclude(pk=brief.pk)


class Brief(Kept):
    """What learners are asked to do. An edit makes a new edition, which needs its own sign-off."""

    slug = models.SlugField(max_length=80)
    edition = models.PositiveIntegerField(default=1)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="briefs")
    title = models.CharField(max_length=160)
    scenario = models.TextField(blank=True)
    tasks = models.TextField()
    conditions = models.TextField(blank=True, help_text="where, with what, how long, with which help")
    criteria = models.ManyToManyField(Criterion, related_name="briefs")
    author = models.ForeignKey(User, on_delete=models.PROTECT, related_name="briefs_written")
    written_at = models.DateTimeField()
    signed_off_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    signed_off_at = models.DateTimeField(null=True, blank=True)
    sign_off_comment = models.TextField(blank=True)

    objects: ClassVar[Any] = BriefQuerySet.as_manager()

    class Meta:
        ordering = ["title", "-edition"]
        constraints = [
            models.UniqueConstraint(fields=["slug", "edition"], name="brief_edition_once"),
            models.CheckConstraint(
                condition=Q(signed_off_by=None, signed_off_at=None)
                | (Q(signed_off_at__isnull=False) & ~Q(signed_off_by=F("author"))),
                name="brief_signed_off_by_another",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title} (edition {self.edition})"


class AssignmentQuerySet(KeptQuerySet):
    def for_list(self) -> "AssignmentQuerySet":
        return self.select_related("brief__unit", "teaching_class", "assessor").prefetch_related("sessions")

    def on_session(self, session: Session) -> "AssignmentQuerySet":
        return self.filter(sessions=session).select_related("brief", "teaching_class")

    def for_page(self) -> "AssignmentQuerySet":
        return self.for_list().select_related("issued_by").prefetch_related("brief__criteria")


class Assignment(Kept, Versioned):
    """A brief issued to a class, drawing on one or more sessions."""

    brief = models.ForeignKey(Brief, on_delete=models.PROTECT, related_name="assignments")
    teaching_class = models.ForeignKey(TeachingClass, on_delete=models.PROTECT, related_name="assignments")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="assignments_assessed")
    sessions = models.ManyToManyField(Session, related_name="assignments")
    hand_out_on = models.DateField(null=True, blank=True)
    due_at = models.DateTimeField()
    policy = models.ForeignKey(
        Policy,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="assignments",
        help_text="the one it was issued under",
    )
    hold_until_verified = models.BooleanField(default=False)
    issued_at = models.DateTimeField(null=True, blank=True)
    issued_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    objects: ClassVar[Any] = AssignmentQuerySet.as_manager()

    class Meta:
        ordering = ["-due_at", "id"]

    def __str__(self) -> str:
        return f"{self.brief.title}, {self.teaching_class}"
