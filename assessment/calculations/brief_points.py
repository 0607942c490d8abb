"""What is looked at before a brief is issued, point by point, and what a round of it must hold."""

from collections.abc import Mapping
from dataclasses import dataclass

YES, NO, NOT_APPLICABLE = "yes", "no", "does not apply"
ANSWERS = (YES, NO, NOT_APPLICABLE)
FIT, CHANGES = "fit", "changes wanted"


@dataclass(frozen=True)
class BriefPoint:
    """One point to look at; `may_not_apply` where some briefs have nothing of the kind."""

    key: str
    sentence: str
    may_not_apply: bool = False


POINTS = (
    BriefPoint("criteria", "The right criteria are named: those that the tasks are about, and no others."),
    BriefPoint("evidence", "Each task can produce the evidence that the criteria named for it ask for."),
    BriefPoint("language", "A learner can tell from the text alone what to do and what to hand in."),
    BriefPoint("dates", "The time it takes and the dates that are planned are realistic."),
    BriefPoint("level", "It asks for work of the right level, neither easier nor harder."),
    BriefPoint(
        "options", "Where there are options, such as different unknowns, they ask equally much.", True
    ),
)
"""The points, in the order to show them."""


def round_problems(points: Mapping[str, str], *, verdict: str, comment: str) -> tuple[str, ...]:
    """Say what is missing or contradicts itself in one round of looking at a brief.

    Parameters
    ----------
    points : mapping of str to str
        The answer to each point, by its key: one of `ANSWERS`.
    verdict : str
        ``fit`` or ``changes wanted``.
    comment : str
        What the reviewer says to the author.

    Returns
    -------
    tuple of str
        A sentence for each problem; empty when the round can be kept.

    References
    ----------
    That a task is checked before learners get it, and for what: read in public guidance on
    internal verification and in a regulator's conditions on assessment. The words are this project's own.
    """
    problems = []
    for point in POINTS:
        answer = points.get(point.key, "")
        if answer not in ANSWERS:
            problems.append(f"Answer this point: {point.sentence}")
        elif answer == NOT_APPLICABLE and not point.may_not_apply:
            problems.append(f"This point applies to every brief; answer it with yes or no: {point.sentence}")
    problems += [f"“{key}” is no point of the list." for key in sorted(set(points) - {p.key for p in POINTS})]
    if verdict not in (FIT, CHANGES):
        problems.append("Say whether the brief is fit for purpose or changes are wanted.")
    elif verdict == FIT and NO in points.values():
        problems.append("A point is answered with no, so the brief is not fit yet. Ask for changes instead.")
    if not comment.strip():
        problems.append(
            "Write what you looked at, or what is to be changed, in a sentence at least: the author reads it."
        )
    return tuple(problems)


def round_in_words(points: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Return each point that was answered as its sentence and the answer, in the order of the list.

    Parameters
    ----------
    points : mapping of str to str
        Answers by key, as a round kept them.

    Returns
    -------
    tuple of (str, str)
        Sentence and answer.

    References
    ----------
    The words are this project's own.
    """
    return tuple((point.sentence, points[point.key]) for point in POINTS if point.key in points)
