"""The evidence map: per criterion, what is there, what is missing, what somebody should look at.

It counts and points. It never says that a criterion is met: a present item may still be poor, and
"doubtful" is a question to the assessor with the reason beside it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from assessment.calculations.evidence_needs import EvidenceNeed, EvidenceNeedError

State = Literal["present", "missing", "doubtful"]


@dataclass(frozen=True)
class EvidenceFacts:
    """What one learner has for one assignment, as counts.

    Attributes
    ----------
    papers_complete, papers_begun : int
        Papers with every reading made, and with at least one [-].
    spots : int
        Spots read in all [-].
    own_rf_given, own_rf_right, own_rf_slips : int
        The learner's own retardation factors: given, agreeing with the recomputed ones, explained by
        a likely slip [-].
    identifications, identifications_supported : int
        Unknowns named, and those that the standards on the same paper support [-].
    conclusion_words, evaluation_words, photos, attachments : int
        Words written, photos kept, reports and pages attached [-].
    observed, half_signed, noted, witnessed : frozenset of str
        Codes of criteria that an observation record names which assessor and learner have signed; that one
        names which only the assessor has signed; that a bench note names; that a signed witness statement
        names.
    help_shown, no_results, readings_flagged : int
        Times the program showed help on a slip or an impossible reading; papers or lanes ended without
        result; readings kept but impossible or doubtful [-].
    another_group_source, same_figures : bool
        Whether readings come from another group's paper or supplied data; whether the figures agree
        with another reader's beyond chance.
    late, declared : bool
        Whether submitted after the deadline without an extension; whether the declaration is made.
    """

    papers_complete: int = 0
    papers_begun: int = 0
    spots: int = 0
    own_rf_given: int = 0
    own_rf_right: int = 0
    own_rf_slips: int = 0
    identifications: int = 0
    identifications_supported: int = 0
    conclusion_words: int = 0
    evaluation_words: int = 0
    photos: int = 0
    attachments: int = 0
    observed: frozenset[str] = frozenset()
    half_signed: frozenset[str] = frozenset()
    noted: frozenset[str] = frozenset()
    witnessed: frozenset[str] = frozenset()
    help_shown: int = 0
    no_results: int = 0
    readings_flagged: int = 0
    another_group_source: bool = False
    same_figures: bool = False
    late: bool = False
    declared: bool = False


@dataclass(frozen=True)
class EvidenceItem:
    """One need held against the facts: its state, the part of the evidence to look at, and why."""

    need: EvidenceNeed
    state: State
    where: str
    sentence: str


@dataclass(frozen=True)
class CriterionEvidence:
    """The evidence of one criterion. Nothing here decides it."""

    code: str
    items: tuple[EvidenceItem, ...]
    sentence: str


class NeedsEvidence(Protocol):
    """Anything with a code and needs, such as a criterion read from a unit file."""

    @property
    def code(self) -> str:
        """Code of the criterion."""

    @property
    def needs(self) -> Sequence[EvidenceNeed]:
        """Evidence it asks for."""


def map_evidence(criteria: Sequence[NeedsEvidence], facts: EvidenceFacts) -> list[CriterionEvidence]:
    """Hold what each criterion asks for against what a learner has.

    Parameters
    ----------
    criteria : sequence of NeedsEvidence
        Criteria with their needs, in the order to show.
    facts : EvidenceFacts
        What the learner has.

    Returns
    -------
    list of CriterionEvidence
        One for each criterion, in the order given.

    Raises
    ------
    EvidenceNeedError
        If a need is of an unknown kind.

    References
    ----------
    Observation record as primary, witness statement as supporting evidence: two generations of public
    guidance read side by side. The kinds and their states are this project's own.
    """
    return [_criterion_evidence(criterion, facts) for criterion in criteria]


def remarks(facts: EvidenceFacts) -> tuple[str, ...]:
    """Say what concerns all criteria alike: lateness, declaration, help, papers without result.

    Parameters
    ----------
    facts : EvidenceFacts
        What the learner has.

    Returns
    -------
    tuple of str
        Sentences; empty when there is nothing to remark.

    References
    ----------
    Lateness is no grade penalty but may cost the right to resubmit, and help is taught but logged: read
    in public vocational specifications.
    """
    said = []
    if not facts.declared:
        said.append("The learner's declaration is not made yet.")
    if facts.late:
        said.append(
            "Submitted after the deadline without an agreed extension; this is no penalty on a grade."
        )
    if facts.help_shown:
        said.append(f"The program showed help {_times(facts.help_shown)}; see the help log.")
    if facts.no_results:
        said.append(f"{_count(facts.no_results, 'paper or lane', 'papers or lanes')} ended without a result.")
    if facts.another_group_source:
        said.append("Some readings come from another group's paper or from supplied data.")
    if facts.same_figures:
        said.append(
            "The figures agree with another reader's beyond chance: a question to ask, not a verdict."
        )
    return tuple(said)


def _criterion_evidence(criterion: NeedsEvidence, facts: EvidenceFacts) -> CriterionEvidence:
    items = []
    for need in criterion.needs:
        if need.kind not in _FINDERS:
            raise EvidenceNeedError(f"{criterion.code} asks for “{need.kind}”, which is no kind of evidence.")
        where, finder = _FINDERS[need.kind]
        state, sentence = finder(need, facts, criterion.code)
        items.append(EvidenceItem(need, state, where, sentence))
    return CriterionEvidence(criterion.code, tuple(items), _summary(criterion.code, items))


def _summary(code: str, items: Sequence[EvidenceItem]) -> str:
    if not items:
        return f"No evidence is named for {code}; look at the whole portfolio."
    missing = sum(item.state == "missing" for item in items)
    doubtful = sum(item.state == "doubtful" for item in items)
    if not missing and not doubtful:
        return f"Everything named for {code} is there to be judged."
    parts = ([f"{missing} missing"] if missing else []) + ([f"{doubtful} to look at"] if doubtful else [])
    return f"{code}: {len(items) - missing} of {len(items)} there; {', '.join(parts)}."


def _readings(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    have, want = facts.papers_complete, need.at_least
    if have < want:
        begun = facts.papers_begun - have
        more = f"; {_count(begun, 'paper')} begun but not complete" if begun > 0 else ""
        return "missing", f"{_count(have, 'paper')} read completely, {want} asked for{more}."
    if facts.another_group_source and not need.other_source:
        return (
            "doubtful",
            (
                "Some readings come from another group's paper or supplied data, "
                "which this criterion does not allow for."
            ),
        )
    if facts.same_figures:
        return "doubtful", "The figures agree with another reader's beyond chance; ask the learner."
    if facts.readings_flagged:
        return "doubtful", f"{_count(facts.readings_flagged, 'reading')} flagged as impossible or doubtful."
    return "present", f"{_count(have, 'paper')} read completely, {_count(facts.spots, 'spot')}."


def _own_rf(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    given, right = facts.own_rf_given, facts.own_rf_right
    if given < need.at_least:
        return "missing", f"{_count(given, 'own value')} given, {need.at_least} asked for."
    helped = f", help was shown {_times(facts.help_shown)}" if facts.help_shown else ""
    if right < need.at_least:
        slips = f"; {facts.own_rf_slips} explained by a likely slip" if facts.own_rf_slips else ""
        return "doubtful", f"{right} of {_count(given, 'own value')} agree with the readings{slips}{helped}."
    if helped:
        return (
            "doubtful",
            (
                f"{right} of {_count(given, 'own value')} agree with the readings{helped}: "
                "judge whose work it is."
            ),
        )
    return "present", f"{right} of {_count(given, 'own value')} agree with the readings."


def _identification(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    given, supported = facts.identifications, facts.identifications_supported
    if given < need.at_least:
        return "missing", f"{_count(given, 'unknown')} identified, {need.at_least} asked for."
    sentence = f"{_count(given, 'unknown')} identified, {supported} supported by standards on the same paper."
    return ("present" if supported >= need.at_least else "doubtful"), sentence


def _conclusion(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    return _words(facts.conclusion_words, need.at_least, "conclusion")


def _evaluation(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    return _words(facts.evaluation_words, need.at_least, "evaluation")


def _words(written: int, wanted: int, what: str) -> tuple[State, str]:
    if written == 0:
        return "missing", f"No {what} is written."
    if written < wanted:
        return (
            "doubtful",
            (
                f"The {what} has {_count(written, 'word')} where about {wanted} are expected; "
                "length proves nothing, read it."
            ),
        )
    return "present", f"The {what} has {_count(written, 'word')}."


def _observation(_need: EvidenceNeed, facts: EvidenceFacts, code: str) -> tuple[State, str]:
    if code in facts.observed:
        return "present", f"An observation record names {code}."
    if code in facts.half_signed:
        return "doubtful", f"An observation record names {code}, but the learner has not signed it yet."
    if code in facts.witnessed:
        return "doubtful", f"Only a witness statement names {code}; it supports but does not stand alone."
    if code in facts.noted:
        return "doubtful", f"A bench note names {code}, but no observation record is written yet."
    return "missing", f"Nobody has recorded an observation for {code}."


def _photo(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    state: State = "present" if facts.photos >= need.at_least else "missing"
    return state, f"{_count(facts.photos, 'photo')} kept, {need.at_least} asked for."


def _checks(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    given, right = facts.own_rf_given, facts.own_rf_right
    if given < need.at_least:
        return "missing", f"{_count(given, 'own value')} to be checked, {need.at_least} asked for."
    doubts = []
    if right < given:
        slips = f", {facts.own_rf_slips} explained by a likely slip" if facts.own_rf_slips else ""
        doubts.append(f"{right} of {_count(given, 'own value')} agree with the readings{slips}")
    if facts.readings_flagged:
        doubts.append(f"{_count(facts.readings_flagged, 'reading')} flagged as impossible or doubtful")
    if doubts:
        return "doubtful", f"{'; '.join(doubts)}."
    return "present", f"All {_count(given, 'own value')} agree with the readings, none is flagged."


def _attachment(need: EvidenceNeed, facts: EvidenceFacts, _code: str) -> tuple[State, str]:
    state: State = "present" if facts.attachments >= need.at_least else "missing"
    return state, f"{_count(facts.attachments, 'file')} attached, {need.at_least} asked for."


def _count(number: int, noun: str, plural: str = "") -> str:
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


_Finder = Callable[[EvidenceNeed, EvidenceFacts, str], tuple[State, str]]

_FINDERS: dict[str, tuple[str, _Finder]] = {
    "readings": ("readings", _readings),
    "own_rf": ("own retardation factors", _own_rf),
    "identification": ("identification", _identification),
    "conclusion": ("writing", _conclusion),
    "evaluation": ("writing", _evaluation),
    "observation": ("observation records", _observation),
    "photo": ("photos", _photo),
    "checks": ("own retardation factors", _checks),
    "attachment": ("attached files", _attachment),
}
