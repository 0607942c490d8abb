"""Outcomes of first attempts by the option a learner had: the unknown given, the paper read."""

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assessment.calculations.fair_options import Comparison, OptionCount, compare_options
from assessment.models.brief import Assignment
from assessment.models.decision import Decision
from assessment.models.evidence import Submission, Work
from assessment.models.results import standing_decisions
from assessment.models.unit import Criterion
from practicals.models import Analyte, GroupMember, Lane, ReadingSet

NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class FairLine:
    """One criterion over the options of one kind."""

    criterion: Criterion
    comparison: Comparison


@dataclass(frozen=True, slots=True)
class FairOptions:
    """Every criterion, by unknown and by paper. `tests` counts those that gave a figure."""

    by_unknown: tuple[FairLine, ...]
    by_paper: tuple[FairLine, ...]

    @property
    def tests(self) -> int:
        return sum(line.comparison.p is not None for line in (*self.by_unknown, *self.by_paper))


def fair_options(assignment: Assignment, works: Sequence[Work]) -> FairOptions:
    """Of works fetched for marking: their first attempts, a fixed number of queries more.

    First attempts alone: whoever had a second one has had feedback, whatever the option.
    """
    firsts = [one for work in works for one in work.submissions.all() if one.attempt == 1]
    criteria = list(assignment.brief.criteria.all())
    papers = papers_read(assignment, {one.work.learner_id for one in firsts})
    unknowns = _unknowns_on({paper for found in papers.values() for paper in found})
    places = _places(assignment)

    def paper(one: Submission) -> str:
        found = sorted(papers.get(one.work.learner_id, {}).values())
        return " and ".join(found) or places.get(one.work.learner_id, NOT_KNOWN)

    def unknown(one: Submission) -> str:
        names = {name for key in papers.get(one.work.learner_id, {}) for name in unknowns.get(key, ())}
        return " and ".join(sorted(names)) or NOT_KNOWN

    return FairOptions(_lines(criteria, firsts, unknown), _lines(criteria, firsts, paper))


def papers_read(assignment: Assignment, learners: set[int]) -> dict[int, dict[int, str]]:
    """The papers each learner read for the assignment, by learner; catch-ups included."""
    sessions = list(assignment.sessions.values_list("pk", flat=True))
    elsewhere = GroupMember.objects.filter(home_session__in=sessions).values_list("session", flat=True)
    read = ReadingSet.objects.filter(learner__in=learners, session__in={*sessions, *elsewhere})
    found: dict[int, dict[int, str]] = defaultdict(dict)
    several = len({*sessions, *elsewhere}) > 1
    rows = read.values_list(
        "learner", "paper", "paper__group__number", "paper__letter", "session__title"
    ).distinct()
    for learner, key, number, letter, title in rows:
        label = f"group {number}, paper {letter}"
        found[learner][key] = f"{title}: {label}" if several else label
    return found


def _places(assignment: Assignment) -> dict[int, str]:
    members = GroupMember.objects.filter(session__in=assignment.sessions.all())
    return {
        learner: f"group {number}, nothing read"
        for learner, number in members.values_list("learner", "group__number")
    }


def _unknowns_on(papers: set[int]) -> dict[int, list[str]]:
    lanes = Lane.objects.filter(paper__in=papers, analyte__role=Analyte.Role.UNKNOWN)
    found: dict[int, list[str]] = defaultdict(list)
    for paper, name, code in lanes.values_list("paper", "analyte__name", "code").order_by("number"):
        found[paper].append(f"{name} (code {code})" if code else name)
    return found


def _lines(
    criteria: Sequence[Criterion], firsts: Sequence[Submission], option: Callable[[Submission], str]
) -> tuple[FairLine, ...]:
    met: dict[int, Counter[str]] = defaultdict(Counter)
    every: dict[int, Counter[str]] = defaultdict(Counter)
    for submission in firsts:
        given = option(submission)
        for key, decision in standing_decisions(submission).items():
            every[key][given] += 1
            met[key][given] += decision.outcome == Decision.Outcome.MET
    return tuple(
        FairLine(
            criterion,
            compare_options(
                [
                    OptionCount(given, met[criterion.pk][given], number)
                    for given, number in sorted(every[criterion.pk].items())
                ]
            ),
        )
        for criterion in criteria
    )
