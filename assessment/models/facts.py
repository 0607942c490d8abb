"""A learner's evidence counted: as it stands in the records now, or as it was frozen."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import cast

from django.db.models import Count, Q

from assessment.calculations.evidence_counts import PaperRead, codes_named, count_readings, count_words
from assessment.calculations.evidence_facts_text import EvidenceFactsError, facts_from_json
from assessment.calculations.evidence_map import EvidenceFacts
from assessment.models.attempts import Attachment
from assessment.models.brief import Assignment
from assessment.models.evidence import EvidencePart, Submission, Work
from assessment.models.observation import ObservationRecord, WitnessStatement
from practicals.calculations.drawing import Drawing
from practicals.calculations.entry import ReadingEntry
from practicals.calculations.measured import Measured, measure
from practicals.calculations.review import Review, review_readings
from practicals.models import BenchNote, GroupMember, HelpGiven, Paper, PaperPhoto, ReadingSet, Session
from practicals.models.equal_figures import EqualFigures, equal_figures
from practicals.models.review import drawing_of, entry_of, facts_of


@dataclass(frozen=True)
class PaperEvidence:
    """One learner's readings of one paper, recomputed."""

    paper: Paper
    source: str
    entry: ReadingEntry

    @property
    def label(self) -> str:
        return f"Group {self.paper.group.number}, paper {self.paper.letter}"

    @property
    def batch(self) -> str:
        chamber = self.paper.chamber
        return chamber.batch.code if chamber and chamber.batch else ""

    @property
    def review(self) -> Review:
        return review_readings(self.entry, paper=facts_of(self.paper))

    @property
    def drawing(self) -> Drawing:
        return drawing_of(self.paper, self.review, self.entry)

    @property
    def measured(self) -> Measured:
        return measure(self.review, paper=facts_of(self.paper))

    def counted(self) -> PaperRead:
        review = self.review
        return PaperRead(
            review=review,
            measured=measure(review, paper=facts_of(self.paper)),
            kind=str(self.paper.group.session.practical_id),
            other_source=self.source != ReadingSet.Source.OWN,
        )


@dataclass
class LiveEvidence:
    """All that one work draws on, from the sessions of its assignment and from catch-ups."""

    work: Work
    sessions: list[Session] = field(default_factory=list)
    readings: list[ReadingSet] = field(default_factory=list)
    failed_papers: list[Paper] = field(default_factory=list)
    help_given: list[HelpGiven] = field(default_factory=list)
    notes: list[BenchNote] = field(default_factory=list)
    photos: list[PaperPhoto] = field(default_factory=list)
    equal_figures: list[EqualFigures] = field(default_factory=list)
    attached: int = 0
    observations: list[ObservationRecord] = field(default_factory=list)
    statements: list[WitnessStatement] = field(default_factory=list)

    @property
    def papers(self) -> list[PaperEvidence]:
        return [PaperEvidence(found.paper, found.source, entry_of(found)) for found in self.readings]

    @cached_property
    def asked(self) -> dict[int, str]:
        """The codes of the brief's criteria by their keys: codes repeat from unit to unit."""
        return {criterion.pk: criterion.code for criterion in self.work.assignment.brief.criteria.all()}

    def named_by(self, found: Iterable[ObservationRecord | WitnessStatement]) -> frozenset[str]:
        """Codes of the brief's criteria that one of these names."""
        named = {criterion.pk for one in found for criterion in one.criteria.all()}
        return frozenset(code for key, code in self.asked.items() if key in named)

    def facts(self, *, declared: bool = False, late: bool = False) -> EvidenceFacts:
        counted = count_readings([paper.counted() for paper in self.papers])
        read = {found.paper_id for found in self.readings if found.no_result}
        failed = sum(paper.pk not in read for paper in self.failed_papers)
        both = [one for one in self.observations if one.learner_signed_at]
        one_side = [one for one in self.observations if not one.learner_signed_at]
        return replace(
            counted,
            no_results=counted.no_results + failed,
            conclusion_words=count_words(self.work.conclusion),
            evaluation_words=count_words(self.work.evaluation),
            photos=len(self.photos),
            attachments=self.attached,
            observed=self.named_by(both),
            half_signed=self.named_by(one_side),
            witnessed=self.named_by(self.statements),
            noted=codes_named((note.text for note in self.notes), self.asked.values()),
            help_shown=sum(given.by_id is None for given in self.help_given),
            same_figures=bool(self.equal_figures),
            declared=declared,
            late=late,
        )


def facts_for(work: Work, *, declared: bool = False, late: bool = False) -> EvidenceFacts:
    """What the learner has at this moment."""
    return evidence_of(work).facts(declared=declared, late=late)


def facts_for_many(works: Collection[Work]) -> dict[int, EvidenceFacts]:
    """The same for a whole class, by the work's key, in as many queries as for one."""
    return {key: evidence.facts() for key, evidence in evidence_of_many(works).items()}


