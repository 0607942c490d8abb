"""Which sets of readings agree beyond chance, and what was found out: a question, never a verdict."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, replace
from decimal import Decimal
from uuid import UUID

from practicals.calculations.read_division import read_division
from practicals.calculations.same_figures import ReadSet, SameFigures, same_figures
from practicals.models.measuring import SameFiguresAnswer
from practicals.models.readings import LaneReading, ReadingSet, SpotReading

#: A question is asked where chance would raise one in at most so many sessions.
SHOWN_AT_MOST = 0.05


@dataclass(frozen=True, slots=True)
class Reader:
    pk: int
    uuid: UUID
    name: str


@dataclass(frozen=True, slots=True)
class EqualFigures:
    """Two readers of one paper, the question with its chance, and the answers given so far."""

    session: int
    paper: int
    paper_uuid: UUID
    paper_name: str
    first: Reader
    second: Reader
    found: SameFigures
    answers: tuple[SameFiguresAnswer, ...]

    @property
    def sentence(self) -> str:
        return self.found.sentence

    @property
    def names(self) -> str:
        return f"{self.first.name} and {self.second.name}"

    def concerns(self, learner: int) -> bool:
        return learner in (self.first.pk, self.second.pk)


@dataclass(frozen=True, slots=True)
class _Set:
    session: int
    paper: int
    paper_uuid: UUID
    paper_name: str
    reader: Reader
    division_mm: Decimal
    readings: dict[str, Decimal]


def equal_figures(sessions: Collection[int]) -> list[EqualFigures]:
    """The questions that stand in these sessions, session by session: four queries, however large.

    All pairs of a session that share a paper count as compared. Supplied data are the same for everybody
    and say nothing.
    """
    by_session: dict[int, list[_Set]] = defaultdict(list)
    for one in _sets(sessions):
        by_session[one.session].append(one)
    found = [question for sets in by_session.values() for question in _questions(sets)]
    return _with_answers(found)


def _questions(sets: list[_Set]) -> list[EqualFigures]:
    """Sets that were read to the same division are compared: agreement is rarer the finer both read.

    The chance that is shown is shared out among the divisions, so that it holds for the session.
    """
    readers = {str(one.reader.pk): one.reader for one in sets}
    papers = {str(one.paper): one for one in sets}
    by_division: dict[Decimal, list[ReadSet]] = defaultdict(list)
    for one in sets:
        read = read_division(tuple(one.readings.values()), ruler_division_mm=one.division_mm)
        by_division[read].append(ReadSet(str(one.reader.pk), str(one.paper), one.readings))
    questions = [
        question
        for division, alike in by_division.items()
        for question in same_figures(
            alike, division_mm=float(division), shown_at_most=SHOWN_AT_MOST / len(by_division)
        )
    ]
    asked = []
    for found in questions:
        paper = papers[found.papers[0]]
        first, second = sorted((readers[found.first], readers[found.second]), key=lambda one: one.pk)
        asked.append(
            EqualFigures(
                paper.session,
                paper.paper,
                paper.paper_uuid,
                paper.paper_name,
                first,
                second,
                found,
                answers=(),
            )
        )
    return asked


def _with_answers(found: list[EqualFigures]) -> list[EqualFigures]:
    if not found:
        return []
    given: dict[tuple[int, int, int], list[SameFiguresAnswer]] = defaultdict(list)
    answers = SameFiguresAnswer.objects.filter(paper__in={one.paper for one in found})
    for answer in answers.select_related("by"):
        given[answer.paper_id, answer.first_id, answer.second_id].append(answer)
    return [replace(one, answers=tuple(given[one.paper, one.first.pk, one.second.pk])) for one in found]


def _sets(sessions: Collection[int]) -> list[_Set]:
    found: dict[int, _Set] = {}
    sets = ReadingSet.objects.filter(session__in=sessions).exclude(source=ReadingSet.Source.SUPPLIED)
    for row in sets.select_related("learner", "paper__group", "session__practical").order_by("id"):
        found[row.pk] = _Set(
            row.session_id,
            row.paper_id,
            row.paper.uuid,
            f"{row.paper.group.number}{row.paper.letter}",
            Reader(row.learner_id, row.learner.uuid, row.learner.name),
            row.session.practical.ruler_division_mm,
            {} if row.front_mm is None else {"front": row.front_mm},
        )
    lanes = LaneReading.objects.filter(reading_set__session__in=sessions)
    for key, lane, front in lanes.values_list("reading_set", "lane__number", "front_mm"):
        if key in found and front is not None:
            found[key].readings[f"lane {lane} front"] = front
    spots = SpotReading.objects.filter(lane_reading__reading_set__session__in=sessions)
    columns = ("lane_reading__reading_set", "lane_reading__lane__number", "number")
    for key, lane, number, centre, leading, trailing in spots.values_list(
        *columns, "centre_mm", "leading_mm", "trailing_mm"
    ):
        if key not in found:
            continue
        spot = f"lane {lane} spot {number}"
        if leading is None:
            found[key].readings[spot] = centre
        else:
            # The centre follows from the edges: counted beside them it would be the same reading again.
            found[key].readings[f"{spot} leading edge"] = leading
            found[key].readings[f"{spot} trailing edge"] = trailing
    return list(found.values())
