"""Grades by rule: what the criteria decided so far amount to.

The rule is data, an ordered list of levels. A grade needs every criterion of its own level and of all
levels below it, so a merit criterion met over an open pass criterion gives no grade at all.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Outcome = Literal["met", "not yet met"]
MET: Outcome = "met"
NOT_YET_MET: Outcome = "not yet met"


class GradeRuleError(ValueError):
    """A grade rule, or the criteria given to it, that cannot be used; the message says why."""


@dataclass(frozen=True)
class GradeRule:
    """Levels from the lowest to the highest; the grade bears the name of the level reached."""

    levels: tuple[str, ...]
    not_achieved: str = "not yet achieved"

    def rank(self, level: str) -> int:
        """Return the place of a level, 0 for the lowest.

        Parameters
        ----------
        level : str
            Name of the level.

        Returns
        -------
        int
            Place in the order [-].

        Raises
        ------
        GradeRuleError
            If the rule has no such level.

        References
        ----------
        The order is the rule's own.
        """
        if level not in self.levels:
            raise GradeRuleError(
                f"The grade rule has no level “{level}”. It has {_listed(self.levels)}; use one of these."
            )
        return self.levels.index(level)


@dataclass(frozen=True)
class CriterionState:
    """One criterion and what was decided on it; an outcome of None means that nobody has decided yet."""

    code: str
    level: str
    outcome: Outcome | None


@dataclass(frozen=True)
class GradeOutcome:
    """The grade reached, the criteria that hold up the next one, and a sentence for people."""

    grade: str | None
    holding_up: tuple[str, ...]
    sentence: str
    not_yet_met: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()


def read_grade_rule(source: str | Mapping[str, object]) -> GradeRule:
    """Read a grade rule from JSON text or from a mapping.

    Parameters
    ----------
    source : str or mapping
        For example ``{"levels": ["pass", "merit", "distinction"]}``, lowest level first, optionally
        with ``not_achieved``, the words for no grade.

    Returns
    -------
    GradeRule
        The rule.

    Raises
    ------
    GradeRuleError
        If the text is not JSON, or the levels are absent, empty or repeated.

    References
    ----------
    The form is this project's own; the rule it carries is that of `grade`.
    """
    data = _parsed(source)
    levels = data.get("levels")
    if not isinstance(levels, list | tuple) or not levels:
        raise GradeRuleError("A grade rule needs a list “levels”, lowest first, with at least one level.")
    names = [level.strip() if isinstance(level, str) else "" for level in levels]
    if not all(names):
        raise GradeRuleError("Every level of a grade rule needs a name; one of them is empty or not text.")
    if len(set(names)) != len(names):
        raise GradeRuleError("A level stands twice in the grade rule; give each level once.")
    words = data.get("not_achieved", GradeRule.not_achieved)
    if not isinstance(words, str) or not words.strip():
        raise GradeRuleError("“not_achieved” must be words, such as “not yet achieved”.")
    return GradeRule(tuple(names), words.strip())


def grade_rule_as_dict(rule: GradeRule) -> dict[str, object]:
    """Return the rule in the form that `read_grade_rule` reads.

    Parameters
    ----------
    rule : GradeRule
        The rule.

    Returns
    -------
    dict
        Text and lists only, ready for JSON.

    References
    ----------
    The form is this project's own.
    """
    return {"levels": list(rule.levels), "not_achieved": rule.not_achieved}


def grade(rule: GradeRule, criteria: Sequence[CriterionState]) -> GradeOutcome:
    """Return the grade that the decisions amount to, and what holds the next one up.

    Parameters
    ----------
    rule : GradeRule
        Levels from lowest to highest.
    criteria : sequence of CriterionState
        Every criterion the unit has, decided or not.

    Returns
    -------
    GradeOutcome
        `grade` is None when the lowest level is not complete. `holding_up` holds the codes of the
        open criteria of the level that would come next, in the order given.

    Raises
    ------
    GradeRuleError
        If a code stands twice, or a level or an outcome is unknown.

    Notes
    -----
    A level without criteria cannot be reached and stops nothing. Marks and averages play no part.

    References
    ----------
    Pass: all pass criteria; merit: all pass and merit; distinction: all three. The wording "met all the
    ... criteria" was read in public vocational specifications; that open lower levels block the higher
    grade is common practice, no source.
    """
    _check(rule, criteria)
    used = [level for level in rule.levels if any(c.level == level for c in criteria)]
    reached: str | None = None
    blocking: list[CriterionState] = []
    for level in used:
        blocking = [c for c in criteria if c.level == level and c.outcome != MET]
        if blocking:
            break
        reached = level
    return GradeOutcome(
        grade=reached,
        holding_up=tuple(c.code for c in blocking),
        sentence=_sentence(rule, criteria, reached, blocking),
        not_yet_met=tuple(c.code for c in criteria if c.outcome == NOT_YET_MET),
        undecided=tuple(c.code for c in criteria if c.outcome is None),
    )


def _parsed(source: str | Mapping[str, object]) -> Mapping[str, object]:
    if not isinstance(source, str):
        return source
    try:
        data = json.loads(source)
    except ValueError as error:
        raise GradeRuleError(f"The grade rule is not readable as JSON: {error}.") from error
    if not isinstance(data, dict):
        raise GradeRuleError("A grade rule is an object with a list “levels”, not a bare value.")
    return data


def _check(rule: GradeRule, criteria: Sequence[CriterionState]) -> None:
    seen: set[str] = set()
    for criterion in criteria:
        rule.rank(criterion.level)
        if criterion.outcome not in (MET, NOT_YET_MET, None):
            raise GradeRuleError(
                f"{criterion.code} has the outcome “{criterion.outcome}”; "
                "a criterion is met, not yet met, or not decided."
            )
        if criterion.code in seen:
            raise GradeRuleError(f"{criterion.code} was given twice; give each criterion once.")
        seen.add(criterion.code)


def _sentence(
    rule: GradeRule,
    criteria: Sequence[CriterionState],
    reached: str | None,
    blocking: Sequence[CriterionState],
) -> str:
    if not criteria:
        return "No grade: there are no criteria to grade by."
    if not blocking:
        every = "the only criterion is met" if len(criteria) == 1 else f"all {len(criteria)} criteria are met"
        return f"{_capital(reached or '')}: {every}."
    higher = [
        c.code for c in criteria if c.outcome == MET and rule.rank(c.level) > rule.rank(blocking[0].level)
    ]
    although = f", although {_listed(higher)} {_is(higher)} met" if higher else ""
    if reached:
        # A grade that undecided criteria may still raise must not read like the last word.
        so_far = " so far" if any(c.outcome is None for c in blocking) else ""
        lead = f"{_capital(reached)}{so_far}"
    else:
        lead = "No grade yet" if higher else _capital(rule.not_achieved)
    return f"{lead}: {_open_words(blocking)}{although}."


def _open_words(blocking: Sequence[CriterionState]) -> str:
    missed = [c.code for c in blocking if c.outcome == NOT_YET_MET]
    undecided = [c.code for c in blocking if c.outcome is None]
    parts = []
    if missed:
        parts.append(f"{_listed(missed)} {_is(missed)} not yet met")
    if undecided:
        parts.append(f"{_listed(undecided)} {_is(undecided)} not yet decided")
    return " and ".join(parts)


def _is(codes: Sequence[str]) -> str:
    return "is" if len(codes) == 1 else "are"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
