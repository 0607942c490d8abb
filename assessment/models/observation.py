"""What was seen at the bench, written by the assessor or by another witness. Neither sets a criterion."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from assessment.models.unit import Criterion
from practicals.models import BenchNote, Session, User
from reagents.models import Kept, KeptQuerySet, Versioned


class ObservationQuerySet(KeptQuerySet):
    def standing(self) -> "ObservationQuerySet":
        return self.filter(withdrawn_at=None)


class ObservationRecord(Kept, Versioned):
    """By the assessor, of one learner in one session. `did` says what this learner did, in a sentence."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="observation_records")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="observed_in")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="observation_records")
    criteria = models.ManyToManyField(Criterion, related_name="observation_records")
    items = models.JSONField(default=list, help_text="what was ticked, in the words of the criterion")
    notes = models.ManyToManyField(BenchNote, related_name="observation_records", blank=True)
    did = models.TextField(blank=True)
    written_at = models.DateTimeField()
    signed_at = models.DateTimeField(null=True, blank=True)
    learner_comment = models.TextField(blank=True)
    learner_signed_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )

    objects: ClassVar[Any] = ObservationQuerySet.as_manager()

    class Meta:
        ordering = ["learner__sort_name", "written_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["session", "learner", "assessor"],
                condition=Q(withdrawn_at=None),
                name="one_observation_record_stands",
            ),
            models.CheckConstraint(
                condition=Q(signed_at=None) | ~Q(did=""), name="ticks_alone_cannot_be_signed"
            ),
            models.CheckConstraint(
                condition=Q(learner_signed_at=None) | Q(signed_at__isnull=False),
                name="learner_signs_after_the_assessor",
            ),
            models.CheckConstraint(condition=~Q(learner=F("assessor")), name="nobody_observes_themselves"),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None) | ~Q(withdrawn_reason=""),
                name="observation_withdrawn_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"observation record of {self.learner}"


class WitnessStatement(Kept, Versioned):
    """By someone else able to judge what they saw; supporting evidence only."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="witness_statements")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="witnessed_in")
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField()
    asked_for = models.TextField(blank=True, help_text="what the witness is asked to say something about")
    witness = models.ForeignKey(User, on_delete=models.PROTECT, related_name="witness_statements")
    witness_role = models.CharField(max_length=80, help_text="in which the witness saw it")
    criteria = models.ManyToManyField(Criterion, related_name="witness_statements")
    saw = models.TextField(blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    worth = models.CharField(max_length=300, blank=True, help_text="what the assessor takes it to show")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    objects: ClassVar[Any] = ObservationQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(signed_at=None) | ~Q(saw=""), name="statement_signed_with_words"
            ),
            models.CheckConstraint(
                condition=~Q(witness=F("learner")) & ~Q(witness=F("asked_by")),
                name="witness_is_someone_else",
            ),
            models.CheckConstraint(
                condition=Q(accepted_at=None) | Q(signed_at__isnull=False, accepted_by__isnull=False),
                name="statement_accepted_after_signing",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None) | ~Q(withdrawn_reason=""),
                name="statement_withdrawn_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"witness statement on {self.learner}"
