"""Write a brief, or the next edition of one."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.utils.text import slugify

from assessment.models import Brief, Criterion, Unit
from practicals import audit
from practicals.models import User


def write_brief(
    *,
    by: User,
    unit: Unit,
    title: str,
    scenario: str,
    tasks: str,
    criteria: Collection[Criterion],
    now: datetime,
    edits: Brief | None = None,
) -> Brief:
    """Keep the brief as a new edition, not yet signed off.

    Sign-off belongs to an edition: an edit loses it, unchanged re-use keeps it. So when nothing was
    changed, `edits` itself is returned.
    """
    if not by.has_perm("assessment.write_brief"):
        raise PermissionDenied
    if not criteria:
        raise ValidationError("Tick at least one criterion: those that the tasks give evidence for.")
    if any(criterion.unit_id != unit.pk for criterion in criteria):
        raise ValidationError("Tick criteria of the chosen unit only.")
    if edits is not None and _unchanged(edits, unit, title, scenario, tasks, criteria):
        return edits
    with transaction.atomic():
        slug = edits.slug if edits else _free_slug(title)
        newest = Brief.objects.select_for_update().filter(slug=slug).order_by("-edition").first()
        brief = Brief.objects.create(
            slug=slug,
            edition=newest.edition + 1 if newest else 1,
            unit=unit,
            title=title,
            scenario=scenario,
            tasks=tasks,
            author=by,
            written_at=now,
        )
        brief.criteria.set(criteria)
        audit.record(by=by, action="write_brief", subject=brief, sentence=f"Brief “{brief}” written.")
    return brief


def _unchanged(
    brief: Brief, unit: Unit, title: str, scenario: str, tasks: str, criteria: Collection[Criterion]
) -> bool:
    old = (brief.unit_id, brief.title, brief.scenario, brief.tasks)
    return old == (unit.pk, title, scenario, tasks) and set(brief.criteria.all()) == set(criteria)


def _free_slug(title: str) -> str:
    stem = slugify(title)[:70] or "brief"
    taken = set(Brief.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    candidates = (stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3)))
    return next(slug for slug in candidates if slug not in taken)
