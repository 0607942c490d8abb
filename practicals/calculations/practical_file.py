"""Reads a practical from its TOML text and says everything that is wrong with it at once.

A practical is data: a new one needs no code. DEVELOPERS.md says how to add one;
`data/practicals/amino_acids_on_paper.toml` is the model to copy.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from importlib.resources import files
from typing import get_args

from practicals.calculations.practical_definition import (
    Analyte,
    Basis,
    Chamber,
    EquipmentLine,
    Hazard,
    PaperPlan,
    Per,
    PracticalDefinition,
    Recipe,
    RecipeKind,
    RecipePart,
    Role,
    Run,
    StationaryPhase,
    Step,
    Support,
    Who,
)
from practicals.calculations.recipe_nesting import stock_problems
from practicals.calculations.recipe_parts import mistyped_cas, part_problems
from practicals.calculations.table_reader import TableReader

__all__ = ["PracticalFileError", "read_practical", "shipped_practicals"]

_LARGEST_FILE = 200_000
# The origin line must stay clear of the liquid by at least this: common practice, no source.
_CLEAR_OF_LIQUID_MM = Decimal(5)
# Closest spacing of lanes found in printed methods (MET13 in SOURCES.csv).
_CLOSEST_LANES_MM = Decimal(5)
_LIQUID = ("parts by volume", "parts by mass", "mole parts", "% v/v", "to volume")


class PracticalFileError(ValueError):
    """A practical's file has problems; `problems` holds all of them as sentences with where they are."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("This practical cannot be used yet. " + " ".join(problems))
        self.problems = tuple(problems)


def shipped_practicals() -> dict[str, str]:
    """The practicals that come with the program.

    Returns
    -------
    dict[str, str]
        File name to TOML text, in the order of the names.

    References
    ----------
    .. [1] Each file names the source of its figures.
    """
    folder = files("practicals.data").joinpath("practicals")
    found = [item for item in folder.iterdir() if item.name.endswith(".toml")]
    return {item.name: item.read_text(encoding="utf-8") for item in sorted(found, key=lambda item: item.name)}


@lru_cache(maxsize=64)
def reference_of(text: str) -> str:
    """Key of the standard that R_rel refers to, where a practical file names one as `reference`.

    Parameters
    ----------
    text : str
        A practical file (TOML), as it is kept [-].

    Returns
    -------
    str
        The key; empty if none is named or the text cannot be read, and then the first standard counts.

    References
    ----------
    .. [1] R_rel needs a named standard: IUPAC Gold Book, doi:10.1351/goldbook.R05276.
    """
    try:
        found = tomllib.loads(text).get("reference", "")
    except tomllib.TOMLDecodeError:
        return ""
    return found if isinstance(found, str) else ""


def read_practical(text: str) -> PracticalDefinition:
    """Read and check a practical.

    Parameters
    ----------
    text : str
        The file's text, TOML 1.0 [-].

    Returns
    -------
    PracticalDefinition
        The practical, with every key that it names found.

    Raises
    ------
    PracticalFileError
        If anything is missing, misspelt, out of range or contradictory; it names all of it.

    References
    ----------
    .. [1] TOML v1.0.0, toml.io.
    """
    if len(text) > _LARGEST_FILE:
        raise PracticalFileError([f"The file is longer than {_LARGEST_FILE} characters."])
    try:
        table = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError, ArithmeticError, ValueError) as error:
        raise PracticalFileError([f"The file is not well-formed TOML: {error}."]) from error
    problems: list[str] = []
    definition = _practical(TableReader(table, "practical", problems))
    if not problems:
        problems.extend(_contradictions(definition))
    if problems:
        raise PracticalFileError(problems)
    return definition


def _practical(top: TableReader) -> PracticalDefinition:
    definition = PracticalDefinition(
        slug=top.key("slug"),
        title=top.text("title"),
        summary=top.text("summary"),
        stationary_phase=_stationary_phase(top.table("stationary_phase")),
        paper=_paper(top.table("paper")),
        chamber=_chamber(top.table("chamber")),
        run=_run(top.table("run")),
        mobile_phase=top.key("mobile_phase"),
        locating_agent=top.text("locating_agent", required=False),
        lanes=top.texts("lanes", required=True),
        analytes=tuple(_analyte(entry) for entry in top.tables("analytes")),
        recipes=tuple(_recipe(entry) for entry in top.tables("recipes")),
        steps=tuple(_step(entry) for entry in top.tables("steps")),
        equipment=tuple(_equipment(entry) for entry in top.tables("equipment")),
        hazards=tuple(_hazard(entry) for entry in top.tables("hazards")),
        reference=top.text("reference", required=False),
    )
    top.finish()
    return definition


