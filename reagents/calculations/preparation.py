"""What a prep list asks for and what it says: plain values that the plans take and give."""

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reagents.calculations.phases import PhaseCheck
    from reagents.calculations.ternary import TernaryDiagram

PARTS, PERCENT_WV, MOLAR, TO_VOLUME = "parts by volume", "% w/v", "mol/L", "to volume"
PARTS_BY_MASS, MOLE_PARTS, PERCENT_WW, PERCENT_VV = "parts by mass", "mole parts", "% w/w", "% v/v"
#: Kind of a liquid that is made for another one; its strength is not that of a standard or spray.
STOCK = "stock"
#: Bases that share out a whole between the parts, whatever their multiple.
SHARES = (PARTS, PARTS_BY_MASS, MOLE_PARTS)
#: Bases of a solute in a volume that is filled up.
IN_VOLUME = (PERCENT_WV, MOLAR, PERCENT_VV)

# Our own short names of the signs of GHS, Annex 1; the numbers are the standard's.
SIGNS = {
    "GHS02": "Flammable",
    "GHS03": "Oxidising",
    "GHS04": "Gas under pressure",
    "GHS05": "Corrosive",
    "GHS06": "Acutely toxic",
    "GHS07": "Harmful or irritant",
    "GHS08": "Serious health hazard",
    "GHS09": "Dangerous to the environment",
}


@dataclass(frozen=True)
class MadeFrom:
    """A recipe that is made first and then measured like a substance: a stock in a working solution."""

    title: str
    kind: str
    parts: tuple["PartWanted", ...]
    shelf_life_hours: int | None = None
    cautions: tuple[str, ...] = ()
    made_on_the_day: bool = False


@dataclass(frozen=True)
class PartWanted:
    """One part of a recipe; `key` is its place in it, `amount` parts, % or mol/L.

    With `made_from`, parts and % v/v are of that stock; % w/v and mol/L are the strength of `substance`
    wanted here, and the stock is diluted to it.
    """

    key: int
    substance: str
    amount: Decimal | None
    basis: str
    note: str = ""
    made_from: MadeFrom | None = None


@dataclass(frozen=True)
class Filling:
    """How one requisition came to its total: chambers, liquid in each, something to spare."""

    total_ml: Decimal
    chambers: int | None = None
    volume_per_chamber_ml: Decimal | None = None
    diameter_mm: Decimal | None = None
    depth_mm: Decimal | None = None
    origin_height_mm: Decimal | None = None
    overage_percent: Decimal = Decimal(0)
    for_what: str = ""


@dataclass(frozen=True)
class Wanted:
    """One liquid to make, for one requisition or for several together."""

    title: str
    kind: str
    parts: tuple[PartWanted, ...]
    fillings: tuple[Filling, ...]
    cautions: tuple[str, ...] = ()
    made_on_the_day: bool = False
    shelf_life_hours: int | None = None
    label_code: str = ""

    @property
    def total_ml(self) -> Decimal:
        """Volume of all fillings together [mL]."""
        return sum((filling.total_ml for filling in self.fillings), Decimal(0))

    @property
    def keeps(self) -> str:
        """How long it keeps, as one says it: "14 days", "36 hours"; empty where nothing is stated."""
        hours = self.shelf_life_hours
        if not hours:
            return ""
        days, rest = divmod(hours, 24)
        count, unit = (days, "day") if days and not rest else (hours, "hour")
        return f"{count} {unit}" if count == 1 else f"{count} {unit}s"


@dataclass(frozen=True)
class Sign:
    """A pictogram of GHS: its code, what it says, and the name of our drawing."""

    code: str
    name: str

    @property
    def file_name(self) -> str:
        """Name of the drawing among the static files [-]."""
        return f"{self.code.lower()}.svg"


@dataclass(frozen=True)
class Hazards:
    """What the supplier's label of one substance, as bought, is expected to say."""

    substance: str
    signs: tuple[Sign, ...]
    signal_word: str
    sentences: tuple[str, ...]
    remark: str = ""


@dataclass(frozen=True)
class Cautions:
    """What to watch with one substance, or with the recipe as a whole."""

    about: str
    signs: tuple[Sign, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Measure:
    """One part as it is measured out; `wanted` is rounded to what the vessel or balance reads.

    With `from_stock` it is a liquid that is made first, not one from the shelf.
    """

    key: int
    substance: str
    unit: str
    wanted: Decimal | None
    shown: str
    vessel: str
    tolerance: str
    fills_up: bool = False
    from_stock: bool = False
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class PrepPlan:
    """Everything a prep list says about one liquid; `made_ml` is what its volumes add up to.

    `ratio` says how far off the shares may be; `stocks` are made first, in this order. `phase` says whether
    it stays one liquid, None where that is no question; `diagram` draws it where there are data.
    """

    wanted: Wanted
    made_ml: Decimal
    how: tuple[str, ...] = ()
    measures: tuple[Measure, ...] = ()
    steps: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    cautions: tuple[Cautions, ...] = ()
    hazards: tuple[Hazards, ...] = ()
    contents: str = field(default="")
    ratio: tuple[str, ...] = ()
    stocks: tuple["PrepPlan", ...] = ()
    phase: "PhaseCheck | None" = None
    diagram: "TernaryDiagram | None" = None
