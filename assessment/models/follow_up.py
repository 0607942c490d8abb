"""What follows a disagreement: actions on an owner, and a third person where two still differ."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from assessment.calculations.brief_points import round_in_words
from assessment.models.brief import Brief
from assessment.models.decision import Decision
from assessment.models.verification import CriterionVerdict, SamplingPlan, VerificationRecord
from practicals.models import User
from reagents.models import Kept, KeptQuerySet, Versioned


class BriefReview(Kept):
    """One round of looking at a brief before it is issued."""

    class Verdict(models.TextChoices):
        FIT = "fit", "fit for purpose"
        CHANGES = "changes wanted", "changes wanted"

    brief = models.ForeignKey(Brief, on_delete=models.PROTECT, related_name="reviews")
    reviewer = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    author = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    points = models.JSONField(default=dict, help_text="each point looked at: yes, no or does not apply")
    comment = models.TextField()
    verdict = models.CharField(max_length=16, choices=Verdict)
    reviewed_at = models.DateTimeField()

    class Meta:
        ordering = ["reviewed_at", "id"]
        constraints = [
            models.CheckConstraint(condition=~Q(reviewer=F("author")), name="nobody_reviews_own_brief"),
            models.CheckConstraint(condition=~Q(comment=""), name="review_says_something"),
        ]

    def __str__(self) -> str:
        return f"{self.verdict}: {self.brief}"

    @property
    def points_in_words(self) -> tuple[tuple[str, str], ...]:
        return round_in_words(self.points)

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.author_id = self.brief.author_id
        super().save(*args, **kwargs)


class ActionQuerySet(KeptQuerySet):
    def open(self) -> "ActionQuerySet":
        return self.filter(closed_at=None)


class VerificationAction(Kept, Versioned):
    """Something an assessor is to do after verification; closed by someone other than its owner."""

    record = models.ForeignKey(VerificationRecord, on_delete=models.PROTECT, related_name="actions")
    verdict = models.ForeignKey(
        CriterionVerdict, on_delete=models.PROTECT, null=True, blank=True, related_name="actions"
    )
    owner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="actions_owned")
    what = models.TextField()
    of_principle = models.BooleanField(default=False, help_text="an error that may stand in other work too")
    due_on = models.DateField()
    raised_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    raised_at = models.DateTimeField()
    answer = models.TextField(blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    new_decision = models.ForeignKey(
        Decision, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    closed_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)
    closing_note = models.TextField(blank=True)

    objects: ClassVar[Any] = ActionQuerySet.as_manager()

    class Meta:
        ordering = ["due_on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_by=None, closed_at=None)
                | (Q(closed_at__isnull=False) & ~Q(closed_by=F("owner")) & ~Q(closing_note="")),
                name="action_closed_by_another_with_a_note",
            ),
            models.CheckConstraint(condition=~Q(what=""), name="action_says_what"),
        ]

    def __str__(self) -> str:
        return self.what[:60]


class ThirdOpinion(Kept):
    """Where assessor and verifier still differ, a third person settles how the criterion is read."""

    verdict = models.OneToOneField(CriterionVerdict, on_delete=models.PROTECT, related_name="third_opinion")
    assessor = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    verifier = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    person = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=12, choices=Decision.Outcome)
    reason = models.TextField()
    given_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(person=F("assessor")) & ~Q(person=F("verifier")), name="third_person_is_a_third"
            ),
            models.CheckConstraint(condition=~Q(reason=""), name="third_opinion_has_a_reason"),
        ]

    def __str__(self) -> str:
        return f"third opinion on {self.verdict}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.assessor_id, self.verifier_id = self.verdict.assessor_id, self.verdict.verifier_id
        super().save(*args, **kwargs)


class SampleSignOff(Kept):
    """The end of a sample: nothing of it is open."""

    plan = models.OneToOneField(SamplingPlan, on_delete=models.PROTECT, related_name="sign_off")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    comment = models.TextField(blank=True)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"sign-off of {self.plan}"