def _stationary_phase(entry: TableReader) -> StationaryPhase:
    supports: tuple[Support, ...] = get_args(Support)
    phase = StationaryPhase(support=entry.choice("support", supports), description=entry.text("description"))
    entry.finish()
    return phase


def _paper(entry: TableReader) -> PaperPlan:
    paper = PaperPlan(
        width_mm=entry.length("width_mm"),
        height_mm=entry.length("height_mm"),
        origin_height_mm=entry.length("origin_height_mm"),
        ruler_division_mm=entry.length("ruler_division_mm", at_most=10),
    )
    entry.finish()
    return paper


def _chamber(entry: TableReader) -> Chamber:
    chamber = Chamber(
        diameter_mm=entry.length("diameter_mm"),
        depth_mm=entry.length("depth_mm", at_most=200),
        per_group=entry.whole("per_group", least=1, at_most=20),
    )
    entry.finish()
    return chamber


def _run(entry: TableReader) -> Run:
    minutes = entry.number("expected_minutes", at_most=2880) or Decimal(0)
    run = Run(
        expected_minutes=minutes,
        stop=entry.text("stop"),
        stop_below_top_mm=entry.number("stop_below_top_mm", at_most=2000, required=False),
    )
    entry.finish()
    return run


def _analyte(entry: TableReader) -> Analyte:
    roles: tuple[Role, ...] = get_args(Role)
    analyte = Analyte(
        key=entry.key("key"),
        name=entry.text("name"),
        role=entry.choice("role", roles),
        solution=entry.text("solution", required=False),
        colour=entry.text("colour", required=False),
        code=entry.text("code", required=False),
        identity=entry.texts("identity"),
    )
    if analyte.role == "unknown" and not (analyte.code and analyte.identity):
        entry.problem('an unknown needs a "code" for its label and an "identity", the keys of what is in it.')
    if analyte.role == "standard" and (analyte.code or analyte.identity):
        entry.problem('a standard has no "code" and no "identity"; these are for unknowns.')
    entry.finish()
    return analyte


def _recipe(entry: TableReader) -> Recipe:
    kinds: tuple[RecipeKind, ...] = get_args(RecipeKind)
    recipe = Recipe(
        key=entry.key("key"),
        title=entry.text("title"),
        kind=entry.choice("kind", kinds),
        parts=tuple(_part(part) for part in entry.tables("parts")),
        order=entry.text("order", required=False),
        shelf_life_hours=entry.number("shelf_life_hours", at_most=100_000, required=False),
        cautions=entry.texts("cautions"),
    )
    if recipe.kind == "mobile phase" and not any(part.basis in _LIQUID for part in recipe.parts):
        entry.problem('a mobile phase needs at least one liquid, in parts, "% v/v" or "to volume".')
    for trouble in part_problems(recipe.parts):
        entry.problem(trouble)
    entry.finish()
    return recipe


def _part(entry: TableReader) -> RecipePart:
    bases: tuple[Basis, ...] = get_args(Basis)
    basis = entry.choice("basis", bases)
    amount = entry.number("amount", at_most=10_000, required=basis != "to volume")
    made_from = entry.text("recipe", required=False)
    # A stock by the volume needs no other name; a strength is that of a named substance in it.
    named = not made_from or basis in ("% w/v", "mol/L")
    substance = entry.text("substance", required=named)
    part = RecipePart(substance=substance, amount=amount, basis=basis, recipe=made_from)
    if (basis.startswith("%") or basis == "mol/L") and amount is not None and amount > 100:
        entry.problem(f'"amount" cannot be above 100 for {basis}, and is {amount}.')
    trouble = mistyped_cas(substance)
    if trouble:
        entry.problem(trouble)
    entry.finish()
    return part


def _step(entry: TableReader) -> Step:
    who: tuple[Who, ...] = get_args(Who)
    step = Step(
        title=entry.text("title"),
        minutes=entry.number("minutes", at_most=2880) or Decimal(0),
        who=entry.choice("who", who),
        equipment=entry.text("equipment", required=False),
        caution=entry.text("caution", required=False),
    )
    entry.finish()
    return step


def _equipment(entry: TableReader) -> EquipmentLine:
    per: tuple[Per, ...] = get_args(Per)
    line = EquipmentLine(
        name=entry.text("name"),
        per=entry.choice("per", per),
        quantity=entry.whole("quantity", least=1, at_most=1000),
        spare=entry.whole("spare", least=0, at_most=1000, default=0),
    )
    entry.finish()
    return line


