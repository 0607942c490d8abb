"""A unit written out as the text of its file, so that a table or a form ends in the same file as the rest."""

import json

from assessment.calculations.evidence_needs import EvidenceNeed
from assessment.calculations.unit_file import CriterionDefinition, UnitDefinition


def unit_as_text(unit: UnitDefinition) -> str:
    """Write a unit as `unit_file.read_unit` reads it.

    Parameters
    ----------
    unit : UnitDefinition
        The unit; what it holds is not checked here but when the text is read.

    Returns
    -------
    str
        TOML; equal units give equal texts.

    References
    ----------
    TOML 1.0: a basic string takes the escapes of JSON. The entries are this project's own.
    """
    rule = unit.grade_rule
    lines = [f"slug = {_string(unit.slug)}", f"title = {_string(unit.title)}"]
    lines += [f"about = {_string(unit.about)}"] if unit.about else []
    lines += ["", "[grade]", f"levels = [{', '.join(map(_string, rule.levels))}]"]
    lines += [f"not_achieved = {_string(rule.not_achieved)}"]
    for criterion in unit.criteria:
        lines += ["", *_criterion(criterion)]
    return "\n".join(lines) + "\n"


def _criterion(criterion: CriterionDefinition) -> list[str]:
    lines = [
        "[[criterion]]",
        f"code = {_string(criterion.code)}",
        f"level = {_string(criterion.level)}",
        f"text = {_string(criterion.text)}",
    ]
    if criterion.needs:
        lines += ["needs = [", *(f"    {_need(need)}," for need in criterion.needs), "]"]
    return lines


def _need(need: EvidenceNeed) -> str:
    entries = [f"kind = {_string(need.kind)}"]
    entries += [f"at_least = {need.at_least}"] if need.at_least != 1 else []
    entries += ["other_source = true"] if need.other_source else []
    entries += [f"items = [{', '.join(map(_string, need.items))}]"] if need.items else []
    return f"{{ {', '.join(entries)} }}"


def _string(text: str) -> str:
    # JSON leaves the one control character alone that TOML does not allow as it stands.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
