from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from assessment.actions.decide import LONGEST_REASON, DecidedMeanwhile
from assessment.actions.decide_criteria import CriterionDecision
from assessment.models import Criterion, Decision, Feedback, Submission
from assessment.models.drafts import DecisionStart, decision_starts
from practicals.models import User

WITHOUT_COMMENT = "Write a comment that says where the evidence is and why it is enough or not."
LONGEST_COMMENT, LONGEST_FEEDBACK = 5000, 20_000


def _one_kind_of_line_end(text: str) -> str:
    return text.replace("\r\n", "\n")


class AnswerRadios(forms.RadioSelect):
    """The three answers; `focused` opens the page with the focus on the first."""

    focused = False

    def create_option(self, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(*args, **kwargs)
        if self.focused and option["index"] == "0":
            option["attrs"]["autofocus"] = True
        return option


class DecisionForm(forms.Form):
    """One criterion. What stands, or one's own later draft, is filled in; else nothing is chosen.

    Of an earlier attempt only the comment is carried over: to choose again is to confirm it.
    """

    outcome = forms.ChoiceField(
        required=False,
        widget=AnswerRadios,
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
    valid = forms.BooleanField(required=False, label="Valid: the evidence bears on this criterion")
    sufficient = forms.BooleanField(required=False, label="Sufficient: it covers all of the criterion")
    reason = forms.CharField(
        required=False,
        max_length=LONGEST_REASON,
        label="Reason, if you change this decision",
        help_text="Needed once the learner has seen the decision.",
    )
    refer = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, label="Put before the comment"
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    draft = forms.IntegerField(required=False, min_value=0, max_value=2_000_000_000, widget=forms.HiddenInput)

    def __init__(
        self,
        criterion: Criterion,
        start: DecisionStart,
        data: QueryDict | None = None,
        *,
        references: Sequence[str] = (),
    ) -> None:
        standing = start.standing
        super().__init__(data, prefix=f"criterion-{criterion.pk}", initial=start.initial)
        self.criterion = criterion
        self.standing = standing
        self.start = start
        refer = self.fields["refer"]
        assert isinstance(refer, forms.MultipleChoiceField)  # noqa: S101  (for the type checker)
        refer.choices = [(reference, reference) for reference in references]
        if not references:
            del self.fields["refer"]
        #: Whether it is to be kept as a draft: then nothing in it needs to be complete.
        self.as_draft = bool(data and data.get("keep") == "draft")
        #: The decision that somebody took after the page was shown, to be read beside what was typed.
        self.decided_meanwhile: Decision | None = None
        outcome = self.fields["outcome"]
        assert isinstance(outcome, forms.ChoiceField)  # noqa: S101  (for the type checker)
        undecided = [] if standing else [("", "not decided yet")]
        outcome.choices = undecided + list(Decision.Outcome.choices)
        if standing is None:
            del self.fields["reason"]

    def focus_on_answers(self) -> None:
        self.fields["outcome"].widget.focused = True

    def clean_comment(self) -> str:
        return _one_kind_of_line_end(self.cleaned_data["comment"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors or self._left_alone(cleaned):
            return cleaned
        if cleaned.get("refer"):
            cleaned["comment"] = f"{'; '.join(cleaned['refer'])}: {cleaned['comment']}".strip()
        if self.as_draft:
            return cleaned
        if cleaned.get("comment") and not cleaned.get("outcome"):
            self.add_error("outcome", "Choose “met” or “not yet met” to go with your comment.")
        if cleaned.get("outcome") and not cleaned.get("comment"):
            self.add_error("comment", WITHOUT_COMMENT)
        return cleaned

    def chosen(self, seen: dict[str, Decision]) -> CriterionDecision | None:
        """What to keep; None when nothing was decided, or nothing changed since the page was shown."""
        outcome, comment = self.cleaned_data["outcome"], self.cleaned_data["comment"]
        valid, sufficient = self.cleaned_data["valid"], self.cleaned_data["sufficient"]
        shown = seen.get(self.cleaned_data["seen"])
        if not outcome:
            return None
        # A decision from before assessors were asked has neither tick: untouched, it stays as it is.
        if shown and (shown.outcome, shown.comment, bool(shown.valid), bool(shown.sufficient)) == (
            outcome,
            comment,
            valid,
            sufficient,
        ):
            return None
        return CriterionDecision(
            criterion=self.criterion,
            outcome=outcome,
            comment=comment,
            reason=self.cleaned_data.get("reason", ""),
            seen_decision=shown.uuid if shown else None,
            valid=valid,
            sufficient=sufficient,
        )

    @property
    def typed(self) -> bool:
        """Whether there is anything new to keep as a draft."""
        return bool(self.has_changed() and not self._left_alone(self.cleaned_data))

    def _left_alone(self, cleaned: dict[str, Any]) -> bool:
        """The comment of an earlier attempt stands there untouched: nothing is decided."""
        return bool(
            self.start.carried
            and not cleaned.get("outcome")
            and not cleaned.get("refer")
            and cleaned.get("comment") == _one_kind_of_line_end(self.start.carried.comment)
        )

    def refuse(self, error: ValidationError) -> None:
        if isinstance(error, DecidedMeanwhile):
            self.decided_meanwhile = error.standing
            self._base_on(error.standing.uuid if error.standing else None)
        code = getattr(error, "code", "")
        if code == "reason" and "reason" in self.fields:
            self.add_error("reason", error)
        else:
            self.add_error("valid" if code == "unconfirmed" else None, error)

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


def decision_forms(
    submission: Submission, assessor: User, data: QueryDict | None = None, *, references: Sequence[str] = ()
) -> list[DecisionForm]:
    """A form for each criterion of the brief, in the unit's order."""
    starts = decision_starts(submission, assessor)
    criteria = submission.work.assignment.brief.criteria.all()
    return [
        DecisionForm(criterion, starts[criterion.pk], data, references=references) for criterion in criteria
    ]


def feedback_form(feedback: Feedback | None, data: QueryDict | None = None) -> FeedbackForm:
    shown = {"text": feedback.text, "version": feedback.version} if feedback else {}
    return FeedbackForm(data, initial=shown)
