"""A unit as a file: its criteria, its grade rule and the evidence each criterion asks for, in TOML.

A file is read whole and every problem is named at once, so that whoever wrote it corrects it in one go.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from assessment.calculations.evidence_needs import EvidenceNeed, EvidenceNeedError, read_need
from assessment.calculations.grades import GradeRule, GradeRuleError, read_grade_rule

LONGEST_CODE = 12
LONGEST_SLUG = 80

_SHIPPED = Path(__file__).resolve().parent.parent / "data" / "units"
_UNIT_KEYS = {"slug", "title", "about", "grade", "criterion"}
_CRITERION_KEYS = {"code", "level", "text", "needs"}


class UnitFileError(ValueError):
    """A unit file that cannot be used; `problems` holds a sentence for each thing to correct."""

    def __init__(self, problems: tuple[str, ...]) -> None:
        self.problems = problems
        super().__init__(" ".join(problems))


@dataclass(frozen=True)
class CriterionDefinition:
    """One criterion as published to learners, with the evidence it asks for."""

    code: str
    level: str
    text: str
    needs: tuple[EvidenceNeed, ...] = ()


@dataclass(frozen=True)
class UnitDefinition:
    """A unit: what it is called, how it is graded, what it asks for."""

    slug: str
    title: str
    grade_rule: GradeRule
    criteria: tuple[CriterionDefinition, ...]
    about: str = ""


def read_unit(text: str) -> UnitDefinition:
    """Read a unit from the text of its file.

    Parameters
    ----------
    text : str
        TOML with ``slug``, ``title``, a table ``[grade]`` with ``levels``, and one ``[[criterion]]`` for
        each criterion with ``code``, ``level``, ``text`` and optionally ``needs``.

    Returns
    -------
    UnitDefinition
        The unit, criteria in the order of the file.

    Raises
    ------
    UnitFileError
        With a sentence for every problem found.

    References
    ----------
    TOML 1.0. The entries are this project's own.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise UnitFileError((f"The file is not readable as TOML: {error}.",)) from error
    problems: list[str] = [
        f"The unit has an entry “{key}” that is not known." for key in sorted(set(data) - _UNIT_KEYS)
    ]
    slug = _text(data, "slug", "The unit", problems)
    if slug and (len(slug) > LONGEST_SLUG or not _is_slug(slug)):
        problems.append("The slug may hold small letters, figures and hyphens only, up to 80 of them.")
    title = _text(data, "title", "The unit", problems)
    about = _text(data, "about", "The unit", problems) if "about" in data else ""
    rule = _rule(data.get("grade"), problems)
    criteria = _criteria(data.get("criterion"), rule, problems)
    if problems or rule is None:
        raise UnitFileError(tuple(problems))
    return UnitDefinition(slug, title, rule, criteria, about)


@cache
def shipped_units() -> tuple[UnitDefinition, ...]:
    """Return the units that come with the program; they are invented and belong to no awarding body.

    Returns
    -------
    tuple of UnitDefinition
        In order of their file names.

    References
    ----------
    The files under ``assessment/data/units``.
    """
    return tuple(read_unit(text) for text in shipped_unit_texts())


def shipped_unit_texts() -> tuple[str, ...]:
    """Return the files of the units that come with the program, as they stand.

    Returns
    -------
    tuple of str
        TOML, in order of their file names.

    References
    ----------
    The files under ``assessment/data/units``.
    """
    return tuple(path.read_text(encoding="utf-8") for path in sorted(_SHIPPED.glob("*.toml")))


def _is_slug(slug: str) -> bool:
    return slug.isascii() and slug == slug.lower() and all(part.isalnum() for part in slug.split("-"))


def _text(data: Mapping[str, object], key: str, owner: str, problems: list[str]) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not value.strip():
        problems.append(f"{owner} has no {key}; give it as text.")
        return ""
    # Wrapped lines of the file are one paragraph to the reader.
    return " ".join(value.split())


def _rule(data: object, problems: list[str]) -> GradeRule | None:
    if not isinstance(data, dict):
        problems.append("The unit has no table [grade] with its levels.")
        return None
    try:
        return read_grade_rule(data)
    except GradeRuleError as error:
        problems.append(str(error))
        return None


def _criteria(data: object, rule: GradeRule | None, problems: list[str]) -> tuple[CriterionDefinition, ...]:
    if not isinstance(data, list) or not data:
        problems.append("The unit has no criterion; write one [[criterion]] for each.")
        return ()
    criteria: list[CriterionDefinition] = []
    for number, entry in enumerate(data, 1):
        if not isinstance(entry, dict):
            problems.append(f"Criterion {number} is not a table; write [[criterion]] above its entries.")
            continue
        criterion = _criterion(entry, number, rule, problems)
        if criterion.code and criterion.code in {other.code for other in criteria}:
            problems.append(f"The code {criterion.code} stands twice; give each criterion its own.")
        criteria.append(criterion)
    return tuple(criteria)


def _criterion(
    entry: Mapping[str, object], number: int, rule: GradeRule | None, problems: list[str]
) -> CriterionDefinition:
    code = _text(entry, "code", f"Criterion {number}", problems)
    owner = f"Criterion {code or number}"
    if len(code) > LONGEST_CODE:
        problems.append(f"{owner} has a code longer than {LONGEST_CODE} characters.")
    problems.extend(
        f"{owner} has an entry “{key}” that is not known." for key in sorted(set(entry) - _CRITERION_KEYS)
    )
    level = _text(entry, "level", owner, problems)
    if rule and level and level not in rule.levels:
        problems.append(f"{owner} has the level “{level}”, which is none of {', '.join(rule.levels)}.")
    text = _text(entry, "text", owner, problems)
    return CriterionDefinition(code, level, text, _needs(entry.get("needs", []), owner, problems))


def _needs(data: object, owner: str, problems: list[str]) -> tuple[EvidenceNeed, ...]:
    if not isinstance(data, list) or not all(isinstance(need, dict) for need in data):
        problems.append(f'{owner} must give its needs as a list, such as [{{ kind = "photo" }}].')
        return ()
    needs = []
    for need in data:
        try:
            needs.append(read_need(need))
        except EvidenceNeedError as error:
            problems.append(f"{owner}: {error}")
    return tuple(needs)
