"""The evidence of a whole class in cells: a sign, a word, and in a few words what to look at."""

from dataclasses import dataclass

from assessment.calculations.evidence_map import CriterionEvidence, EvidenceFacts, State

SIGNS: dict[str, str] = {"present": "+", "missing": "–", "doubtful": "?", "": "·"}
"""A sign for each state, told apart by shape in print as on screen."""

WORDS: dict[str, str] = {"present": "present", "missing": "missing", "doubtful": "look", "": "none named"}


@dataclass(frozen=True, slots=True)
class GridCell:
    """One learner's evidence for one criterion. `why` names what is missing or to look at."""

    code: str
    state: State | str
    why: tuple[str, ...] = ()

    @property
    def sign(self) -> str:
        """The state as a shape."""
        return SIGNS[self.state]

    @property
    def word(self) -> str:
        """The state as a word."""
        return WORDS[self.state]


def grid_cell(evidence: CriterionEvidence, facts: EvidenceFacts) -> GridCell:
    """Put one criterion's evidence into a cell.

    Parameters
    ----------
    evidence : CriterionEvidence
        The evidence map's entry for the criterion.
    facts : EvidenceFacts
        What the learner has; help shown and equal figures are named in the cell they bear on.

    Returns
    -------
    GridCell
        Missing when anything named is missing, else doubtful when something is to be looked at, else
        present; without a state when the criterion names no evidence.

    References
    ----------
    The order of the states is this project's own: what is missing cannot be judged at all.
    """
    states = {item.state for item in evidence.items}
    state = next((found for found in ("missing", "doubtful", "present") if found in states), "")
    wanted = [item for item in evidence.items if item.state == state and state != "present"]
    why = [item.where for item in wanted]
    if state == "doubtful":
        kinds = {item.need.kind for item in wanted}
        if facts.same_figures and "readings" in kinds:
            why.append("same figures twice")
        if facts.help_shown and "own_rf" in kinds:
            why.append("help shown")
    return GridCell(evidence.code, state, tuple(dict.fromkeys(why)))