def _hazard(entry: TableReader) -> Hazard:
    hazard = Hazard(text=entry.text("text"), control=entry.text("control"))
    entry.finish()
    return hazard


def _contradictions(practical: PracticalDefinition) -> Iterator[str]:
    yield from _twice("analytes", [analyte.key for analyte in practical.analytes])
    yield from _twice("recipes", [recipe.key for recipe in practical.recipes])
    codes = [analyte.code for analyte in practical.analytes if analyte.code]
    yield from _twice("codes of unknowns", codes)
    yield from _geometry(practical)
    yield from _recipes_named(practical)
    yield from stock_problems(practical)
    yield from _analytes_named(practical)


def _twice(what: str, keys: list[str]) -> Iterator[str]:
    for key, times in Counter(keys).items():
        if times > 1:
            yield f'{what}: "{key}" is used {times} times. Each must be different.'


def _geometry(practical: PracticalDefinition) -> Iterator[str]:
    paper, chamber = practical.paper, practical.chamber
    if paper.origin_height_mm >= paper.height_mm:
        yield (
            f"paper: the origin line ({paper.origin_height_mm} mm) must be below the top of the paper"
            f" ({paper.height_mm} mm)."
        )
    stop_mm = practical.run.stop_below_top_mm
    if stop_mm is not None and paper.height_mm - stop_mm <= paper.origin_height_mm:
        yield (
            f"run: stopping {stop_mm} mm below the top of the paper ({paper.height_mm} mm) leaves no run"
            f" above the origin line ({paper.origin_height_mm} mm)."
        )
    if chamber.depth_mm + _CLEAR_OF_LIQUID_MM > paper.origin_height_mm:
        yield (
            f"chamber: liquid {chamber.depth_mm} mm deep comes within {_CLEAR_OF_LIQUID_MM} mm of"
            f" the origin line ({paper.origin_height_mm} mm) and would wash the spots off."
            " Use less liquid or a higher line."
        )
    if paper.width_mm < _CLOSEST_LANES_MM * len(practical.lanes):
        yield (
            f"lanes: {len(practical.lanes)} lanes, each at least {_CLOSEST_LANES_MM} mm wide, do not fit on a"
            f" paper {paper.width_mm} mm wide."
        )


def _recipes_named(practical: PracticalDefinition) -> Iterator[str]:
    kinds = {recipe.key: recipe.kind for recipe in practical.recipes}
    named: list[tuple[str, str, RecipeKind]] = [("mobile_phase", practical.mobile_phase, "mobile phase")]
    if practical.locating_agent:
        named.append(("locating_agent", practical.locating_agent, "locating agent"))
    named += [
        (f"analytes ({analyte.key})", analyte.solution, "solution")
        for analyte in practical.analytes
        if analyte.solution
    ]
    for where, key, kind in named:
        if key not in kinds:
            yield f'{where}: there is no recipe "{key}".'
        elif kinds[key] != kind:
            yield f'{where}: recipe "{key}" is a {kinds[key]}, where a {kind} is needed.'


def _analytes_named(practical: PracticalDefinition) -> Iterator[str]:
    known = {analyte.key: analyte for analyte in practical.analytes}
    if not practical.lanes:
        yield "lanes: at least one lane is needed."
    for key in practical.lanes:
        if key not in known:
            yield f'lanes: there is no analyte "{key}".'
        elif not known[key].solution:
            yield f'lanes: "{key}" is to be applied but names no "solution".'
    standards = {key for key in practical.lanes if key in known and known[key].role == "standard"}
    if practical.reference and practical.reference not in standards:
        yield f'reference: "{practical.reference}" is no standard that has a lane.'
    planned = {known[key].role for key in practical.lanes if key in known}
    for analyte in practical.analytes:
        if analyte.role == "unknown" and analyte.key not in practical.lanes:
            yield from _pooled(analyte, lane_for_unknowns="unknown" in planned)
        for key in analyte.identity:
            if key not in known or known[key].role != "standard":
                yield f'analytes ({analyte.key}): its identity names "{key}", which is no standard here.'


def _pooled(analyte: Analyte, *, lane_for_unknowns: bool) -> Iterator[str]:
    """An unknown beyond the lanes waits in the pool for a lane of another unknown."""
    if not lane_for_unknowns:
        yield f"analytes ({analyte.key}): no lane is for an unknown, so it would never be applied."
    elif not analyte.solution:
        yield f'analytes ({analyte.key}): an unknown in the pool may be applied but names no "solution".'
