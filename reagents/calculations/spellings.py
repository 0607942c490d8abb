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
            kiloliter="m3 m^3 cubic_metre cubic_metres cubic_meter cubic_meters",
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
    "mass fraction": Kind(
        "percent",
        "% w/w",
        "99.7 % w/w",
        "% w/w",
        _spell(
            percent="%w/w %_w/w %(w/w) %_(w/w) %m/m %_m/m %_by_mass %_by_weight wt% wt_% g/100g g/100_g",
            gram_per_kilogram="g/kg",
            milligram_per_gram="mg/g",
        ),
    ),
    "volume fraction": Kind(
        "percent",
        "% v/v",
        "70 % v/v",
        "% v/v",
        _spell(
            percent="%v/v %_v/v %(v/v) %_(v/v) %_by_volume vol% vol_% mL/100mL ml/100ml mL/100_mL ml/100_ml",
            milliliter_per_liter="mL/L ml/l ml/L",
        ),
    ),
    "percentage": Kind("percent", "%", "98.5 %", "%", _spell(percent="% percent per_cent pc")),
    "density": Kind(
        "gram/milliliter",
        "g/mL",
        "1.05 g/mL",
        "g/mL",
        _spell(
            gram_per_milliliter="g/mL g/ml g/cm3 g_cm-3 g/cc g/cm^3 kg/L kg/l kg/dm3",
            gram_per_liter="g/L g/l kg/m3 kg_m-3",
        ),
    ),
    "molar mass": Kind(
        "gram/mole",
        "g/mol",
        "75.07 g/mol",
        "g/mol",
        _spell(gram_per_mole="g/mol g_mol-1 gmol-1 g_mol^-1", kilogram_per_mole="kg/mol"),
    ),
    "amount": Kind(
        "mole",
        "mol",
        "0.05 mol",
        "mol or mmol",
        _spell(
            mole="mol mole moles",
            millimole="mmol millimole millimoles",
            micromole="μmol umol micromole micromoles",
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
    "air change rate": Kind(
        "count/hour",
        "per hour",
        "2 per hour",
        "per hour",
        _spell(
            count_per_hour="/h 1/h h-1 h^-1 per_hour per_h an_hour ACH",
            count_per_minute="/min 1/min per_minute",
        ),
    ),
    "speed": Kind(
        "meter/second",
        "m/s",
        "0.1 m/s",
        "m/s or cm/s",
        _spell(
            meter_per_second="m/s m_s-1 ms-1 m_s^-1",
            centimeter_per_second="cm/s cm_s-1",
            meter_per_minute="m/min",
            kilometer_per_hour="km/h",
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
# Kinds that share a spelling are told apart by what is asked for; where it is not, the first of them counts.
_SHARING = ("percentage", "density")
_OWN = [kind for kind in KINDS if kind not in _SHARING]
BY_SPELLING = {s: (kind, unit) for kind in (*_SHARING, *_OWN) for s, unit in KINDS[kind].spellings.items()}
BY_FOLDED = {s.casefold(): found for s, found in reversed(BY_SPELLING.items()) if len(s) > 1}
