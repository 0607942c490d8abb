"""Several assessors judge one anonymised piece blind, compare, and record the agreed reading."""

from django.db import models
from django.db.models import Q

from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.unit import Criterion, Unit
from practicals.models import User
from reagents.models import Kept, Versioned


class Standardisation(Kept, Versioned):
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="standardisations")
    title = models.CharField(max_length=160)
    piece = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="standardisations")
    assessors = models.ManyToManyField(User, related_name="standardisations")
    opened_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField()
    revealed_at = models.DateTimeField(null=True, blank=True, help_text="when everybody sees everybody's")
    closed_at = models.DateTimeField(null=True, blank=True)
    outcome = models.TextField(blank=True, help_text="what was agreed, in words")

    class Meta:
        ordering = ["-opened_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at=None) | (Q(revealed_at__isnull=False) & ~Q(outcome="")),
                name="standardisation_closed_with_an_outcome",
            )
        ]

    def __str__(self) -> str:
        return self.title


class BlindJudgement(Kept):
    """One assessor's reading of one criterion; nobody else sees it until all are revealed."""

    standardisation = models.ForeignKey(Standardisation, on_delete=models.PROTECT, related_name="judgements")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=12, choices=Decision.Outcome)
    comment = models.TextField()
    judged_at = models.DateTimeField()

    class Meta:
        ordering = ["criterion__order", "assessor__sort_name"]
        constraints = [
            models.UniqueConstraint(
                fields=["standardisation", "assessor", "criterion"], name="judged_once_blind"
            ),
            models.CheckConstraint(condition=~Q(comment=""), name="blind_judgement_has_a_comment"),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.outcome}"


class AgreedReading(Kept):
    """How the criterion is to be read from now on."""

    standardisation = models.ForeignKey(Standardisation, on_delete=models.PROTECT, related_name="agreed")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="agreed_readings")
    outcome = models.CharField(max_length=12, choices=Decision.Outcome)
    reading = models.TextField()

    class Meta:
        ordering = ["criterion__order"]
        constraints = [
            models.UniqueConstraint(fields=["standardisation", "criterion"], name="agreed_once_a_criterion"),
            models.CheckConstraint(condition=~Q(reading=""), name="agreed_reading_has_words"),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}: {self.outcome}"
