"""Add a unit, or its next edition, from the text of its file."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from assessment.calculations.evidence_needs import need_as_dict
from assessment.calculations.grades import grade_rule_as_dict
from assessment.calculations.unit_file import read_unit
from assessment.models import Criterion, Unit
from practicals import audit
from practicals.models import User


def add_unit(*, by: User | None, text: str, now: datetime) -> Unit:
    """Read the file and keep it as the next edition; the same text again gives the edition there is.

    Raises `UnitFileError` with a sentence for each problem. `by` is None for the units shipped.
    """
    if by is not None and not by.has_perm("assessment.add_unit"):
        raise PermissionDenied
    definition = read_unit(text)
    with transaction.atomic():
        editions = Unit.objects.select_for_update().filter(slug=definition.slug)
        newest = editions.order_by("-edition").first()
        if newest and newest.text == text:
            return newest
        unit = Unit.objects.create(
            slug=definition.slug,
            edition=newest.edition + 1 if newest else 1,
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
        audit.record(by=by, action="add_unit", subject=unit, sentence=f"Unit “{unit}” added.")
    return unit
