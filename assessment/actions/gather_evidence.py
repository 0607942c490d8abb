"""Collect what a work rests on, each part as its exact text."""

from collections.abc import Iterable

from django.db.models import Q, QuerySet

from assessment.calculations.evidence_facts_text import facts_as_json
from assessment.calculations.manifest import canonical_text as json_text
from assessment.models import Work
from assessment.models.facts import facts_for
from practicals.models import BenchNote, HelpGiven, PaperPhoto, ReadingSet, Session
from practicals.models.canonical import canonical_text


def sessions_of(work: Work) -> QuerySet[Session]:
    """The assignment's sessions, and those where this learner caught up on one of them."""
    drawn_on = work.assignment.sessions.all()
    caught_up = Q(members__learner=work.learner, members__home_session__in=drawn_on)
    return Session.objects.filter(Q(pk__in=drawn_on) | caught_up).distinct()


def readings_of(work: Work) -> list[ReadingSet]:
    """The learner's own sets, in a lasting order."""
    sets = ReadingSet.objects.whole().filter(learner=work.learner, session__in=sessions_of(work))
    return list(sets.order_by("session_id", "paper__group__number", "paper__letter", "id"))


def gather_evidence(work: Work) -> dict[str, str]:
    """Every part by name. Nobody but the learner is named, and the learner only by token."""
    parts = {
        "writing": json_text({"conclusion": work.conclusion, "evaluation": work.evaluation}),
        "help": json_text([_help(given) for given in _help_given(work)]),
        "notes": json_text([_note(note) for note in _notes(work)]),
        "facts": facts_as_json(facts_for(work)),
    }
    for number, readings in enumerate(readings_of(work), start=1):
        parts[f"readings-{number}"] = canonical_text(readings)
        parts[f"paper-{number}"] = json_text(_paper(readings))
    return parts


def _paper(readings: ReadingSet) -> dict[str, object]:
    paper = readings.paper
    practical = paper.group.session.practical
    batch = paper.chamber.batch if paper.chamber else None
    photos = PaperPhoto.objects.standing().filter(paper=paper, learner=readings.learner)
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
        "lanes": [
            {
                "number": lane.number,
                "key": lane.analyte.key,
                "name": lane.analyte.name,
                "is_standard": lane.analyte.role == lane.analyte.Role.STANDARD,
                "applied_by_this_learner": lane.applied_by_id == readings.learner_id,
            }
            for lane in paper.lanes.select_related("analyte")
        ],
        "photos": [photo.file.sha256 for photo in photos],
        "amendments": [
            {"at": amendment.at.isoformat(), "reason": amendment.reason, "before": amendment.before}
            for amendment in readings.amendments.all()
        ],
    }


def _help_given(work: Work) -> Iterable[HelpGiven]:
    return HelpGiven.objects.filter(learner=work.learner, session__in=sessions_of(work))


def _help(given: HelpGiven) -> dict[str, str]:
    return {
        "at": given.at.isoformat(),
        "by": "a person" if given.by_id else "the program",
        "text": given.text,
    }


def _notes(work: Work) -> Iterable[BenchNote]:
    return BenchNote.objects.filter(learner=work.learner, session__in=sessions_of(work))


def _note(note: BenchNote) -> dict[str, str]:
    return {"at": note.at.isoformat(), "text": note.text}
