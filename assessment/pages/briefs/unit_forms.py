"""Forms for a unit that is typed in or comes as a table. Both end in the text of a unit's file."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.forms.formsets import BaseFormSet, formset_factory
from django.http import QueryDict
from django.utils.text import slugify

from assessment.calculations.evidence_needs import EvidenceNeed, EvidenceNeedError
from assessment.calculations.evidence_words import needs_in_words, read_needs
from assessment.calculations.grades import GradeRule, GradeRuleError, read_grade_rule
from assessment.calculations.unit_file import CriterionDefinition, UnitDefinition, UnitFileError, read_unit
from assessment.calculations.unit_text import unit_as_text
from assessment.models import Unit
from practicals.calculations.table_cells import LARGEST_BYTES

USUAL_LEVELS = "pass, merit, distinction"
ROWS_AT_FIRST, MORE_ROWS, MOST_ROWS = 10, 6, 200
NEEDS_HELP = (
    "Such as “readings 2; photo; own_rf 7”; readings may end with “or another source”. "
    "Empty: the assessor looks at the whole portfolio."
)


class UnitHeadForm(forms.Form):
    """What a unit is besides its criteria."""

    edition_of = forms.ModelChoiceField(
        queryset=Unit.objects.none(),
        required=False,
        empty_label="a new unit",
        label="This is",
        help_text="Or the next edition of a unit that is here; assignments already made keep what they have.",
        error_messages={"invalid_choice": "This unit is not in the list any more. Choose again."},
    )
    title = forms.CharField(max_length=160, error_messages={"required": "Give the unit a title."})
    about = forms.CharField(
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What the unit is, in a sentence or two.",
    )
    levels = forms.CharField(
        max_length=200,
        initial=USUAL_LEVELS,
        label="Levels, lowest first",
        help_text="Between commas. A grade needs every criterion of its level and of all levels below it.",
        error_messages={"required": "Name the levels, such as “pass, merit, distinction”."},
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        field = self.fields["edition_of"]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101  (for the type checker)
        field.queryset = Unit.objects.newest_editions()

    def clean_levels(self) -> GradeRule:
        try:
            return read_grade_rule({"levels": str(self.cleaned_data["levels"]).split(",")})
        except GradeRuleError as error:
            raise ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        same = Unit.objects.filter(title__iexact=cleaned.get("title", ""))
        if "title" in cleaned and not cleaned.get("edition_of") and same.exists():
            sentence = (
                "A unit of this title is here already. Choose it above, or give this one another title."
            )
            self.add_error("title", sentence)
        return cleaned

    def unit(self, criteria: Sequence[CriterionDefinition]) -> str:
        """The text of the unit's file, with these criteria. What is wrong with it `add_unit` says."""
        given = self.cleaned_data
        slug = given["edition_of"].slug if given["edition_of"] else self._free_slug()
        about = " ".join(given["about"].split())
        return unit_as_text(UnitDefinition(slug, given["title"], given["levels"], tuple(criteria), about))

    def _free_slug(self) -> str:
        stem = slugify(self.cleaned_data["title"])[:70].replace("_", "-").strip("-") or "unit"
        taken = set(Unit.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
        candidates = (stem, *(f"{stem}-{number}" for number in range(2, len(taken) + 3)))
        return next(slug for slug in candidates if slug not in taken)

    @classmethod
    def of(cls, unit: Unit | None) -> "UnitHeadForm":
        if unit is None:
            return cls()
        levels = ", ".join(unit.grade_rule.get("levels", []))
        return cls(initial={"edition_of": unit, "title": unit.title, "levels": levels, "about": _about(unit)})


class UnitTableForm(UnitHeadForm):
    file = forms.FileField(
        label="Table of criteria (.csv or .xlsx)",
        error_messages={
            "required": "Choose the file with the criteria.",
            "empty": "The file is empty. Choose the file with the criteria.",
        },
    )

    def clean_file(self) -> bytes:
        file: UploadedFile[Any] = self.cleaned_data["file"]
        if (file.size or 0) > LARGEST_BYTES:
            raise ValidationError("The file is larger than 5 MB, which no table of criteria is.")
        return bytes(file.read())


class CriterionForm(forms.Form):
    """One row; a row with nothing in it does not count."""

    code = forms.CharField(max_length=12, required=False, widget=forms.TextInput(attrs={"class": "short"}))
    level = forms.CharField(max_length=20, required=False, widget=forms.TextInput(attrs={"class": "middle"}))
    text = forms.CharField(
        max_length=2000, required=False, label="What is asked", widget=forms.Textarea(attrs={"rows": 2})
    )
    evidence = forms.CharField(
        max_length=2000, required=False, label="Evidence it needs", help_text=NEEDS_HELP
    )

    def clean_evidence(self) -> tuple[EvidenceNeed, ...]:
        try:
            return read_needs(self.cleaned_data["evidence"])
        except EvidenceNeedError as error:
            raise ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if any(cleaned.values()):
            for name, sentence in (
                ("code", "Give this criterion a code, such as P1."),
                ("level", "Say at which level it stands."),
                ("text", "Write what it asks."),
            ):
                if name in cleaned and not cleaned[name]:
                    self.add_error(name, sentence)
        return cleaned

    def criterion(self) -> CriterionDefinition | None:
        given = self.cleaned_data
        if not any(given.values()):
            return None
        return CriterionDefinition(given["code"], given["level"], given["text"], given["evidence"])


class BaseCriteria(BaseFormSet):  # type: ignore[type-arg]
    def clean(self) -> None:
        seen: set[str] = set()
        for form in self.forms:
            code = form.cleaned_data.get("code", "").casefold() if form.is_valid() else ""
            if code and code in seen:
                form.add_error("code", "This code stands further up already; give each criterion its own.")
            seen.add(code)


CriteriaFormSet = formset_factory(
    CriterionForm, formset=BaseCriteria, max_num=MOST_ROWS, absolute_max=MOST_ROWS
)


def criteria_of(rows: Any) -> list[CriterionDefinition]:
    return [found for form in rows.forms if (found := form.criterion())]


def blank_rows(unit: Unit | None) -> Any:
    """Rows to type in, after those of a unit whose next edition is written."""
    held = [
        {
            "code": criterion.code,
            "level": criterion.level,
            "text": criterion.text,
            "evidence": needs_in_words(criterion.evidence_needs()),
        }
        for criterion in (unit.criteria.all() if unit else ())
    ]
    return _rows(held, 3 if unit else ROWS_AT_FIRST)


def more_rows(sent: QueryDict) -> Any:
    """What was typed so far, unjudged, and more rows below it."""
    total = sent.get("form-TOTAL_FORMS", "")
    count = min(int(total), MOST_ROWS) if total.isascii() and total.isdigit() and len(total) < 5 else 0
    names = CriterionForm.base_fields
    typed = [{name: sent.get(f"form-{place}-{name}", "") for name in names} for place in range(count)]
    return _rows(typed, MORE_ROWS)


def _rows(held: list[dict[str, str]], extra: int) -> Any:
    rows = CriteriaFormSet(initial=held)
    rows.extra = extra
    return rows


def _about(unit: Unit) -> str:
    try:
        return read_unit(unit.text).about
    except UnitFileError:
        return ""
