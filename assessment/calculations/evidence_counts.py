"""What a learner's readings amount to as evidence: counted, not judged."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from assessment.calculations.evidence_map import CriterionEvidence, EvidenceFacts
from practicals.calculations.measured import Measured
from practicals.calculations.review import LaneReview, Review, SpotReview

#: Verdicts on a naming that the standards beside the unknown support.
SUPPORTED = frozenset({"agrees", "among"})


@dataclass(frozen=True)
class PaperRead:
    """One learner's recomputed readings of one paper; `kind` keeps unknowns of two practicals apart."""

    review: Review
    measured: Measured
    kind: str = ""
    other_source: bool = False


def count_readings(papers: Sequence[PaperRead]) -> EvidenceFacts:
    """Count what the readings of one learner hold.

    Parameters
    ----------
    papers : sequence of PaperRead
        Every paper the learner read, or ended without a result.

    Returns
    -------
    EvidenceFacts
        Papers, spots, own retardation factors, identifications, doubts and papers or lanes without
        result [-]; everything else as none. An unknown that ran on two papers counts once, and counts as
        identified when something was said of each of its spots and one at least was named.

    References
    ----------
    Common practice, no source: a paper counts as read when origin, front and every lane have a reading
    or a reason.
    """
    spots = [spot for paper in papers for spot in paper.review.spots]
    named = {(paper.kind, lane.key) for paper in papers for lane in paper.review.unknowns if _is_named(lane)}
    held = {
        (paper.kind, lane.key)
        for paper in papers
        for lane in paper.review.unknowns
        if is_supported(lane, paper.measured)
    }
    return EvidenceFacts(
        papers_complete=sum(_is_read(paper.review) for paper in papers),
        papers_begun=sum(_is_begun(paper.review) for paper in papers),
        spots=len(spots),
        own_rf_given=sum(bool(spot.stated) for spot in spots),
        own_rf_right=sum(spot.agrees for spot in spots),
        own_rf_slips=sum(_has_a_slip(spot) for spot in spots),
        identifications=len(named),
        identifications_supported=len(held),
        no_results=sum(_no_results(paper.review) for paper in papers),
        readings_flagged=sum(len(paper.review.doubts) for paper in papers),
        another_group_source=any(paper.other_source for paper in papers),
    )


def is_supported(unknown: LaneReview, measured: Measured) -> bool:
    """Say whether the standards on the same paper support what an unknown's spots were taken for.

    They do when each named spot is compatible with the standard that was named, which also holds where
    several cannot be told apart. The key of the unknown plays no part: evidence is the argument from the
    paper, not the right answer.

    Parameters
    ----------
    unknown : LaneReview
        The unknown's lane.
    measured : Measured
        What follows from the readings of the same paper.

    Returns
    -------
    bool
        True when supported; False also when nothing was named, or nothing was said of a spot.

    References
    ----------
    As `practicals.calculations.identification.identify`.
    """
    named = [one for one in measured.spots if one.spot.lane == unknown.number and one.spot.identified_as]
    return _is_named(unknown) and all(one.naming and one.naming.verdict in SUPPORTED for one in named)


def count_words(text: str) -> int:
    """Count the words of a text.

    Parameters
    ----------
    text : str
        What was written.

    Returns
    -------
    int
        Pieces parted by white space [-].

    References
    ----------
    Common practice, no source.
    """
    return len(text.split())


def codes_named(texts: Iterable[str], codes: Collection[str]) -> frozenset[str]:
    """Find which criteria some texts name by their code.

    Parameters
    ----------
    texts : iterable of str
        For example notes taken at the bench.
    codes : collection of str
        Codes to look for; they count as whole words, capitals and small letters alike.

    Returns
    -------
    frozenset of str
        Codes found, as given.

    References
    ----------
    The rule is this project's own.
    """
    words = {word.strip(".,;:!?()[]“”\"'").casefold() for text in texts for word in text.split()}
    return frozenset(code for code in codes if code.casefold() in words)


def in_short(evidence: CriterionEvidence) -> str:
    """Say in a few words what of a criterion's evidence is there; no word on whether it is good.

    Parameters
    ----------
    evidence : CriterionEvidence
        One criterion's part of the evidence map.

    Returns
    -------
    str
        Such as "all there", "1 missing, 2 to look at", or "look at all" when nothing is named for it.

    References
    ----------
    The words are this project's own.
    """
    if not evidence.items:
        return "look at all"
    states = [item.state for item in evidence.items]
    counted = (("missing", "missing"), ("doubtful", "to look at"))
    parts = [f"{states.count(state)} {words}" for state, words in counted if state in states]
    return ", ".join(parts) or "all there"


def _is_read(review: Review) -> bool:
    if review.no_result or review.origin_mm is None or not review.spots:
        return False
    return all(lane.no_result or (lane.spots and lane.front_mm is not None) for lane in review.lanes)


def _is_named(unknown: LaneReview) -> bool:
    spots = unknown.spots
    return all(spot.told for spot in spots) and any(spot.identified_as for spot in spots)


def _is_begun(review: Review) -> bool:
    return review.origin_mm is not None or review.front_mm is not None or bool(review.spots)


def _no_results(review: Review) -> int:
    return 1 if review.no_result else sum(bool(lane.no_result) for lane in review.lanes)


def _has_a_slip(spot: SpotReview) -> bool:
    return spot.differs and spot.explanation is not None and bool(spot.explanation.matches)
