"""Further attempts: who may ask for one, until when it runs, and which result counts.

Schemes differ, so every number and choice comes in as `AttemptRules`; nothing here is a constant of the
trade.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from assessment.calculations.deadlines import (
    BankHolidays,
    add_working_days,
    deadline_moment,
    shipped_bank_holidays,
)

BEST, LAST = "best", "last"
FIRST, RESUBMISSION, RETAKE = "first", "resubmission", "retake"

#: What the lead verifier ticks, by the name under which each is kept.
CONDITIONS: dict[str, str] = {
    "on_time_or_extended": "The first submission came on time, or within an extension agreed before.",
    "authenticated": "Learner and assessor have declared it the learner's own work.",
    "can_improve_unaided": "The assessor holds that the learner can do better without further guidance.",
    "fair_to_others": "It is fair to the others: this learner does not profit from feedback they have had.",
    "same_brief": "It answers the same brief, and the evidence handed in first is kept.",
}


class AttemptError(ValueError):
    """A further attempt that cannot be counted; the message says why and what to do."""


@dataclass(frozen=True)
class AttemptRules:
    """What a centre has settled: numbers of attempts [-], working days, caps by level, which counts."""

    resubmissions_allowed: int = 1
    working_days: int = 15
    term_time_only: bool = True
    late_loses_resubmission: bool = True
    cap: str = ""
    which_counts: str = BEST
    retake_cap: str = "pass"


@dataclass(frozen=True)
class AttemptFacts:
    """What is known of the latest attempt of one learner."""

    resubmissions_before: int
    late: bool
    released: bool
    learner_declared: bool
    assessor_declared: bool
    all_met: bool
    asked_before: bool = False


@dataclass(frozen=True)
class Deadline:
    """The last day, the moment it ends, and which lists it was counted with."""

    day: date
    moment: datetime
    counted_with: str


@dataclass(frozen=True)
class AttemptResult:
    """The level an attempt reached by the grade rule, empty if not even the lowest; its kind."""

    number: int
    kind: str
    level: str


@dataclass(frozen=True)
class Standing:
    """The level that counts, which attempt it comes from, and why, in words."""

    level: str
    number: int
    capped: bool
    sentence: str


def why_no_resubmission(facts: AttemptFacts, rules: AttemptRules) -> tuple[str, ...]:
    """Say what stands against asking for one more attempt.

    Parameters
    ----------
    facts : AttemptFacts
        The latest attempt [-].
    rules : AttemptRules
        The centre's policy [-].

    Returns
    -------
    tuple of str
        A sentence for each obstacle; empty when it may be asked for.

    References
    ----------
    Public guidance on resubmission, read side by side; schemes differ, so each rule is a setting.
    """
    said = []
    if not facts.released:
        said.append("The result is not released yet: a resubmission follows a decision the learner has.")
    if facts.all_met:
        said.append("Every criterion is met, so there is nothing to submit again.")
    if facts.resubmissions_before >= rules.resubmissions_allowed:
        said.append(_no_more(rules.resubmissions_allowed))
    if facts.late and rules.late_loses_resubmission:
        said.append("It came late without an extension, and by the centre's policy that loses resubmission.")
    if not facts.learner_declared:
        said.append("The learner's declaration is missing.")
    if not facts.assessor_declared:
        said.append("The assessor has not declared it authentic and current yet.")
    if facts.asked_before:
        said.append("It was asked for already.")
    return tuple(said)


def resubmission_deadline(
    received_on: date,
    rules: AttemptRules,
    *,
    region: str,
    tz: str,
    closed: Collection[date] = frozenset(),
    vacations: Collection[date] = frozenset(),
    opened: Collection[date] = frozenset(),
    holidays_data: BankHolidays | None = None,
) -> Deadline:
    """Count the working days of a resubmission from the day the learner received the decision.

    Parameters
    ----------
    received_on : date
        Day 0.
    rules : AttemptRules
        `working_days` [-] and whether vacations stop the count.
    region : str
        Region of the bank holidays, see `deadlines.REGIONS`.
    tz : str
        Time zone of the centre by its IANA name.
    closed, vacations, opened : collection of date
        The centre's own calendar: days it is closed or works all the same; vacations count as closed only
        in term-time counting.
    holidays_data : BankHolidays, optional
        The list to use; by default the shipped one.

    Returns
    -------
    Deadline
        Day, moment (23:59 there, in UTC) and a sentence on the lists used.

    Raises
    ------
    DeadlineError
        If the count is not possible; see `deadlines.add_working_days`.

    References
    ----------
    As `deadlines.add_working_days`; "from the day of receipt": public guidance, read.
    """
    lists = holidays_data or shipped_bank_holidays()
    shut = set(closed) | (set(vacations) if rules.term_time_only else set())
    day = add_working_days(
        received_on,
        rules.working_days,
        region=region,
        extra_closed=shut - set(opened),
        extra_open=frozenset(opened),
        holidays_data=lists,
    )
    own = len(shut | set(opened))
    said = lists.statement(region)
    if own:
        said += f" The centre's own calendar changes {own} day{'' if own == 1 else 's'}."
    return Deadline(day, deadline_moment(day, tz), said)


def later_only(given: datetime, counted: datetime) -> datetime:
    """Return the deadline that holds when it is counted anew: it moves only in the learner's favour.

    Parameters
    ----------
    given : datetime
        The deadline that the learner was given.
    counted : datetime
        The deadline as it is counted now.

    Returns
    -------
    datetime
        The later of the two.

    References
    ----------
    Common practice, no source.
    """
    return max(given, counted)


def capped(level: str, cap: str, levels: Sequence[str]) -> str:
    """Hold a level down to a cap.

    Parameters
    ----------
    level : str
        Level reached; empty if none.
    cap : str
        The highest level allowed; empty for no cap.
    levels : sequence of str
        All levels, lowest first.

    Returns
    -------
    str
        The lower of the two.

    Raises
    ------
    AttemptError
        If a level or the cap is not among the levels.

    References
    ----------
    No formula.
    """
    for name in (level, cap):
        if name and name not in levels:
            raise AttemptError(
                f"“{name}” is not a level of this unit. Its levels are {', '.join(levels)}; check the policy."
            )
    if not level or not cap:
        return level
    return levels[min(levels.index(level), levels.index(cap))]


def result_that_counts(
    attempts: Sequence[AttemptResult], rules: AttemptRules, levels: Sequence[str]
) -> Standing:
    """Choose the result that counts among a learner's attempts.

    Parameters
    ----------
    attempts : sequence of AttemptResult
        Decided attempts, in any order, at least one.
    rules : AttemptRules
        Caps, and whether the better or the last result counts.
    levels : sequence of str
        All levels of the unit, lowest first.

    Returns
    -------
    Standing
        The level that counts, empty if none was reached.

    Raises
    ------
    AttemptError
        Without an attempt, with one number twice, or with a level that the unit does not have.

    References
    ----------
    Public guidance, read: the better result counts in some schemes, the last in others; a ceiling on
    resubmissions in some, none in others.
    """
    if not attempts:
        raise AttemptError("No attempt is decided yet, so no result counts.")
    if len({attempt.number for attempt in attempts}) < len(attempts):
        raise AttemptError("One attempt is listed twice. List each once.")
    held = [(attempt, capped(attempt.level, _cap(attempt.kind, rules), levels)) for attempt in attempts]
    held.sort(key=lambda pair: pair[0].number)
    if rules.which_counts == LAST:
        chosen, level = held[-1]
    else:
        chosen, level = max(held, key=lambda pair: (_rank(pair[1], levels), -pair[0].number))
    return Standing(level, chosen.number, level != chosen.level, _why(chosen, level, held, rules))


def _cap(kind: str, rules: AttemptRules) -> str:
    return {RESUBMISSION: rules.cap, RETAKE: rules.retake_cap}.get(kind, "")


def _rank(level: str, levels: Sequence[str]) -> int:
    return levels.index(level) if level else -1


def _why(
    chosen: AttemptResult, level: str, held: Sequence[tuple[AttemptResult, str]], rules: AttemptRules
) -> str:
    said = ""
    if len(held) > 1:
        which = "the last result counts" if rules.which_counts == LAST else "the better result counts"
        said = f"Attempt {chosen.number} of {len(held)}: {which}."
    if level != chosen.level:
        said += f" It reached {chosen.level}; a {chosen.kind} is held at {level} by the centre's policy."
    return said.strip()


def _no_more(allowed: int) -> str:
    if allowed == 0:
        return "The centre's policy allows no resubmission."
    times = "one resubmission" if allowed == 1 else f"{allowed} resubmissions"
    return f"The centre's policy allows {times}, and no more is left."
