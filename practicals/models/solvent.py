"""Do the standards say that a batch of mobile phase, or one paper, is off? Three queries, however large."""

from collections import defaultdict
from collections.abc import Iterable
from statistics import median, stdev

from practicals.calculations.mobile_phase import (
    Expected,
    SolventCheck,
    StandardReading,
    rule_in_words,
    solvent_check,
)
from practicals.models.paper import Paper
from practicals.models.session import Session
from practicals.models.values_read import ValueRead, values_of

RULE = rule_in_words()
#: More add little, and a board asks every few seconds.
PAST_SESSIONS = 5


def solvent_check_of(session: Session) -> SolventCheck:
    """Today's standards against those of past sessions with the same practical in the same system.

    `session` comes with its practical. Without past sessions papers are compared with one another.
    """
    today = [value for value in values_of([session.pk]).values if value.is_standard]
    papers = Paper.objects.filter(group__session=session, chamber__batch__isnull=False)
    batches = {
        f"{group}{letter}": code
        for group, letter, code in papers.values_list("group__number", "letter", "chamber__batch__code")
    }
    return solvent_check(_readings(today), _expected(session) if today else {}, batches)


def _readings(values: Iterable[ValueRead]) -> list[StandardReading]:
    """Of each standard on each paper the median over those who read it."""
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for value in values:
        found[value.paper_name, value.analyte].append(float(value.rf))
    return [StandardReading(paper, analyte, median(rfs)) for (paper, analyte), rfs in found.items()]


def _expected(session: Session) -> dict[str, Expected]:
    practical = session.practical
    past = (
        Session.objects.filter(
            practical__slug=practical.slug,
            practical__mobile_phase=practical.mobile_phase_id,
            practical__support=practical.support,
            practical__stationary_phase=practical.stationary_phase,
            readings_locked_at__isnull=False,
        )
        .exclude(pk=session.pk)
        .order_by("-readings_locked_at")
    )
    found: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for value in values_of(list(past.values_list("pk", flat=True)[:PAST_SESSIONS])).values:
        if value.is_standard:
            found[value.analyte][value.session].append(float(value.rf))
    return {analyte: _of_sessions(list(rfs.values())) for analyte, rfs in found.items()}


def _of_sessions(sessions: list[list[float]]) -> Expected:
    medians = [median(rfs) for rfs in sessions]
    spread = stdev(medians) if len(medians) > 1 else 0.0
    return Expected(median(medians), "past sessions", spread)
