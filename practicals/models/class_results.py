"""A class's values per analyte for its teacher, and without names for its learners."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from practicals.calculations.class_analysis import (
    SHOWN_TO_LEARNERS_FROM,
    AnalyteAnalysis,
    ClassReading,
    analyse,
)
from practicals.calculations.class_picture import Picture, Published, Reading, class_picture
from practicals.calculations.comparison import AgainstOthers, against_others
from practicals.calculations.outliers import Flagged, with_and_without
from practicals.calculations.rf import rounded
from practicals.calculations.suspects import suspected
from practicals.models.people import User
from practicals.models.practical import Analyte
from practicals.models.published_values import PublishedHere, published_here
from practicals.models.readings import ReadingSet
from practicals.models.session import Session
from practicals.models.unknowns import Shown, analytes_shown
from practicals.models.values_read import ValueRead, by_analyte, values_of

#: As wide as fits a phone with letters that can be read.
_PHONE_MM = 90.0
_OTHERS, _OWN = "the others", "your own"


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One learner's value of one paper, and how it lies against the others'."""

    value: ValueRead
    rounded_rf: Decimal
    stands_out: bool
    others: AgainstOthers

    @property
    def remark(self) -> str:
        if self.stands_out:
            return "stands out"
        return "apart from the others" if self.others.apart else ""


@dataclass(frozen=True, slots=True)
class AnalyteResults:
    """One analyte with everybody's values."""

    shown: Shown
    analysis: AnalyteAnalysis
    published: PublishedHere
    rows: tuple[ResultRow, ...]
    several_spots: int

    @property
    def analyte(self) -> Analyte:
        return self.shown.analyte

    @property
    def name(self) -> str:
        return self.shown.name

    @property
    def key(self) -> str:
        return self.shown.key

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the figures cannot say, each once."""
        found = (*self.analysis.summary.every.missing, *self.analysis.precision.missing)
        return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class ClassResults:
    """A session's analytes: the standards in order, then the unknowns that its groups have."""

    session: Session
    analytes: tuple[AnalyteResults, ...]
    unlocked: int

    @property
    def shown_to_learners(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.analytes if one.analysis.enough_for_learners)

    @property
    def too_few_for_learners(self) -> tuple[str, ...]:
        return tuple(one.name for one in self.analytes if not one.analysis.enough_for_learners)


@dataclass(frozen=True, slots=True)
class OwnAmongClass:
    """One analyte as a learner sees it: nobody else's name, group or place."""

    name: str
    picture: Picture
    summary: Flagged
    values: tuple[Decimal, ...]
    own: tuple[tuple[str, AgainstOthers], ...]
    published: PublishedHere


@dataclass(frozen=True, slots=True)
class OwnResults:
    """What a learner may see; `why_not` says what is waited for where that is nothing yet."""

    why_not: str
    analytes: tuple[OwnAmongClass, ...] = ()
    too_few: tuple[str, ...] = ()


def class_results(session: Session) -> ClassResults:
    """Everything for the teacher. `session` comes with its practical."""
    read = values_of([session.pk])
    found = by_analyte(read.values)
    known = published_here(session.practical)
    analytes = [
        _analyte(shown, found.get(shown.analyte.key, []), known[shown.analyte.key], read.several_spots)
        for shown in analytes_shown(session)
    ]
    unlocked = ReadingSet.objects.filter(session=session, locked_at=None).count()
    return ClassResults(session, tuple(analytes), unlocked)


def _analyte(
    shown: Shown, values: Sequence[ValueRead], known: PublishedHere, several: dict[str, int]
) -> AnalyteResults:
    readings = [
        ClassReading(str(value.learner), f"Group {value.group}", value.paper_name, value.rf)
        for value in values
    ]
    analysis = analyse(
        shown.name,
        readings,
        published=known.compared,
        suspected=suspected([value.rf for value in values]),
    )
    rows = tuple(
        ResultRow(value, rounded(value.rf), place in analysis.summary.flagged, analysis.others[place])
        for place, value in enumerate(values)
    )
    return AnalyteResults(shown, analysis, known, rows, several.get(shown.analyte.key, 0))


def own_results(session: Session, learner: User) -> OwnResults:
    """The class's values for one learner, once the own readings are locked and the teacher released them."""
    if why_not := _why_not(session, learner):
        return OwnResults(why_not)
    found = by_analyte(values_of([session.pk]).values)
    known = published_here(session.practical)
    analytes, too_few = [], []
    for shown in analytes_shown(session):
        values = found.get(shown.analyte.key, [])
        if len({value.learner for value in values}) < SHOWN_TO_LEARNERS_FROM:
            too_few.append(shown.name)
        else:
            analytes.append(_among(shown.name, values, learner, known[shown.analyte.key]))
    return OwnResults("", tuple(analytes), tuple(too_few))


def _why_not(session: Session, learner: User) -> str:
    locked = list(
        ReadingSet.objects.filter(session=session, learner=learner).values_list("locked_at", flat=True)
    )
    if not locked:
        return "You have no readings in this session, so there is nothing to compare with the class."
    if None in locked:
        return "Finish measuring first. The class’s values are shown once your own readings are locked."
    if session.results_released_at is None:
        return "Your teacher has not released the class’s values yet."
    return ""


def _among(name: str, values: Sequence[ValueRead], learner: User, known: PublishedHere) -> OwnAmongClass:
    numbers = [value.rf for value in values]
    own = [place for place, value in enumerate(values) if value.learner == learner.pk]
    # Sorted, so that the place in the list says nothing about who it is.
    ordered = sorted((value.rf, _OWN if value.learner == learner.pk else _OTHERS) for value in values)
    others = against_others(numbers)
    return OwnAmongClass(
        name=name,
        picture=_unnamed(name, ordered, known.compared),
        summary=with_and_without(numbers, suspected=suspected(numbers)),
        values=tuple(rounded(rf) for rf, _ in ordered),
        own=tuple((f"{rounded(values[place].rf)}", others[place]) for place in own),
        published=known,
    )


def _unnamed(name: str, ordered: Sequence[tuple[Decimal, str]], known: Published | None) -> Picture:
    # The others come first, so that they have the same mark in every picture.
    apart = sorted(ordered, key=lambda one: one[1] == _OWN)
    picture = class_picture(
        name, [Reading(rf, whose) for rf, whose in apart], published=known, width_mm=_PHONE_MM
    )
    own = " and ".join(f"{rounded(rf)}" for rf, whose in ordered if whose == _OWN)
    yours = f" Your own: {own}." if own else " None of them is yours."
    text = f"{name}: {len(ordered)} values of the class, {ordered[0][0]:.2f} to {ordered[-1][0]:.2f}.{yours}"
    if known is not None:
        text += f" Published: {known.value:.2f}."
    return replace(picture, text=text)
