"""A paper in its chamber: what was read of its front, and when it is to come out."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from practicals.calculations.front import FrontPrediction, FrontSeen, predict_front
from practicals.calculations.front_history import ExpectedTime, expected_time, rate_of_runs
from practicals.calculations.front_law import FrontHeight, NoFitError, UsualRate
from practicals.calculations.front_picture import FrontPicture, front_picture
from practicals.calculations.front_stop import stop_below_top_mm, wanted_height_mm
from practicals.calculations.front_words import FrontKind, front_words
from practicals.models.measuring import Development, FrontMark
from practicals.models.paper import Paper
from practicals.models.practical import Practical

#: Past heights that are looked at, newest first: enough for dozens of papers, and never more.
MOST_PAST_MARKS = 600


@dataclass(frozen=True, slots=True)
class FrontRun:
    """One paper: in the chamber or not yet, its heights that stand, and what they say."""

    paper: Paper
    at: datetime
    development: Development | None
    marks: tuple[FrontMark, ...]
    prediction: FrontPrediction | None
    wanted_mm: float
    top_mm: float
    expected: ExpectedTime | None

    @property
    def words(self) -> str:
        return self._said[0]

    @property
    def kind(self) -> FrontKind:
        return self._said[1]

    @property
    def is_over(self) -> bool:
        return self.development is not None and self.development.taken_out_at is not None

    @property
    def is_wanted_out(self) -> bool:
        """Somebody is to look at once, or to take it out."""
        stage = self.prediction.stage if self.prediction else ""
        return not self.is_over and not self.was_left_open and stage in {"there", "gone", "due"}

    @property
    def was_left_open(self) -> bool:
        """Bench work has ended, and nobody noted when the paper came out: nobody is to be sent to it."""
        ended = self.paper.group.session.readings_locked_at is not None
        return ended and self.development is not None and not self.is_over

    @property
    def wanted_above_edge_mm(self) -> Decimal:
        """Where the run stops, as a ruler along the paper's edge shows it [mm]."""
        return self.paper.height_mm - _stop_mm(self.paper)

    @property
    def picture(self) -> FrontPicture | None:
        if self.development is None or not self.wanted_mm > 0:
            return None
        start, found = self.development.started_at, self.prediction
        band = None
        if found and found.take_out and found.earliest and found.latest and not self.is_over:
            band = (
                _minutes(start, found.take_out),
                _minutes(start, found.earliest),
                _minutes(start, found.latest),
            )
        return front_picture(
            [FrontHeight(_minutes(start, mark.at), float(mark.height_mm)) for mark in self.marks],
            wanted_mm=self.wanted_mm,
            top_mm=self.top_mm,
            fit=found.fit if found else None,
            band=band,
            now_min=None if self.is_over else _minutes(start, self.at),
        )

    @property
    def _said(self) -> tuple[str, FrontKind]:
        if self.was_left_open:
            return "nobody noted when it came out", "open"
        out = self.development.taken_out_at if self.development else None
        return front_words(self.prediction, taken_out=timezone.localtime(out) if out else None, now=self.at)


def front_run(paper: Paper, now: datetime) -> FrontRun:
    """One paper. It comes with its group, session and practical."""
    return front_runs([paper], paper.group.session.practical, now)[paper.pk]


def front_runs(papers: Iterable[Paper], practical: Practical, now: datetime) -> dict[int, FrontRun]:
    """The papers given, each with the session's practical at hand, in at most three queries."""
    papers = list(papers)
    begun = {one.paper_id: one for one in Development.objects.filter(paper__in=papers)}
    marks: dict[int, list[FrontMark]] = defaultdict(list)
    for mark in FrontMark.objects.filter(paper__in=begun, withdrawn_at=None).select_related("by"):
        marks[mark.paper_id].append(mark)
    usual = usual_rate_of(practical)
    stop = stop_below_top_mm(practical.text)
    return {
        paper.pk: _run(paper, begun.get(paper.pk), marks[paper.pk], usual, (practical, stop), now)
        for paper in papers
    }


def usual_rate_of(practical: Practical) -> UsualRate | None:
    """The rate of past papers: closed sessions of any edition of this practical, three heights or more."""
    past = FrontMark.objects.filter(
        withdrawn_at=None,
        paper__no_result="",
        paper__development__isnull=False,
        paper__group__session__closed_at__isnull=False,
        paper__group__session__practical__slug=practical.slug,
    ).order_by("-at")
    runs: dict[int, list[FrontHeight]] = defaultdict(list)
    rows = past.values_list("paper_id", "paper__development__started_at", "at", "height_mm")
    for paper, start, at, height_mm in rows[:MOST_PAST_MARKS]:
        runs[paper].append(FrontHeight(_minutes(start, at), float(height_mm)))
    return rate_of_runs(list(runs.values()))


def expected_time_of(practical: Practical) -> ExpectedTime | None:
    """How long past papers say that a paper of this practical takes."""
    wanted = wanted_height_mm(
        paper_height_mm=practical.paper_height_mm,
        immersed_mm=practical.chamber_depth_mm,
        stop_mm=stop_below_top_mm(practical.text),
    )
    return expected_time(usual_rate_of(practical), wanted_mm=wanted)


def _run(
    paper: Paper,
    development: Development | None,
    marks: list[FrontMark],
    usual: UsualRate | None,
    method: tuple[Practical, Decimal],
    now: datetime,
) -> FrontRun:
    practical, stop = method
    immersed = development.immersed_mm if development else practical.chamber_depth_mm
    wanted = wanted_height_mm(paper_height_mm=paper.height_mm, immersed_mm=immersed, stop_mm=stop)
    top = float(paper.height_mm - immersed)
    found = None
    if development is not None:
        try:
            found = predict_front(
                [FrontSeen(mark.at, float(mark.height_mm)) for mark in marks],
                started=timezone.localtime(development.started_at),
                wanted_mm=wanted,
                now=now,
                usual=usual,
                top_mm=top,
            )
        except NoFitError:
            found = None
    return FrontRun(
        paper=paper,
        at=now,
        development=development,
        marks=tuple(marks),
        prediction=found,
        wanted_mm=wanted,
        top_mm=top,
        expected=expected_time(usual, wanted_mm=wanted),
    )


def _stop_mm(paper: Paper) -> Decimal:
    return stop_below_top_mm(paper.group.session.practical.text)


def _minutes(start: datetime, at: datetime) -> float:
    return (at - start).total_seconds() / 60
