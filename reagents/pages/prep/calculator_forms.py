"""The forms of the calculators. They are sent by GET, so that an address can be kept and sent on."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django import forms

from reagents.calculations.dilution import Dilution, Series, dilute, serial_dilution
from reagents.calculations.glassware import class_b_cylinders
from reagents.calculations.mixture_sheet import Chambers, MixtureSheet, mixture_sheet
from reagents.calculations.preparation import (
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WW,
    TO_VOLUME,
    PartWanted,
)
from reagents.calculations.proportions import ImpossibleProportion
from reagents.calculations.quantities import format_quantity
from reagents.calculations.solutions import USUAL_STRENGTHS, ImpossibleSolution
from reagents.calculations.substances import substances
from reagents.calculations.tables import rows
from reagents.calculations.weighed_solution import SolidAsked, SolidWeighed, largest_volume_ml, weigh
from reagents.fields import LengthField, MassField, NumberField, SubstanceField, TemperatureField, VolumeField
from reagents.pages.prep.calculator_fields import (
    AmountField,
    DensityField,
    DilutionField,
    MolarMassField,
    PercentField,
    StrengthField,
)

ROWS = range(1, 6)
LARGEST_ML = Decimal(100_000)
NEARLY_PURE = Decimal(99)
SCALES = [
    ("total", "to a total volume"),
    ("chambers", "to chambers"),
    ("left", "to what is left of a part"),
]
PART_COLUMNS = (("name", "Liquid"), ("parts", "How many parts or %"), ("left", "What is left, in mL"))
CYLINDERS = [(str(one.nominal_ml), format_quantity(one.nominal_ml, "mL")) for one in class_b_cylinders()]


class Calculation(forms.Form):
    """A form that keeps nothing; the box above its errors says so."""

    saves_nothing = True


class MixtureForm(Calculation):
    """A mixture of liquids and how much of it; five rows of parts."""

    basis = forms.ChoiceField(
        label="The parts are",
        choices=[(basis, basis) for basis in (PARTS, PARTS_BY_MASS, MOLE_PARTS, PERCENT_VV, PERCENT_WW)],
        initial=PARTS,
    )
    scale = forms.ChoiceField(label="Make it", choices=SCALES, initial="total", widget=forms.RadioSelect)
    total = VolumeField(label="Total volume", required=False, above_zero=True, largest=LARGEST_ML)
    count = NumberField(label="Chambers", whole=True, required=False, smallest=1, largest=500)
    across = LengthField(
        label="Diameter, if round", required=False, above_zero=True, largest=2000, help_text="Inside."
    )
    length = LengthField(label="Length, if rectangular", required=False, above_zero=True, largest=2000)
    width = LengthField(label="Width, if rectangular", required=False, above_zero=True, largest=2000)
    depth = LengthField(label="Depth of liquid", required=False, above_zero=True, largest=500)
    origin = LengthField(label="Height of the origin line", required=False, above_zero=True, largest=1000)
    overage = PercentField(
        label="To spare", required=False, smallest=0, largest=100, help_text="10 to 20 is usual."
    )
    cylinders = forms.MultipleChoiceField(
        label="Measuring cylinders here",
        choices=CYLINDERS,
        required=False,
        initial=[value for value, _ in CYLINDERS],
        widget=forms.CheckboxSelectMultiple,
    )
    temperature = TemperatureField(label="Temperature of the room", required=False, smallest=0, largest=60)

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        for row in ROWS:
            self.fields[f"name_{row}"] = SubstanceField(label=f"Part {row}", required=False)
            self.fields[f"parts_{row}"] = NumberField(
                label=f"How many of part {row}",
                required=False,
                above_zero=True,
                smallest=0,
                largest=1_000_000,
                places=6,
            )
            self.fields[f"left_{row}"] = VolumeField(
                label=f"What is left of part {row}", required=False, above_zero=True, largest=LARGEST_ML
            )
            self.fields[f"name_{row}"].widget.attrs["list"] = "substances"
        for name, words in PART_COLUMNS:
            for row in ROWS:
                self.fields[f"{name}_{row}"].widget.attrs["aria-label"] = f"{words}, part {row}"

    @property
    def part_rows(self) -> list[tuple[forms.BoundField, forms.BoundField, forms.BoundField]]:
        return [(self[f"name_{row}"], self[f"parts_{row}"], self[f"left_{row}"]) for row in ROWS]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in ROWS:
            name, parts = given.get(f"name_{row}"), given.get(f"parts_{row}")
            if name and parts is None and f"parts_{row}" not in self.errors:
                self.add_error(f"parts_{row}", f"Write how many parts of {name}.")
            if parts is not None and not name and f"name_{row}" not in self.errors:
                self.add_error(f"name_{row}", "Write which liquid this is.")
        self._needs(given)
        return given

    def _needs(self, given: dict[str, Any]) -> None:
        scale = given.get("scale")
        missing = []
        if scale == "total" and given.get("total") is None:
            missing = [("total", "Write the volume to make, such as 250 mL.")]
        elif scale == "chambers":
            missing = [
                (name, sentence)
                for name, sentence in (
                    ("count", "Write how many chambers."),
                    ("depth", "Write how deep the liquid stands, such as 8 mm."),
                )
                if given.get(name) is None
            ]
        for name, sentence in missing:
            if name not in self.errors:
                self.add_error(name, sentence)

    def parts(self) -> list[PartWanted]:
        given = self.cleaned_data
        return [
            PartWanted(row, given[f"name_{row}"], given[f"parts_{row}"], given["basis"])
            for row in ROWS
            if given[f"name_{row}"]
        ]

    def _chambers(self) -> Chambers:
        given = self.cleaned_data
        return Chambers(
            count=given["count"],
            depth_mm=given["depth"],
            diameter_mm=given["across"],
            length_mm=given["length"],
            width_mm=given["width"],
            overage_percent=given["overage"] or Decimal(0),
            origin_height_mm=given["origin"],
        )

    def _remaining(self) -> dict[str, Decimal]:
        given = self.cleaned_data
        return {
            given[f"name_{row}"]: given[f"left_{row}"]
            for row in ROWS
            if given[f"name_{row}"] and given[f"left_{row}"] is not None
        }

    def sheet(self) -> MixtureSheet:
        given, parts = self.cleaned_data, self.parts()
        if not parts:
            raise ImpossibleProportion("The recipe has no parts; enter at least one liquid.")
        chosen = set(given["cylinders"])
        available = [one for one in class_b_cylinders() if str(one.nominal_ml) in chosen]
        scale = given["scale"]
        return mixture_sheet(
            parts,
            total_ml=given["total"] if scale == "total" else None,
            chambers=self._chambers() if scale == "chambers" else None,
            remaining_ml=self._remaining() if scale == "left" else None,
            available=available or None,
            temperature_c=given["temperature"],
        )


class SolutionForm(Calculation):
    """A solution of a solid."""

    name = SubstanceField(label="Substance", help_text="Its name or its CAS number.")
    strength = StrengthField(label="Strength", help_text="Such as 0.01 mol/L, 0.2 % w/v, 5 g/L or 5 % w/w.")
    amount = AmountField(
        label="How much to make",
        required=False,
        help_text="A volume such as 250 mL; for % w/w by mass, grams.",
    )
    left = MassField(
        label="What is left in the bottle",
        required=False,
        above_zero=True,
        help_text="In place of a volume: the most that can be made of it.",
    )
    solvent = SubstanceField(label="Made up with", initial="water")
    form = forms.ChoiceField(
        label="Form in the bottle",
        required=False,
        choices=[
            ("", "the substance itself, or not in this list"),
            *((row["name"], row["name"]) for row in rows("bottle_forms")),
        ],
    )
    molar_mass = MolarMassField(
        label="Molar mass of the substance",
        required=False,
        help_text="In g/mol, or its formula. Only for one that is not known here.",
    )
    form_molar_mass = MolarMassField(
        label="Molar mass on the bottle",
        required=False,
        help_text="For a salt or hydrate not in the list: g/mol, or its formula such as CaCl2.2H2O.",
    )
    purity = PercentField(
        label="Purity",
        initial="100",
        above_zero=True,
        smallest=0,
        largest=100,
        help_text="As the bottle says.",
    )
    density = DensityField(
        label="Density of the solution", required=False, help_text="Only for % w/w by volume."
    )
    balance = forms.ChoiceField(
        label="The balance reads to",
        choices=[(value, f"{value} g") for value in ("0.1", "0.01", "0.001", "0.0001")],
        initial="0.01",
    )
    kind = forms.ChoiceField(
        label="What it is for",
        required=False,
        choices=[("", "something else"), *((kind, kind) for kind in USUAL_STRENGTHS)],
    )

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        for name in ("name", "solvent"):
            self.fields[name].widget.attrs["list"] = "substances"

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not given.get("amount") and given.get("left") is None and not self.errors:
            self.add_error("amount", "Write how much to make, such as 250 mL, or what is left in the bottle.")
        return given

    def parts(self) -> list[PartWanted]:
        """The solution as a recipe, for its hazards."""
        given = self.cleaned_data
        strength, unit = given["strength"]
        return [
            PartWanted(1, given["name"], strength, unit),
            PartWanted(2, given["solvent"], None, TO_VOLUME),
        ]

    def weighed(self) -> tuple[SolidWeighed, Decimal | None]:
        """What to weigh, and the most that what is left makes [mL]."""
        asked, left = self._asked(), self.cleaned_data["left"]
        most = None if left is None else largest_volume_ml(asked, left)
        if asked.volume_ml is None and asked.total_g is None:
            asked = replace(asked, volume_ml=most)
        return weigh(asked), most

    def _asked(self) -> SolidAsked:
        given = self.cleaned_data
        volume, mass = given["amount"] or (None, None)
        strength, unit = given["strength"]
        return SolidAsked(
            given["name"],
            strength,
            unit,
            volume_ml=volume,
            total_g=mass,
            molar_mass=given["molar_mass"],
            form=given["form"],
            form_molar_mass=given["form_molar_mass"],
            purity_percent=given["purity"],
            density_g_per_ml=given["density"],
            solvent=given["solvent"],
            readability_g=Decimal(given["balance"]),
            kind=given["kind"],
        )


class DilutionForm(Calculation):
    """One dilution from a stock."""

    stock = StrengthField(label="Strength of the stock", help_text="As on the bottle: 99.7 % w/w, 2 mol/L.")
    wanted = StrengthField(label="Strength wanted")
    amount = AmountField(label="How much to make", help_text="A volume; grams where both are in % w/w.")
    name = SubstanceField(
        label="What is dissolved",
        required=False,
        help_text="Gives the molar mass, where one strength is in mol/L and the other is not.",
    )
    molar_mass = MolarMassField(label="Its molar mass", required=False, help_text="In g/mol, or its formula.")
    density = DensityField(
        label="Density of the stock", required=False, help_text="For a stock in % w/w; it is seldom 1."
    )

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self.fields["name"].widget.attrs["list"] = "substances"

    def parts(self) -> list[PartWanted]:
        """The finished solution in water as a recipe, for its hazards; empty without a name."""
        given = self.cleaned_data
        strength, unit = given["wanted"]
        if not given["name"]:
            return []
        return [PartWanted(1, given["name"], strength, unit), PartWanted(2, "water", None, TO_VOLUME)]

    def diluted(self) -> tuple[Dilution, str]:
        """The dilution, and what was taken from the table of substances for it."""
        given = self.cleaned_data
        volume, mass = given["amount"]
        known = next((one for one in substances() if one.name == given["name"]), None)
        density, pure, taken = given["density"], known.density_20 if known else None, ""
        if density is None and pure and given["stock"][1] == "% w/w" and given["stock"][0] >= NEARLY_PURE:
            density = pure
            taken = (
                f"Density taken as that of pure {given['name']} at 20 °C, {pure} g/mL; the bottle's decides."
            )
        made = dilute(
            given["stock"],
            given["wanted"],
            volume if volume is not None else mass,
            by_mass=volume is None,
            molar_mass=given["molar_mass"] or (known.molar_mass if known else None),
            stock_density_g_per_ml=density,
            solute_density_g_per_ml=pure,
        )
        return made, taken


class SeriesForm(Calculation):
    """A serial dilution."""

    stock = StrengthField(label="Strength of the stock")
    factor = DilutionField(label="Each step", help_text="1:10 is 1 part made up to 10, the same as 1 + 9.")
    steps = NumberField(label="Steps", whole=True, smallest=1, largest=12)
    needed = VolumeField(
        label="Volume needed of each",
        above_zero=True,
        largest=2000,
        help_text="After the next is made from it.",
    )
    doubt = PercentField(
        label="Doubt of the stock's own strength", required=False, smallest=0, largest=50, help_text="k = 1."
    )

    def series(self) -> Series:
        given = self.cleaned_data
        return serial_dilution(
            given["stock"][0],
            given["factor"],
            given["steps"],
            given["needed"],
            stock_percent=float(given["doubt"] or 0),
        )


#: What a calculation refuses with a sentence.
REFUSALS = (ImpossibleProportion, ImpossibleSolution)


def known_names() -> list[str]:
    """Names for the list that a browser offers while one types."""
    return [one.name for one in substances()]
