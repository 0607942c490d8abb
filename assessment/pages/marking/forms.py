from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from assessment.actions.decide import LONGEST_REASON, DecidedMeanwhile
from assessment.actions.decide_criteria import CriterionDecision
from assessment.models import Criterion, Decision, Feedback, Submission
from assessment.models.results import standing_decisions

WITHOUT_COMMENT = "Write a comment that says where the evidence is and why it is enough or not."
LONGEST_COMMENT, LONGEST_FEEDBACK = 5000, 20_000


def _one_kind_of_line_end(text: str) -> str:
    return text.replace("\r\n", "\n")


class DecisionForm(forms.Form):
    """One criterion. What stands is filled in; where nothing stands, nothing is chosen."""

    outcome = forms.ChoiceField(
        required=False,
        widget=forms.RadioSelect,
        label="Your decision",
        error_messages={"invalid_choice": "Choose “met” or “not yet met”."},
    )
    comment = forms.CharField(
        required=False,
        max_length=LONGEST_COMMENT,
        label="Comment",
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Where the evidence is, and why it is enough or not.",
    )
    reason = forms.CharField(
        required=False,
        max_length=LONGEST_REASON,
        label="Reason, if you change this decision",
        help_text="Needed once the learner has seen the decision.",
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, criterion: Criterion, standing: Decision | None, data: QueryDict | None = None
    ) -> None:
        shown = {"outcome": "", "comment": "", "seen": ""}
        if standing:
            shown = {
                "outcome": standing.outcome,
                "comment": standing.comment,
                "seen": str(standing.uuid),
            }
        super().__init__(data, prefix=f"criterion-{criterion.pk}", initial=shown)
        self.criterion = criterion
        self.standing = standing
        #: The decision that somebody took after the page was shown, to be read beside what was typed.
        self.decided_meanwhile: Decision | None = None
        outcome = self.fields["outcome"]
        assert isinstance(outcome, forms.ChoiceField)  # noqa: S101  (for the type checker)
        undecided = [] if standing else [("", "not decided yet")]
        outcome.choices = undecided + list(Decision.Outcome.choices)
        if standing is None:
            del self.fields["reason"]

    def clean_comment(self) -> str:
        return _one_kind_of_line_end(self.cleaned_data["comment"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        if cleaned.get("comment") and not cleaned.get("outcome"):
            self.add_error("outcome", "Choose “met” or “not yet met” to go with your comment.")
        if cleaned.get("outcome") and not cleaned.get("comment"):
            self.add_error("comment", WITHOUT_COMMENT)
        return cleaned

    def chosen(self, seen: dict[str, Decision]) -> CriterionDecision | None:
        """What to keep; None when nothing was decided, or nothing changed since the page was shown."""
        outcome, comment = self.cleaned_data["outcome"], self.cleaned_data["comment"]
        shown = seen.get(self.cleaned_data["seen"])
        if not outcome or (shown and (shown.outcome, shown.comment) == (outcome, comment)):
            return None
        return CriterionDecision(
            criterion=self.criterion,
            outcome=outcome,
            comment=comment,
            reason=self.cleaned_data.get("reason", ""),
            seen_decision=shown.uuid if shown else None,
        )

    def refuse(self, error: ValidationError) -> None:
        if isinstance(error, DecidedMeanwhile):
            self.decided_meanwhile = error.standing
            self._base_on(error.standing.uuid if error.standing else None)
        about_reason = getattr(error, "code", "") == "reason" and "reason" in self.fields
        self.add_error("reason" if about_reason else None, error)

    def _base_on(self, decision: UUID | None) -> None:
        """Let the next try answer the decision that the person is now shown."""
        data = self.data.copy()  # type: ignore[attr-defined]
        data[self.add_prefix("seen")] = str(decision or "")
        self.data = data


class FeedbackForm(forms.Form):
    text = forms.CharField(
        label="Feedback to the learner",
        max_length=LONGEST_FEEDBACK,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text="Which criteria were met, which not and why; not how to put the work right.",
        error_messages={"required": "Write what was met, what was not and why."},
    )
    version = forms.IntegerField(
        required=False, min_value=0, max_value=2_000_000_000, widget=forms.HiddenInput
    )

    #: What somebody saved meanwhile, to be compared with what was typed.
    saved_now: Feedback | None = None

    def clean_text(self) -> str:
        return _one_kind_of_line_end(self.cleaned_data["text"])

    def compare_with(self, saved: Feedback) -> None:
        self.saved_now = saved
        data = self.data.copy()  # type: ignore[attr-defined]
        data["version"] = str(saved.version)
        self.data = data


def decision_forms(submission: Submission, data: QueryDict | None = None) -> list[DecisionForm]:
    """A form for each criterion of the brief, in the unit's order."""
    standing = standing_decisions(submission)
    criteria = submission.work.assignment.brief.criteria.all()
    return [DecisionForm(criterion, standing.get(criterion.pk), data) for criterion in criteria]


def feedback_form(feedback: Feedback | None, data: QueryDict | None = None) -> FeedbackForm:
    shown = {"text": feedback.text, "version": feedback.version} if feedback else {}
    return FeedbackForm(data, initial=shown)
