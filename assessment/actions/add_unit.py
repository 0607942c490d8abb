"""Add a unit, or its next edition, from the text of its file."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from assessment.calculations.evidence_needs import need_as_dict
from assessment.calculations.grades import grade_rule_as_dict
from assessment.calculations.unit_file import UnitDefinition, UnitFileError, read_unit
from assessment.models import Criterion, Unit
from practicals import audit
from practicals.models import User

LONGEST_TITLE, LONGEST_LEVEL, MOST_CRITERIA = 160, 20, 200


def add_unit(*, by: User | None, text: str, now: datetime) -> Unit:
    """Read the file and keep it as the next edition; the same text again gives the edition there is.

    Raises `UnitFileError` with a sentence for each problem. `by` is None for the units shipped.
    """
    if by is not None and not by.has_perm("assessment.add_unit"):
        raise PermissionDenied
    definition = read_unit(text)
    _check_fits(definition)
    try:
        with transaction.atomic():
            newest = Unit.objects.filter(slug=definition.slug).order_by("-edition").first()
            if newest and newest.text == text:
                return newest
            unit = _keep(definition, text, newest.edition + 1 if newest else 1, now)
            audit.record(by=by, action="add_unit", subject=unit, sentence=f"Unit “{unit}” added.")
    except IntegrityError as error:
        sentence = "Somebody added an edition of this unit at this moment. Look at it, then add yours again."
        raise UnitFileError((sentence,)) from error
    return unit


def _keep(definition: UnitDefinition, text: str, edition: int, now: datetime) -> Unit:
    unit = Unit.objects.create(
        slug=definition.slug,
        edition=edition,
        title=definition.title,
        text=text,
        grade_rule=grade_rule_as_dict(definition.grade_rule),
        added_at=now,
    )
    Criterion.objects.bulk_create(
        Criterion(
            unit=unit,
            order=order,
            code=criterion.code,
            level=criterion.level,
            text=criterion.text,
            needs=[need_as_dict(need) for need in criterion.needs],
        )
        for order, criterion in enumerate(definition.criteria, start=1)
    )
    return unit


def _check_fits(definition: UnitDefinition) -> None:
    """Hold the definition against what the records can keep, before a database complains in its words."""
    problems = []
    if len(definition.title) > LONGEST_TITLE:
        problems.append(f"The title holds at most {LONGEST_TITLE} characters. Shorten it.")
    if len(definition.criteria) > MOST_CRITERIA:
        problems.append(f"A unit holds at most {MOST_CRITERIA} criteria. Split it.")
    problems += [
        f"The level “{level}” is longer than {LONGEST_LEVEL} characters. Shorten its name."
        for level in definition.grade_rule.levels
        if len(level) > LONGEST_LEVEL
    ]
    texts = [definition.title, *(c.code + c.text for c in definition.criteria), *definition.grade_rule.levels]
    if any(not character.isprintable() for text in texts for character in text):
        problems.append("A text of the unit holds a character that cannot be printed. Type it again.")
    if problems:
        raise UnitFileError(tuple(problems))
