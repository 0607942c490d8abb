"""What an assessor sees of one learner's work: frozen once it is submitted, live before that."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from assessment.actions.gather_observations import observation_part, witness_part
from assessment.calculations.evidence_map import CriterionEvidence, EvidenceFacts, map_evidence, remarks
from assessment.calculations.frozen_beside import (
    FrozenObservation,
    FrozenStatement,
    read_observations,
    read_statements,
)
from assessment.models import Criterion, Decision, ObservationRecord, Submission, Work
from assessment.models.class_evidence import Asked
from assessment.models.facts import LiveEvidence, as_submitted, evidence_of
from assessment.models.frozen import frozen_evidence
from assessment.models.seen_waiting import signed_since
from assessment.pages.marking.forms import DecisionForm
from practicals.calculations.drawing import Drawing
from practicals.calculations.measured import Measured
from practicals.calculations.review import Review

#: Where on the page the evidence of a kind stands.
PLACES = {
    "readings": "readings",
    "own retardation factors": "readings",
    "identification": "readings",
    "photos": "readings",
    "writing": "writing",
    "observation records": "observed",
}


@dataclass(frozen=True)
class PaperShown:
    label: str
    source: str
    batch: str
    review: Review
    measured: Measured
    drawing: Drawing
    photos: int


@dataclass(frozen=True)
class Remark:
    at: datetime
    by: str
    text: str


@dataclass(frozen=True)
class EvidenceShown:
    """`frozen` says whether this is what was handed in."""

    frozen: bool
    papers: tuple[PaperShown, ...]
    conclusion: str
    evaluation: str
    help_given: tuple[Remark, ...]
    notes: tuple[Remark, ...]
    facts: EvidenceFacts
    observations: tuple[FrozenObservation, ...] = ()
    statements: tuple[FrozenStatement, ...] = ()
    later: tuple[ObservationRecord, ...] = ()
    absent: tuple[str, ...] = ()

    @property
    def remarks(self) -> tuple[str, ...]:
        return remarks(self.facts)


@dataclass(frozen=True)
class Item:
    state: str
    sentence: str
    where: str
    anchor: str


@dataclass(frozen=True)
class CriterionShown:
    criterion: Criterion
    summary: str
    items: tuple[Item, ...]
    standing: Decision | None
    history: tuple[Decision, ...]
    form: DecisionForm | None


def evidence_shown(work: Work, submission: Submission | None) -> EvidenceShown:
    return _live(evidence_of(work)) if submission is None else _frozen(submission)


def _frozen(submission: Submission) -> EvidenceShown:
    found = frozen_evidence(submission)
    return EvidenceShown(
        frozen=True,
        papers=tuple(
            PaperShown(
                read.paper.label,
                read.paper.source,
                read.paper.batch,
                read.review,
                read.measured,
                read.drawing,
                len(read.paper.photos),
            )
            for read in found.papers
        ),
        conclusion=found.writing.conclusion,
        evaluation=found.writing.evaluation,
        help_given=tuple(Remark(given.at, given.by, given.text) for given in found.help),
        notes=tuple(Remark(note.at, "", note.text) for note in found.notes),
        facts=as_submitted(found.facts, submission),
        observations=found.observations,
        statements=found.statements,
        later=tuple(signed_since(submission)),
        absent=(*(f"{name} (erased)" for name in found.erased), *found.unreadable),
    )


def _live(found: LiveEvidence) -> EvidenceShown:
    photos = [photo.paper_id for photo in found.photos]
    return EvidenceShown(
        frozen=False,
        papers=tuple(
            PaperShown(
                read.label,
                read.source,
                read.batch,
                read.review,
                read.measured,
                read.drawing,
                photos.count(read.paper.pk),
            )
            for read in found.papers
        ),
        conclusion=found.work.conclusion,
        evaluation=found.work.evaluation,
        help_given=tuple(
            Remark(given.at, "a person" if given.by_id else "the program", given.text)
            for given in found.help_given
        ),
        notes=tuple(Remark(note.at, str(note.by), note.text) for note in found.notes),
        facts=found.facts(),
        # As they would be handed in now, so that both read alike.
        observations=read_observations(observation_part(found.observations, found.asked)),
        statements=read_statements(witness_part(found.statements, found.asked)),
    )


def criteria_shown(
    work: Work,
    submission: Submission | None,
    evidence: EvidenceShown,
    forms: Sequence[DecisionForm] = (),
) -> list[CriterionShown]:
    """Each criterion with the evidence it needs, what stands, what stood, and the form to decide it."""
    criteria = list(work.assignment.brief.criteria.all())
    mapped = map_evidence([Asked.by(criterion) for criterion in criteria], evidence.facts)
    decisions = list(submission.decisions.all()) if submission else []
    by_criterion = {form.criterion.pk: form for form in forms}
    return [
        _criterion(criterion, found, decisions, by_criterion.get(criterion.pk))
        for criterion, found in zip(criteria, mapped, strict=True)
    ]


def _criterion(
    criterion: Criterion,
    found: CriterionEvidence,
    decisions: Sequence[Decision],
    form: DecisionForm | None,
) -> CriterionShown:
    here = [decision for decision in decisions if decision.criterion_id == criterion.pk]
    return CriterionShown(
        criterion=criterion,
        summary=found.sentence,
        items=tuple(
            Item(item.state, item.sentence, item.where, PLACES.get(item.where, "readings"))
            for item in found.items
        ),
        standing=next((decision for decision in here if decision.is_current), None),
        history=tuple(decision for decision in here if not decision.is_current),
        form=form,
    )
