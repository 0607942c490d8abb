"""A standardisation as its pages show it: the piece without a name, who has judged, how far they agree."""

import re
from dataclasses import dataclass

from django.db.models import QuerySet

from assessment.calculations.many_judges import ManyJudges, compare_many
from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.frozen import FrozenEvidence, frozen_evidence
from assessment.models.standardisation import BlindJudgement, Standardisation
from assessment.models.unit import Criterion
from practicals.models import Role, User

OUTCOMES = (Decision.Outcome.NOT_YET.value, Decision.Outcome.MET.value)
NOBODY = "[the learner]"


@dataclass(frozen=True, slots=True)
class NamelessPiece:
    """The frozen evidence with the learner's name blanked out of what they wrote."""

    evidence: FrozenEvidence
    conclusion: str
    evaluation: str
    notes: tuple[str, ...]
    help_given: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComparedCriterion:
    criterion: Criterion
    judgements: tuple[BlindJudgement, ...]
    unanimous: bool


@dataclass(frozen=True, slots=True)
class Compared:
    """Those who judged every criterion, side by side."""

    agreement: ManyJudges
    criteria: tuple[ComparedCriterion, ...]
    left_out: tuple[User, ...]


def criteria_of(standardisation: Standardisation) -> list[Criterion]:
    return list(standardisation.piece.work.assignment.brief.criteria.all())


def have_judged(standardisation: Standardisation) -> set[int]:
    """Whoever has judged; a judgement is kept whole or not at all."""
    return set(standardisation.judgements.order_by().values_list("assessor", flat=True).distinct())


def nameless(submission: Submission) -> NamelessPiece:
    found = frozen_evidence(submission)
    learner = submission.work.learner

    def blank(text: str) -> str:
        return without_name(text, learner)

    return NamelessPiece(
        evidence=found,
        conclusion=blank(found.conclusion),
        evaluation=blank(found.evaluation),
        notes=tuple(blank(remark.text) for remark in found.notes),
        help_given=tuple(blank(remark.text) for remark in found.help),
    )


def without_name(text: str, learner: User) -> str:
    """The text without the learner's whole name, its parts and their reference."""
    parts = [learner.name, *learner.name.split(), learner.reference]
    words = sorted({part for part in parts if part and len(part) > 1}, key=len, reverse=True)
    if not words:
        return text
    return re.sub(rf"\b({'|'.join(map(re.escape, words))})\b", NOBODY, text, flags=re.IGNORECASE)


def compared(standardisation: Standardisation) -> Compared:
    """For after the reveal. Three queries."""
    judgements = list(standardisation.judgements.select_related("assessor", "criterion"))
    judges = sorted({one.assessor for one in judgements}, key=lambda person: (person.sort_name, person.pk))
    by_place = {(one.criterion_id, one.assessor_id): one for one in judgements}
    rows = [
        (criterion, tuple(by_place[criterion.pk, judge.pk] for judge in judges))
        for criterion in criteria_of(standardisation)
        if judges
    ]
    asked = list(standardisation.assessors.all())
    return Compared(
        agreement=compare_many([[one.outcome for one in found] for _, found in rows], OUTCOMES),
        criteria=tuple(
            ComparedCriterion(criterion, found, len({one.outcome for one in found}) == 1)
            for criterion, found in rows
        ),
        left_out=tuple(person for person in asked if person not in judges),
    )


def lines_of(standardisations: QuerySet[Standardisation]) -> list[tuple[Standardisation, int, int]]:
    """Each with how many have judged and how many were asked; a fixed number of queries."""
    found = standardisations.select_related("unit", "opened_by").prefetch_related("assessors", "judgements")
    return [
        (one, len({given.assessor_id for given in one.judgements.all()}), len(one.assessors.all()))
        for one in found
    ]


def for_page(standardisations: QuerySet[Standardisation]) -> QuerySet[Standardisation]:
    return standardisations.select_related(
        "unit", "opened_by", "piece__work__learner", "piece__work__assignment__brief"
    ).prefetch_related(
        "piece__parts", "piece__work__assignment__brief__criteria", "assessors", "agreed__criterion"
    )


def own_judgement(standardisation: Standardisation, assessor: User) -> list[BlindJudgement]:
    return list(standardisation.judgements.filter(assessor=assessor).select_related("criterion"))


def may_judge() -> QuerySet[User]:
    """Teachers and verifiers who can sign in."""
    holding = User.objects.holding(Role.TEACHER, Role.VERIFIER, Role.LEAD_VERIFIER)
    return holding.order_by("sort_name", "pk")


def pieces(submissions: QuerySet[Submission]) -> QuerySet[Submission]:
    """Decided work to choose from, the newest first."""
    return submissions.select_related("work__learner", "work__assessor", "work__assignment__brief").order_by(
        "-submitted_at", "-pk"
    )
