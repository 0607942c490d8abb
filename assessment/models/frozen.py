"""What a submission froze, read back. This is what is assessed, never the live records."""

import json
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any

from assessment.calculations.evidence_facts_text import EvidenceFactsError, facts_from_json
from assessment.calculations.evidence_map import EvidenceFacts
from assessment.calculations.frozen_readings import FrozenReadings, FrozenReadingsError, read_frozen
from assessment.models.evidence import EvidencePart, Submission
from assessment.models.facts import PaperEvidence
from practicals.models import Paper


@dataclass(frozen=True)
class FrozenEvidence:
    """The parts of one submission. A part that was erased, or that cannot be read, is named."""

    papers: tuple[PaperEvidence, ...]
    conclusion: str
    evaluation: str
    help_given: tuple[dict[str, Any], ...]
    facts: EvidenceFacts
    unreadable: tuple[str, ...] = ()


@dataclass
class _Parts:
    texts: dict[str, str] = field(default_factory=dict)
    unreadable: list[str] = field(default_factory=list)

    def json(self, name: str, kinds: tuple[type, ...], default: Any) -> Any:
        if name not in self.texts:
            return default
        try:
            found = json.loads(self.texts[name])
        except (ValueError, RecursionError):
            found = None
        if not isinstance(found, kinds):
            self.unreadable.append(name)
            return default
        return found

    def readings(self) -> list[FrozenReadings]:
        found = []
        for name in sorted((name for name in self.texts if name.startswith("readings-")), key=_number):
            try:
                found.append(read_frozen(self.texts[name]))
            except FrozenReadingsError:
                self.unreadable.append(name)
        return found

    def facts(self) -> EvidenceFacts:
        try:
            return facts_from_json(self.texts.get("facts", "{}"))
        except EvidenceFactsError:
            self.unreadable.append("facts")
            return EvidenceFacts()


def frozen_evidence(submission: Submission) -> FrozenEvidence:
    """The submission's parts as they were handed in, each reading recomputed from its text."""
    parts = _Parts()
    for part in submission.parts.all():
        if part.erased_at:
            parts.unreadable.append(f"{part.name} (erased)")
        else:
            parts.texts[part.name] = part.text
    readings = parts.readings()
    papers = _papers({found.paper for found in readings})
    writing = parts.json("writing", (dict,), {})
    return FrozenEvidence(
        papers=tuple(
            PaperEvidence(papers[found.paper], found.source, found.entry)
            for found in readings
            if found.paper in papers
        ),
        conclusion=str(writing.get("conclusion", "")),
        evaluation=str(writing.get("evaluation", "")),
        help_given=tuple(row for row in _rows(parts.json("help", (list, dict), [])) if isinstance(row, dict)),
        facts=parts.facts(),
        unreadable=tuple(parts.unreadable),
    )


def frozen_facts(submissions: Collection[Submission]) -> dict[int, EvidenceFacts]:
    """The frozen facts of many submissions, by the submission's key, in one query."""
    parts = EvidencePart.objects.filter(submission__in=submissions, name="facts", erased_at=None)
    found = {}
    for part in parts:
        try:
            found[part.submission_id] = facts_from_json(part.text)
        except EvidenceFactsError:
            continue
    return found


def _papers(uuids: Collection[str]) -> dict[str, Paper]:
    """Size and lanes of a paper never change, so they come from its record."""
    found = Paper.objects.filter(uuid__in=uuids).for_bench().select_related("group__session__practical")
    return {str(paper.uuid): paper for paper in found}


def _number(name: str) -> tuple[int, str]:
    tail = name.rpartition("-")[2]
    return (int(tail) if tail.isdecimal() else 0), name


def _rows(found: Any) -> list[Any]:
    """Help stands as a list, or as a list under one name."""
    if isinstance(found, list):
        return found
    return next((rows for rows in found.values() if isinstance(rows, list)), [])
