"""The forms of the board: register, note, help, no result, another paper, a chamber's batch."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms

from practicals.actions.answer_same_figures import LONGEST_ANSWER
from practicals.actions.fill_chamber import LONGEST_REASON
from practicals.actions.give_help import LONGEST_HELP
from practicals.actions.give_paper import GIVEN
from practicals.actions.note_at_bench import LONGEST_NOTE
from practicals.models import Attendance, Chamber, NoResult, Paper, User
from practicals.models.filling import BatchChoice

ALL_EMPTY = "empty"
RESULT = "result"
WHOLE = "whole"


class RegisterForm(forms.Form):
    """One choice per learner, and beside it what the page showed when it was opened."""

    def __init__(self, *args: Any, learners: Sequence[User], kept: dict[int, str], **more: Any) -> None:
        super().__init__(*args, **more)
        self.learners = learners
        for learner in learners:
            self.fields[f"mark-{learner.uuid}"] = forms.ChoiceField(
                label=learner.name,
                choices=Attendance.Mark.choices,
                required=False,
                widget=forms.RadioSelect,
                initial=kept.get(learner.pk, ""),
                error_messages={"invalid_choice": "Choose present, late or absent."},
            )
            self.fields[f"seen-{learner.uuid}"] = forms.CharField(
                required=False, max_length=10, widget=forms.HiddenInput, initial=kept.get(learner.pk, "")
            )

    def marks(self, rest: str) -> dict[User, str]:
        """The marks chosen; `rest` for those who have none."""
        chosen = {who: self.cleaned_data[f"mark-{who.uuid}"] or rest for who in self.learners}
        return {who: mark for who, mark in chosen.items() if mark}

    def seen(self) -> dict[User, str]:
        return {who: self.cleaned_data[f"seen-{who.uuid}"] for who in self.learners}

    def show_as_seen(self, kept: dict[int, str]) -> None:
        """Start again from what is kept now: marks changed here stay as chosen, the others follow."""
        data = dict(self.data.items())
        for who in self.learners:
            mark, seen = f"mark-{who.uuid}", f"seen-{who.uuid}"
            now_kept = kept.get(who.pk, "")
            if data.get(mark, "") == data.get(seen, ""):
                data[mark] = now_kept
            data[seen] = now_kept
        self.data = data

    def rows(self) -> Iterable[tuple[User, Any, Any]]:
        for who in self.learners:
            yield who, self[f"mark-{who.uuid}"], self[f"seen-{who.uuid}"]


class ReleaseHelpForm(forms.Form):
    """How much the program may show one learner: only more than it does now."""

    setting = forms.ChoiceField(
        label="The program may show this learner", widget=forms.RadioSelect, choices=()
    )

    def __init__(self, *args: Any, choices: Sequence[tuple[str, str]], **more: Any) -> None:
        super().__init__(*args, **more)
        field = self.fields["setting"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 -- for the type checker
        field.choices = list(choices)


class NoteForm(forms.Form):
    text = forms.CharField(
        label="What you saw",
        max_length=LONGEST_NOTE,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Kept with the time. An observation record can be written from it later.",
        error_messages={"required": "Write what you saw, for example “applied lane 2 with a steady hand”."},
    )


class HelpForm(forms.Form):
    text = forms.CharField(
        label="What you helped with",
        max_length=LONGEST_HELP,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Help given is part of the evidence.",
        error_messages={"required": "Write what you helped with, for example “showed where the front is”."},
    )
    paper = forms.ChoiceField(label="On which paper")

    def __init__(self, *args: Any, papers: Iterable[Paper], **more: Any) -> None:
        super().__init__(*args, **more)
        self.papers = {str(paper.uuid): paper for paper in papers}
        self.fields["paper"].choices = [(WHOLE, "the work as a whole"), *paper_choices(self.papers)]  # type: ignore[attr-defined]

    def chosen(self) -> Paper | None:
        return self.papers.get(self.cleaned_data["paper"])


class GivePaperForm(forms.Form):
    paper = forms.ChoiceField(label="Paper", error_messages={"required": "Choose the paper."})
    source = forms.ChoiceField(
        label="What the learner measures",
        choices=[(source.value, source.label) for source in GIVEN],
        widget=forms.RadioSelect,
        error_messages={"required": "Say what the learner measures."},
    )
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=LONGEST_NOTE - 120,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed unless one of the learner's papers ended without a result.",
    )

    def __init__(self, *args: Any, papers: Iterable[Paper], **more: Any) -> None:
        super().__init__(*args, **more)
        self.papers = {str(paper.uuid): paper for paper in papers}
        self.fields["paper"].choices = [("", "choose"), *paper_choices(self.papers)]  # type: ignore[attr-defined]

    def chosen(self) -> Paper:
        return self.papers[self.cleaned_data["paper"]]


class NoResultForm(forms.Form):
    reason = forms.ChoiceField(
        label="What this paper gives",
        choices=[(RESULT, "a result"), *((why.value, f"no result: {why.label}") for why in NoResult)],
        error_messages={
            "required": "Choose whether the paper gives a result, and if not, why.",
            "invalid_choice": "Choose one of the reasons why the paper gives no result.",
        },
    )

    def chosen(self) -> str:
        """The reason, empty if there is a result."""
        reason = str(self.cleaned_data["reason"])
        return "" if reason == RESULT else reason


class SameFiguresForm(forms.Form):
    first = forms.UUIDField(widget=forms.HiddenInput)
    second = forms.UUIDField(widget=forms.HiddenInput)
    text = forms.CharField(
        label="What you found out",
        max_length=LONGEST_ANSWER,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Talk with both first. The verifier reads the question and your answer.",
        error_messages={
            "required": "Write what you found out, for example “I watched both measure for themselves”."
        },
    )


class FillForm(forms.Form):
    """Which chamber, or all that are empty, from which batch."""

    chamber = forms.ChoiceField(label="Chamber", error_messages={"required": "Choose the chamber."})
    batch = forms.ChoiceField(label="Batch", error_messages={"required": "Choose the batch."})
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=LONGEST_REASON,
        help_text="Needed for a batch that is not proposed, and to correct a filled chamber. No names.",
    )

    def __init__(
        self, *args: Any, chambers: Sequence[Chamber], batches: Sequence[BatchChoice], **more: Any
    ) -> None:
        super().__init__(*args, **more)
        self.chambers = {str(chamber.uuid): chamber for chamber in chambers}
        self.batches = {str(choice.batch.uuid): choice.batch for choice in batches}
        empty = [chamber for chamber in chambers if chamber.batch_id is None]
        every = [(ALL_EMPTY, f"all {len(empty)} empty chambers")] if len(empty) > 1 else []
        one = sorted(self.chambers.items(), key=lambda item: item[1].batch_id is not None)
        self.fields["chamber"].choices = [*every, *((uuid, _chamber_words(c)) for uuid, c in one)]  # type: ignore[attr-defined]
        self.fields["batch"].choices = [  # type: ignore[attr-defined]
            (str(choice.batch.uuid), _batch_words(choice)) for choice in batches
        ]
        self.empty = empty

    def chosen(self) -> list[Chamber]:
        wanted = self.cleaned_data["chamber"]
        return list(self.empty) if wanted == ALL_EMPTY else [self.chambers[wanted]]


def paper_choices(papers: dict[str, Paper]) -> list[tuple[str, str]]:
    return [
        (uuid, f"Group {paper.group.number}, paper {paper.letter}{' (no result)' if paper.no_result else ''}")
        for uuid, paper in papers.items()
    ]


def _chamber_words(chamber: Chamber) -> str:
    filled = f", now {chamber.batch.code}" if chamber.batch else ""
    return f"group {chamber.group.number}, chamber {chamber.number}{filled}"


def _batch_words(choice: BatchChoice) -> str:
    return f"{choice.batch.code}, proposed" if choice.proposed else choice.why_not.rstrip(".")
