"""The units of a prep room in every spelling that is read, and the words for each kind of quantity."""

from collections.abc import Mapping


class Kind:
    """One kind of quantity: its base unit and the words used for it in sentences."""

    def __init__(self, base: str, shown: str, example: str, units: str, spellings: Mapping[str, str]) -> None:
        self.base = base
        self.shown = shown
        self.example = example
        self.units = units
        self.spellings = spellings


def _spell(**units: str) -> dict[str, str]:
    """Turn pint name -> "spelling spelling" into spelling -> pint name; "_" stands for a space."""
    return {
        spelling.replace("_", " "): name.replace("_per_", "/")
        for name, spellings in units.items()
        for spelling in spellings.split()
    }


KINDS: Mapping[str, Kind] = {
    "length": Kind(
        "millimeter",
        "mm",
        "12.5 mm",
        "mm or cm",
        _spell(
            millimeter="mm millimetre millimetres millimeter millimeters",
            centimeter="cm centimetre centimetres centimeter centimeters",
            meter="m metre metres meter meters",
            micrometer="μm um micrometre micrometres",
            inch="in inch inches",
        ),
    ),
    "volume": Kind(
        "milliliter",
        "mL",
        "25 mL",
        "mL or L",
        _spell(
            milliliter="mL ml cm3 cc ccm millilitre millilitres milliliter milliliters cm^3",
            liter="L l dm3 litre litres liter liters dm^3 ltr",
            microliter="μL μl uL ul microlitre microlitres microliter microliters",
            centiliter="cL cl centilitre centilitres",
            deciliter="dL dl decilitre decilitres",
        ),
    ),
    "mass": Kind(
        "gram",
        "g",
        "0.20 g",
        "g or mg",
        _spell(
            gram="g gram grams gramme grammes gm",
            milligram="mg milligram milligrams",
            kilogram="kg kilogram kilograms kilo kilos",
            microgram="μg ug mcg microgram micrograms",
        ),
    ),
    "amount concentration": Kind(
        "mole/liter",
        "mol/L",
        "0.01 mol/L",
        "mol/L",
        _spell(
            mole_per_liter="mol/L mol/l mol/dm3 mol_dm-3 mol_L-1 mol_l-1 moldm-3 M molar mol/dm^3 mol_dm^-3",
            millimole_per_liter="mmol/L mmol/l mmol/dm3 mmol_dm-3 mM millimolar",
            micromole_per_liter="μmol/L μmol/l umol/L μM uM",
        ),
    ),
    "mass concentration": Kind(
        "gram/liter",
        "g/L",
        "2 g/L or 0.2 % w/v",
        "g/L or % w/v",
        _spell(
            gram_per_liter="g/L g/l g/dm3 g_dm-3 g_L-1 g_l-1 mg/mL mg/ml mg/cm3 g/dm^3",
            gram_per_milliliter="g/mL g/ml g/cm3 g_cm-3",
            milligram_per_liter="mg/L mg/l mg/dm3 mg_dm-3 μg/mL μg/ml",
            percent_wv="%w/v %_w/v %(w/v) %_(w/v) %m/v %_m/v % g/100mL g/100ml g/100_mL g/100_ml g/100cm3",
        ),
    ),
    "time": Kind(
        "minute",
        "min",
        "40 min",
        "min or h",
        _spell(
            minute="min mins minute minutes",
            hour="h hr hrs hour hours",
            second="s sec secs second seconds",
            day="d day days",
        ),
    ),
    "temperature": Kind(
        "degC",
        "°C",
        "20 °C",
        "°C",
        _spell(
            degC="°C degC C ° °_C deg_C celsius degrees_C degrees_celsius ºC ℃",
            kelvin="K kelvin",
            degF="°F degF F fahrenheit",
        ),
    ),
}
BY_SPELLING = {s: (kind, unit) for kind, k in KINDS.items() for s, unit in k.spellings.items()}
BY_FOLDED = {s.casefold(): found for s, found in reversed(BY_SPELLING.items()) if len(s) > 1}
