"""What a practical is, as read from its file: the method, not one class doing it.

Plain frozen records. `practical_file.py` reads and checks them; models store them as versions.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Support = Literal["paper", "tlc"]
Role = Literal["standard", "unknown"]
RecipeKind = Literal["mobile phase", "locating agent", "solution"]
Basis = Literal[
    "parts by volume", "parts by mass", "mole parts", "% w/v", "% w/w", "% v/v", "mol/L", "to volume"
]
Who = Literal["staff only", "supervised", "learner"]
Per = Literal["class", "group", "learner"]


@dataclass(frozen=True, slots=True)
class StationaryPhase:
    """What the spots run on."""

    support: Support
    description: str


@dataclass(frozen=True, slots=True)
class PaperPlan:
    """Size of the paper, where the origin line goes, and the ruler it is measured with [mm]."""

    width_mm: Decimal
    height_mm: Decimal
    origin_height_mm: Decimal
    ruler_division_mm: Decimal


@dataclass(frozen=True, slots=True)
class Analyte:
    """A standard or an unknown.

    `identity` (of an unknown: keys of what is in it) is the teacher's and the technician's alone;
    learners and labels see `code`. `solution` is the key of its recipe, empty if it is never applied.
    """

    key: str
    name: str
    role: Role
    solution: str
    colour: str
    code: str
    identity: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecipePart:
    """One part of a recipe. A part "to volume" fills up, and then needs no amount.

    `recipe` is the key of the recipe that this part is made from first, empty for a bought substance.
    """

    substance: str
    amount: Decimal | None
    basis: Basis
    recipe: str = ""


@dataclass(frozen=True, slots=True)
class Recipe:
    """What the technician makes; parts are in the order of mixing."""

    key: str
    title: str
    kind: RecipeKind
    parts: tuple[RecipePart, ...]
    order: str
    shelf_life_hours: Decimal | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: how long [min], who may do it, what shared equipment it needs."""

    title: str
    minutes: Decimal
    who: Who
    equipment: str
    caution: str


@dataclass(frozen=True, slots=True)
class EquipmentLine:
    """What must be put out: how many per class, group or learner, and how many spare."""

    name: str
    per: Per
    quantity: int
    spare: int


@dataclass(frozen=True, slots=True)
class Hazard:
    """A hazard and its control: a usual caution, never a substitute for the risk assessment."""

    text: str
    control: str


@dataclass(frozen=True, slots=True)
class Run:
    """How long the development is expected to take [min] and when to stop it, in words.

    `stop_below_top_mm` says it for the front tracker, below the paper's top edge; None for the usual 10 mm.
    """

    expected_minutes: Decimal
    stop: str
    stop_below_top_mm: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Chamber:
    """What the paper stands in [mm], and how many of them a group has."""

    diameter_mm: Decimal
    depth_mm: Decimal
    per_group: int


@dataclass(frozen=True, slots=True)
class PracticalDefinition:
    """A practical, complete and checked."""

    slug: str
    title: str
    summary: str
    stationary_phase: StationaryPhase
    paper: PaperPlan
    chamber: Chamber
    run: Run
    mobile_phase: str
    locating_agent: str
    lanes: tuple[str, ...]
    analytes: tuple[Analyte, ...]
    recipes: tuple[Recipe, ...]
    steps: tuple[Step, ...]
    equipment: tuple[EquipmentLine, ...]
    hazards: tuple[Hazard, ...]
    reference: str = ""

    def recipe(self, key: str) -> Recipe:
        """The recipe with this key.

        Parameters
        ----------
        key : str
            Key within this practical [-].

        Returns
        -------
        Recipe
            The recipe.

        Raises
        ------
        KeyError
            If this practical has no such recipe.
        """
        for recipe in self.recipes:
            if recipe.key == key:
                return recipe
        raise KeyError(key)

    def analyte(self, key: str) -> Analyte:
        """The analyte with this key.

        Parameters
        ----------
        key : str
            Key within this practical [-].

        Returns
        -------
        Analyte
            The standard or unknown.

        Raises
        ------
        KeyError
            If this practical has no such analyte.
        """
        for analyte in self.analytes:
            if analyte.key == key:
                return analyte
        raise KeyError(key)
