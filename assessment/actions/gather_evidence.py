"""Collect what a work rests on, each part as its exact text."""

from collections.abc import Iterable
from typing import TypeVar

from assessment.actions.gather_observations import observation_part, witness_part
from assessment.calculations.evidence_facts_text import facts_as_json
from assessment.calculations.manifest import canonical_text as json_text
from assessment.models import Attachment, Work
from assessment.models.facts import LiveEvidence, evidence_of
from practicals.calculations.practical_file import reference_of
from practicals.models import BenchNote, HelpGiven, Lane, PaperPhoto, ReadingSet
from practicals.models.canonical import canonical_text

T = TypeVar("T", HelpGiven, BenchNote)


def gather_evidence(work: Work, *, declared: bool, late: bool) -> dict[str, str]:
    """Every part by name. Nobody but the learner is named, and the learner only by token."""
    evidence = evidence_of(work)
    parts = {
        "writing": json_text({"conclusion": work.conclusion, "evaluation": work.evaluation}),
        "help": json_text([_help(given) for given in _in_order(evidence.help_given)]),
        "notes": json_text([_note(note) for note in _in_order(evidence.notes)]),
        "facts": facts_as_json(evidence.facts(declared=declared, late=late)),
    }
    attached = list(work.attachments.standing())
    if attached:
        parts["attachments"] = json_text([_attached(one) for one in attached])
    if evidence.observations:
        parts["observation"] = observation_part(evidence.observations, evidence.asked)
    if evidence.statements:
        parts["witness"] = witness_part(evidence.statements, evidence.asked)
    for number, readings in enumerate(readings_in_order(evidence), start=1):
        parts[f"readings-{number}"] = canonical_text(readings)
        parts[f"paper-{number}"] = json_text(_paper(readings, evidence.photos))
    return parts


def readings_in_order(evidence: LiveEvidence) -> list[ReadingSet]:
    """The learner's own sets, in an order that does not hang on when they were fetched."""
    return sorted(
        evidence.readings,
        key=lambda found: (found.session_id, found.paper.group.number, found.paper.letter, found.pk),
    )


def _paper(readings: ReadingSet, photos: Iterable[PaperPhoto]) -> dict[str, object]:
    paper = readings.paper
    practical = paper.group.session.practical
    batch = paper.chamber.batch if paper.chamber else None
    return {
        "label": f"Group {paper.group.number}, paper {paper.letter}",
        "practical": practical.title,
        "edition": practical.edition,
        "stationary_phase": practical.stationary_phase,
        "mobile_phase": practical.mobile_phase.title,
        "batch": batch.code if batch else "",
        "source": readings.source,
        "locked_at": readings.locked_at.isoformat() if readings.locked_at else "",
        "width_mm": f"{paper.width_mm.normalize():f}",
        "height_mm": f"{paper.height_mm.normalize():f}",
        "origin_height_mm": f"{paper.origin_height_mm.normalize():f}",
        "ruler_division_mm": f"{practical.ruler_division_mm.normalize():f}",
        "reference": reference_of(practical.text),
        "lanes": [_lane(lane, readings.learner_id) for lane in paper.lanes.all()],
        "photos": sorted(photo.file.sha256 for photo in photos if photo.paper_id == paper.pk),
        "amendments": [
            {"at": amendment.at.isoformat(), "reason": amendment.reason, "before": amendment.before}
            for amendment in readings.amendments.all()
        ],
    }


def _lane(lane: Lane, learner_id: int) -> dict[str, object]:
    return {
        "number": lane.number,
        "key": lane.shown_key,
        "name": lane.shown_name,
        "is_standard": lane.analyte.role == lane.analyte.Role.STANDARD,
        "colour": lane.analyte.colour if lane.analyte.role == lane.analyte.Role.STANDARD else "",
        "applied_by_this_learner": lane.applied_by_id == learner_id,
    }


def _help(given: HelpGiven) -> dict[str, str]:
    return {
        "at": given.at.isoformat(),
        "by": "a person" if given.by_id else "the program",
        "text": given.text,
    }


def _attached(one: Attachment) -> dict[str, object]:
    return {
        "title": one.title,
        "kind": one.kind,
        "media_type": one.file.media_type,
        "sha256": one.file.sha256,
        "size": one.file.size,
        "added_at": one.added_at.isoformat(),
    }


def _note(note: BenchNote) -> dict[str, str]:
    return {"at": note.at.isoformat(), "text": note.text}


def _in_order(found: list[T]) -> list[T]:
    return sorted(found, key=lambda item: (item.at, item.pk))
