"""How editions of units and briefs stand to each other, and the rounds a brief went through."""

from django.db.models import Count, Q

from assessment.models.brief import Assignment, Brief
from assessment.models.follow_up import BriefReview
from assessment.models.unit import Unit

MOST_USES = 20
#: What an edit of a brief can touch, in the words of its page.
TEXTS = {"title": "title", "scenario": "scenario", "tasks": "tasks", "conditions": "conditions"}


def assignments_on(unit: Unit) -> int:
    """How many issued assignments were made for exactly this edition; they keep it."""
    found: int = Assignment.objects.filter(brief__unit=unit, issued_at__isnull=False).count()
    return found


def editions_beside(unit: Unit) -> list[Unit]:
    """The other editions, each with how many issued assignments keep it (`kept_by`)."""
    issued = Q(briefs__assignments__issued_at__isnull=False)
    counted = Count("briefs__assignments", filter=issued, distinct=True)
    return list(Unit.objects.other_editions(unit).annotate(kept_by=counted))


def uses_of(brief: Brief) -> list[Assignment]:
    """The latest assignments that use exactly this edition, planned or issued, with their dates."""
    found = Assignment.objects.filter(brief=brief).select_related("teaching_class", "assessor")
    return list(found.order_by("-due_at", "-pk")[:MOST_USES])


def rounds_of(brief: Brief) -> list[BriefReview]:
    """Every round that any edition of this brief went through, the last one first."""
    rounds = BriefReview.objects.filter(brief__slug=brief.slug, brief__edition__lte=brief.edition)
    return list(rounds.select_related("brief", "reviewer").order_by("-brief__edition", "-reviewed_at", "-pk"))


def changed_parts(brief: Brief) -> tuple[str, ...]:
    """What this edition changed in the one before it; empty for the first one."""
    before = Brief.objects.filter(slug=brief.slug, edition__lt=brief.edition).order_by("-edition").first()
    if before is None:
        return ()
    changed = [word for name, word in TEXTS.items() if getattr(brief, name) != getattr(before, name)]
    if before.unit_id != brief.unit_id:
        changed.append("edition of the unit")
    if {c.code for c in before.criteria.all()} != {c.code for c in brief.criteria.all()}:
        changed.append("criteria")
    return tuple(changed)
