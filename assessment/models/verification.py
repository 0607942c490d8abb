"""Sampling plans and verification records. A verifier never touches evidence or a decision."""

from typing import Any, ClassVar, NoReturn

from django.db import models
from django.db.models import F, Q

from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.unit import Unit
from practicals.models import User
from reagents.models import Kept, KeptQuerySet


class SamplingPlan(Kept):
    """A draw that anyone can repeat: the sorted candidates, the size and the seed are kept."""

    class Stage(models.TextChoices):
        INTERIM = "interim", "interim"
        FINAL = "final", "final"

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="sampling_plans")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.INTERIM)
    size = models.PositiveIntegerField()
    seed = models.PositiveBigIntegerField()
    method = models.CharField(max_length=200, blank=True, help_text="how it was drawn, in words")
    size_by = models.CharField(max_length=12, blank=True, help_text="number, share, square root or detection")
    size_figure = models.PositiveSmallIntegerField(null=True, blank=True, help_text="number, % or % chance")
    strata = models.JSONField(default=list, help_text="which kinds are to be represented")
    widens = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="widened_by",
        help_text="the plan that this one adds portfolios to",
    )
    widened_because = models.TextField(blank=True)
    candidates = models.JSONField(help_text="what was drawn from, in its sorted order")
    drawn_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    drawn_at = models.DateTimeField()

    class Meta:
        ordering = ["-drawn_at"]
        constraints = [
            models.CheckConstraint(condition=Q(size__gte=1), name="sample_has_a_size"),
            models.CheckConstraint(
                condition=Q(widens=None) | ~Q(widened_because=""), name="sample_widened_with_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stage} sample of {self.unit}"


class SampledPortfolio(Kept):
    plan = models.ForeignKey(SamplingPlan, on_delete=models.PROTECT, related_name="portfolios")
    submission = models.ForeignKey(Submission, on_delete=models.PROTECT, related_name="sampled")
    order = models.PositiveSmallIntegerField()
    reason = models.TextField()

    class Meta:
        ordering = ["order"]
        constraints = [models.UniqueConstraint(fields=["plan", "submission"], name="sampled_once_in_a_plan")]

    def __str__(self) -> str:
        return f"{self.submission} in {self.plan}"


class VerificationRecord(Kept):
    """One verifier's look at one sampled portfolio."""

    class Quality(models.TextChoices):
        SOUND = "sound", "sound"
        MIXED = "mixed", "sound in part"
        WEAK = "weak", "not good enough"

    sampled = models.OneToOneField(SampledPortfolio, on_delete=models.PROTECT, related_name="record")
    verifier = models.ForeignKey(User, on_delete=models.PROTECT, related_name="verification_records")
    opened_at = models.DateTimeField()
    evidence_quality = models.CharField(max_length=12, choices=Quality, blank=True)
    feedback_quality = models.CharField(max_length=12, choices=Quality, blank=True)
    records_quality = models.CharField(max_length=12, choices=Quality, blank=True)
    feedback_comment = models.TextField(blank=True, help_text="on the quality of feedback and records")
    signed_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"verification of {self.sampled}"


class VerdictQuerySet(KeptQuerySet):
    """Only `save` writes a verdict: it copies the two people whom the constraint compares."""

    def update(self, **kwargs: Any) -> NoReturn:
        raise TypeError("Verdicts are saved one by one, so that assessor and verifier are copied.")

    def bulk_create(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise TypeError("Verdicts are saved one by one, so that assessor and verifier are copied.")

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise TypeError("Verdicts are saved one by one, so that assessor and verifier are copied.")


class CriterionVerdict(Kept):
    """Agree or disagree with one decision. The assessor is copied so that the database can compare."""

    class Verdict(models.TextChoices):
        AGREE = "agree", "agree"
        DISAGREE = "disagree", "disagree"
        CANNOT_TELL = "cannot tell", "cannot tell from the evidence"

    record = models.ForeignKey(VerificationRecord, on_delete=models.PROTECT, related_name="verdicts")
    decision = models.ForeignKey(Decision, on_delete=models.PROTECT, related_name="verdicts")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    verifier = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    verdict = models.CharField(max_length=12, choices=Verdict)
    comment = models.TextField(blank=True)
    at = models.DateTimeField()

    objects: ClassVar[Any] = VerdictQuerySet.as_manager()

    class Meta:
        ordering = ["decision__criterion__order"]
        constraints = [
            models.UniqueConstraint(fields=["record", "decision"], name="one_verdict_per_decision"),
            models.CheckConstraint(condition=~Q(verifier=F("assessor")), name="nobody_verifies_own_decision"),
            models.CheckConstraint(
                condition=Q(verdict="agree") | ~Q(comment=""), name="disagreement_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.verdict}: {self.decision}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.assessor_id = self.decision.assessor_id
        self.verifier_id = self.record.verifier_id
        if kwargs.get("update_fields"):
            kwargs["update_fields"] = {*kwargs["update_fields"], "assessor", "verifier"}
        super().save(*args, **kwargs)
