"""Write a brief, or the next edition of one."""

from collections.abc import Collection, Mapping
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction
from django.utils.text import slugify

from assessment.models import Brief, Criterion, Unit
from practicals import audit
from practicals.models import User

LONGEST_TITLE = 160


class NewerEdition(ValidationError):
    """Somebody saved a newer edition of the brief after the page was shown."""

    def __init__(self, newest: Brief) -> None:
        self.newest = newest
        super().__init__(
            f"Edition {newest.edition} of this brief was saved after you opened the page. Your text is kept; "
            "compare it with that edition, then save again to make yours the next one."
        )


def write_brief(
    *,
    by: User,
    unit: Unit,
    title: str,
    scenario: str,
    tasks: str,
    criteria: Collection[Criterion],
    now: datetime,
    conditions: str = "",
    edits: Brief | None = None,
) -> Brief:
    """Keep the brief as a new edition, not yet signed off.

    Sign-off belongs to an edition: an edit loses it, unchanged re-use keeps it. So when nothing was
    changed, `edits` itself is returned. The dates of a use belong to its assignment: other dates change
    nothing here. `edits` is the edition that the page showed; raises `NewerEdition` when it is no longer
    the newest.
    """
    if not by.has_perm("assessment.write_brief"):
        raise PermissionDenied
    _check(unit, title, tasks, criteria)
    texts = {"title": title, "scenario": scenario, "tasks": tasks, "conditions": conditions}
    if edits is not None and _unchanged(edits, unit, texts, criteria):
        return edits
    try:
        with transaction.atomic():
            brief = Brief.objects.create(
                slug=edits.slug if edits else _free_slug(title),
                edition=_next_edition(edits) if edits else 1,
                unit=unit,
                author=by,
                written_at=now,
                **texts,
            )
            brief.criteria.set(criteria)
            audit.record(by=by, action="write_brief", subject=brief, sentence=f"Brief “{brief}” written.")
    except IntegrityError as error:
        raise ValidationError("Another brief of this title was saved at this moment. Save again.") from error
    return brief


def _check(unit: Unit, title: str, tasks: str, criteria: Collection[Criterion]) -> None:
    if not title.strip() or not tasks.strip():
        raise ValidationError("A brief needs a title and the tasks that learners are to do.")
    if len(title) > LONGEST_TITLE:
        raise ValidationError(f"A title holds at most {LONGEST_TITLE} characters. Shorten it.")
    if not criteria:
        raise ValidationError("Tick at least one criterion: those that the tasks give evidence for.")
    if any(criterion.unit_id != unit.pk for criterion in criteria):
        raise ValidationError("Tick criteria of the chosen unit only.")


def _next_edition(edits: Brief) -> int:
    # The first edition is the lock of them all: its row is the same for everybody who edits.
    Brief.objects.select_for_update().get(slug=edits.slug, edition=1)
    newest = Brief.objects.filter(slug=edits.slug).latest("edition")
    if newest.pk != edits.pk:
        raise NewerEdition(newest)
    return newest.edition + 1


def _unchanged(brief: Brief, unit: Unit, texts: Mapping[str, str], criteria: Collection[Criterion]) -> bool:
    same = all(getattr(brief, name) == text for name, text in texts.items())
    return same and brief.unit_id == unit.pk and set(brief.criteria.all()) == set(criteria)


def _free_slug(title: str) -> str:
    stem = slugify(title)[:70] or "brief"
    taken = set(Brief.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    candidates = (stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3)))
    return next(slug for slug in candidates if slug not in taken)