def frozen_facts(submissions: Collection[Submission]) -> dict[int, EvidenceFacts]:
    """What each submission froze, by its key, in one query; one that cannot be read is left out."""
    by_key = {submission.pk: submission for submission in submissions}
    found = {}
    for part in EvidencePart.objects.filter(submission__in=by_key, name="facts", erased_at=None):
        try:
            found[part.submission_id] = as_submitted(facts_from_json(part.text), by_key[part.submission_id])
        except EvidenceFactsError:
            continue
    return found


def as_submitted(facts: EvidenceFacts, submission: Submission) -> EvidenceFacts:
    """Declaration and lateness are known only once the work is handed in."""
    return replace(facts, declared=bool(submission.declaration), late=submission.late)


def evidence_of(work: Work) -> LiveEvidence:
    return evidence_of_many([work])[work.pk]


def evidence_of_many(works: Collection[Work]) -> dict[int, LiveEvidence]:
    """Gather the records of many works in a fixed number of queries."""
    gathered = {work.pk: LiveEvidence(work) for work in works}
    learners = {work.learner_id for work in works}
    by_place: dict[tuple[int, int], list[LiveEvidence]] = defaultdict(list)
    for evidence, session in _sessions_of(gathered.values()):
        if session not in evidence.sessions:
            evidence.sessions.append(session)
            by_place[evidence.work.learner_id, session.pk].append(evidence)
    here = Q(learner__in=learners, session__in={session for _, session in by_place})
    for readings in ReadingSet.objects.filter(here).whole().prefetch_related("paper__lanes__analyte"):
        for evidence in by_place[readings.learner_id, readings.session_id]:
            evidence.readings.append(readings)
    for given in HelpGiven.objects.filter(here).select_related("by", "paper__group"):
        for evidence in by_place[given.learner_id, given.session_id]:
            evidence.help_given.append(given)
    for note in BenchNote.objects.filter(here).select_related("by"):
        for evidence in by_place[note.learner_id, note.session_id]:
            evidence.notes.append(note)
    _add_papers(by_place, learners)
    _add_attached(gathered)
    _add_questions(by_place)
    _add_observed(by_place, here)
    return gathered


def _add_observed(by_place: dict[tuple[int, int], list[LiveEvidence]], here: Q) -> None:
    """What was signed and stands, for the works whose brief has one of the criteria it names."""
    records = ObservationRecord.objects.standing().filter(here, signed_at__isnull=False)
    statements = WitnessStatement.objects.standing().filter(here, signed_at__isnull=False)
    records = records.select_related("assessor", "session__practical").prefetch_related("criteria", "notes")
    statements = statements.select_related("witness", "session__practical").prefetch_related("criteria")
    for record in records:
        for evidence in by_place[record.learner_id, record.session_id]:
            if evidence.named_by([record]):
                evidence.observations.append(record)
    for statement in statements:
        for evidence in by_place[statement.learner_id, statement.session_id]:
            if evidence.named_by([statement]):
                evidence.statements.append(statement)


def _add_attached(gathered: dict[int, LiveEvidence]) -> None:
    attached = Attachment.objects.filter(work__in=gathered, withdrawn_at=None)
    for work, number in attached.values_list("work").annotate(number=Count("pk")).order_by():
        gathered[work].attached = number


def _add_questions(by_place: dict[tuple[int, int], list[LiveEvidence]]) -> None:
    for question in equal_figures({session for _, session in by_place}):
        for learner in (question.first.pk, question.second.pk):
            for evidence in by_place.get((learner, question.session), []):
                evidence.equal_figures.append(question)


def _sessions_of(gathered: Iterable[LiveEvidence]) -> Iterable[tuple[LiveEvidence, Session]]:
    """The sessions of the assignment, and those in which the learner caught up on one of them."""
    works = list(gathered)
    wanted = {evidence.work.assignment_id for evidence in works}
    assignments = Assignment.objects.filter(pk__in=wanted).prefetch_related("sessions__practical")
    sessions = {assignment.pk: list(assignment.sessions.all()) for assignment in assignments}
    every = [session for found in sessions.values() for session in found]
    caught_up = GroupMember.objects.filter(
        home_session__in=every, learner__in={evidence.work.learner_id for evidence in works}
    ).select_related("session__practical")
    elsewhere = defaultdict(list)
    for member in caught_up:
        elsewhere[member.learner_id, cast(int, member.home_session_id)].append(member.session)
    for evidence in works:
        for session in sessions[evidence.work.assignment_id]:
            yield evidence, session
            for other in elsewhere[evidence.work.learner_id, session.pk]:
                yield evidence, other


def _add_papers(by_place: dict[tuple[int, int], list[LiveEvidence]], learners: set[int]) -> None:
    sessions = {session for _, session in by_place}
    photos = PaperPhoto.objects.standing().filter(learner__in=learners, paper__group__session__in=sessions)
    for photo in photos.select_related("paper__group"):
        for evidence in by_place.get((photo.learner_id, photo.paper.group.session_id), []):
            evidence.photos.append(photo)
    failed = (
        Paper.objects.filter(group__session__in=sessions)
        .exclude(no_result="")
        .select_related("group")
        .prefetch_related("group__members")
    )
    for paper in failed:
        for member in paper.group.members.all():
            for evidence in by_place.get((member.learner_id, paper.group.session_id), []):
                evidence.failed_papers.append(paper)
