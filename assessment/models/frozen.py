"""A submission's evidence back from its kept parts: recomputed, drawn and held against the manifest.

Nothing here looks at the records that are still alive: what was handed in is what is read. Everything
comes from `submission.parts`, one query, none if they were prefetched.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from assessment.calculations.evidence_facts_text import EvidenceFactsError, facts_from_json
from assessment.calculations.evidence_map import EvidenceFacts
from assessment.calculations.frozen_beside import (
    FrozenAttachment,
    FrozenObservation,
    FrozenStatement,
    read_attachments,
    read_observations,
    read_statements,
)
from assessment.calculations.frozen_paper import (
    FrozenPaper,
    FrozenRemark,
    FrozenTextError,
    FrozenWriting,
    read_entry,
    read_paper,
    read_remarks,
    read_writing,
)
from assessment.calculations.manifest import PartCheck, check, is_intact
from assessment.models.evidence import EvidencePart, Submission
from practicals.calculations.drawing import Drawing, draw_paper
from practicals.calculations.entry import ReadingEntry
from practicals.calculations.measured import Measured, measure
from practicals.calculations.review import Review, lane_fronts, review_readings, spots_read

T = TypeVar("T")


class FrozenReadings(NamedTuple):
    """One paper, what the learner read on it, and what follows from that."""

    paper: FrozenPaper
    entry: ReadingEntry
    review: Review

    @property
    def source(self) -> str:
        """Whose paper, or what else, was measured."""
        return self.paper.source

    @property
    def measured(self) -> Measured:
        """Uncertainties, R_rel and what the unknowns may be, from the frozen readings alone."""
        return measure(self.review, paper=self.paper.facts)

    @property
    def drawing(self) -> Drawing:
        """The paper to scale; spots that the review doubts are marked."""
        return self._drawn({(spot.lane, spot.number) for spot in self.review.spots if spot.doubts})

    @property
    def plain_drawing(self) -> Drawing:
        """The paper to scale without a hint at what is doubtful, for its learner."""
        return self._drawn(frozenset())

    def _drawn(self, doubtful: Collection[tuple[int, int]]) -> Drawing:
        facts = self.paper.facts
        return draw_paper(
            width_mm=facts.width_mm,
            height_mm=facts.height_mm,
            origin_height_mm=facts.origin_height_mm,
            labels=[lane.name for lane in facts.lanes],
            origin_mm=self.entry.origin_mm,
            front_mm=self.entry.front_mm,
            lane_fronts_mm=lane_fronts(self.entry),
            spots=spots_read(self.entry),
            doubtful=doubtful,
        )


@dataclass(frozen=True, slots=True)
class FrozenEvidence:
    """All that a submission froze. What was erased, or cannot be read, is named instead of shown."""

    papers: tuple[FrozenReadings, ...]
    writing: FrozenWriting
    help: tuple[FrozenRemark, ...]
    notes: tuple[FrozenRemark, ...]
    attachments: tuple[FrozenAttachment, ...]
    observations: tuple[FrozenObservation, ...]
    statements: tuple[FrozenStatement, ...]
    facts: EvidenceFacts
    erased: tuple[str, ...]
    unreadable: tuple[str, ...]

    @property
    def conclusion(self) -> str:
        return self.writing.conclusion

    @property
    def evaluation(self) -> str:
        return self.writing.evaluation

    @property
    def help_given(self) -> tuple[FrozenRemark, ...]:
        return self.help


@dataclass(frozen=True, slots=True)
class Integrity:
    """The kept parts held against the manifest, and the manifest against its hash."""

    manifest_intact: bool
    parts: tuple[PartCheck, ...]

    @property
    def sound(self) -> bool:
        """Every part is there, unaltered, or was erased as a person's right; nothing was added."""
        return self.manifest_intact and all(part.state in ("matches", "erased") for part in self.parts)


def frozen_papers(submission: Submission) -> list[FrozenReadings]:
    """Each paper with its readings and their review, as submitted."""
    return list(frozen_evidence(submission).papers)


def frozen_evidence(submission: Submission) -> FrozenEvidence:
    """Everything that the submission froze."""
    parts = {part.name: part for part in submission.parts.all()}
    texts = {name: part.text for name, part in parts.items() if part.erased_at is None}
    unreadable: list[str] = []

    def read(name: str, reader: Callable[[str], T], nothing: T) -> T:
        try:
            return reader(texts[name]) if name in texts else nothing
        except (FrozenTextError, EvidenceFactsError):
            unreadable.append(name)
            return nothing

    papers = []
    for name in sorted(filter(_is_readings, texts), key=_place):
        paper = read(f"paper-{_place(name)}", _paper, None)
        entry = read(name, _entry, None)
        if paper and entry:
            papers.append(FrozenReadings(paper, entry, review_readings(entry, paper=paper.facts)))
    return FrozenEvidence(
        papers=tuple(papers),
        writing=read("writing", read_writing, FrozenWriting()),
        help=read("help", read_remarks, ()),
        notes=read("notes", read_remarks, ()),
        attachments=read("attachments", read_attachments, ()),
        observations=read("observation", read_observations, ()),
        statements=read("witness", read_statements, ()),
        facts=read("facts", facts_from_json, EvidenceFacts()),
        erased=tuple(sorted(set(parts) - set(texts))),
        unreadable=tuple(unreadable),
    )


def frozen_facts(submissions: Collection[Submission]) -> dict[int, EvidenceFacts]:
    """The frozen facts of many submissions, by the submission's key, in one query."""
    found = {}
    for part in EvidencePart.objects.filter(submission__in=submissions, name="facts", erased_at=None):
        try:
            found[part.submission_id] = facts_from_json(part.text)
        except EvidenceFactsError:
            continue
    return found


def integrity(submission: Submission) -> Integrity:
    """Hold what is kept against what was frozen."""
    kept = {
        part.name: None if part.erased_at else part.text.encode("utf-8") for part in submission.parts.all()
    }
    intact = is_intact(submission.manifest, submission.manifest_sha256)
    return Integrity(intact, tuple(check(submission.manifest, kept)) if intact else ())


def _paper(text: str) -> FrozenPaper | None:
    return read_paper(text)


def _entry(text: str) -> ReadingEntry | None:
    return read_entry(text)


def _is_readings(name: str) -> bool:
    stem, _, number = name.partition("-")
    return stem == "readings" and number.isdecimal()


def _place(name: str) -> int:
    return int(name.partition("-")[2])
