"""Short references to parts of the evidence, to be put into a comment."""

from collections.abc import Iterator

from assessment.models import Criterion
from assessment.pages.marking.portfolio_page import EvidenceShown, PaperShown

ON_PAPERS = frozenset({"readings", "own_rf", "identification", "photo"})


def references_for(criterion: Criterion, evidence: EvidenceShown) -> tuple[str, ...]:
    """What the criterion asks for and is there, such as “Group 2, paper A, lanes 1–4”."""
    kinds = {need.kind for need in criterion.evidence_needs()}
    found: list[str] = []
    if not kinds or kinds & ON_PAPERS:
        for paper in evidence.papers:
            found.extend(_of_paper(paper, kinds))
    if evidence.conclusion and (not kinds or "conclusion" in kinds):
        found.append("Conclusion")
    if evidence.evaluation and (not kinds or "evaluation" in kinds):
        found.append("Evaluation")
    if evidence.observations and (not kinds or "observation" in kinds):
        found.append("Observation record")
    if evidence.statements and (not kinds or "observation" in kinds):
        found.append("Witness statement")
    if evidence.notes and (not kinds or "observation" in kinds):
        found.append("Notes from the bench")
    return tuple(found)


def _of_paper(paper: PaperShown, kinds: set[str]) -> Iterator[str]:
    numbers = [lane.number for lane in paper.review.lanes]
    if numbers:
        lanes = f"lanes {numbers[0]}–{numbers[-1]}" if len(numbers) > 1 else f"lane {numbers[0]}"
        yield f"{paper.label}, {lanes}"
    unknowns = [str(lane.number) for lane in paper.review.unknowns]
    if unknowns and "identification" in kinds:
        yield f"{paper.label}, unknown{'s' if len(unknowns) > 1 else ''} in lane {' and '.join(unknowns)}"
    if paper.photos and (not kinds or "photo" in kinds):
        yield f"{paper.label}, photo"
