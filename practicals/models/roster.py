"""Who is who in the system that a roster came from, so that results find their way back."""

from django.db import models
from django.db.models import Q

from practicals.models.people import TeachingClass, User


class RosterIdentity(models.Model):
    """A `sourcedId` of the other system and the person or class it stands for here."""

    class Kind(models.TextChoices):
        PERSON = "person", "person"
        CLASS = "class", "class"

    kind = models.CharField(max_length=6, choices=Kind)
    sourced_id = models.CharField(max_length=200)
    person = models.OneToOneField(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="roster_identity"
    )
    teaching_class = models.OneToOneField(
        TeachingClass, on_delete=models.PROTECT, null=True, blank=True, related_name="roster_identity"
    )
    school = models.CharField(max_length=200, blank=True, help_text="sourcedId of a class's school")
    term = models.CharField(max_length=200, blank=True, help_text="sourcedId of a class's term")

    class Meta:
        verbose_name_plural = "roster identities"
        constraints = [
            models.UniqueConstraint(fields=["kind", "sourced_id"], name="sourced_id_once_per_kind"),
            models.CheckConstraint(
                condition=Q(kind="person", person__isnull=False, teaching_class=None)
                | Q(kind="class", person=None, teaching_class__isnull=False),
                name="roster_identity_of_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.sourced_id}"
