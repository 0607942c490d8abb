"""Which results are borderline: a verifier looks at those first."""

from collections.abc import Collection, Sequence

from assessment.calculations.grades import MET, CriterionState, GradeRule, grade


def borderline(rule: GradeRule, criteria: Sequence[CriterionState], *, turned: Collection[str] = ()) -> str:
    """Say why a result is borderline, or nothing when it is not.

    Parameters
    ----------
    rule : GradeRule
        Levels from lowest to highest.
    criteria : sequence of CriterionState
        Every criterion of the brief, decided or not.
    turned : collection of str
        Codes that were first decided “not yet met” and then, in the same attempt, “met”.

    Returns
    -------
    str
        Empty, or the reasons in words. A result is *one short* when exactly one criterion, decided not
        yet met, stands between it and the next level; it is *just met* when the grade that it has rests on
        a criterion that was first decided the other way.

    Raises
    ------
    GradeRuleError
        As `grade`.

    References
    ----------
    That borderline work belongs in the sample was read in public centre guidance; which work that is,
    where nothing is marked in points, is this project's definition.
    """
    outcome = grade(rule, criteria)
    states = {state.code: state for state in criteria}
    found = []
    if len(outcome.holding_up) == 1:
        missing = states[outcome.holding_up[0]]
        if missing.outcome not in (MET, None):
            found.append(f"one criterion short of {missing.level}: {missing.code}")
    if outcome.grade is not None:
        rank = rule.rank(outcome.grade)
        resting = [s.code for s in criteria if s.code in turned and rule.rank(s.level) <= rank]
        if resting:
            found.append(f"{outcome.grade} just met: {', '.join(resting)} was first not yet met")
    return "; ".join(found)
