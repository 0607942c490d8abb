"""Room air: the formulas against worked cases, and that the estimate warns and never reassures."""

import csv
import json
import re
from decimal import Decimal
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.flammable_vapour import GREATER_RISK, OVEN, fires, over_liquid
from reagents.calculations.room_air import (
    ImpossibleRoom,
    dish_g_per_h,
    evaporation_g_per_h,
    hours_to_share,
    mg_per_m3_of,
    ppm_of,
    reached_mg_per_m3,
    steady_mg_per_m3,
)
from reagents.calculations.substances import substance, substances
from reagents.calculations.tables import rows
from reagents.calculations.vapour_sources import SPRAYS, Room, drying, open_dishes, spraying
from reagents.calculations.ventilation import EDITION, FORMULAS, NOTICE, ventilation

TABLE = Path(__file__).resolve().parents[2] / "published" / "reagents_prep_worked_examples.csv"
BAW = [("butan-1-ol", Decimal(12)), ("ethanoic acid", Decimal(3)), ("water", Decimal(5))]


def room(volume=200, changes=2, mixing=1, **more):
    return Room(Decimal(volume), Decimal(str(changes)), Decimal(mixing), **more)


def papers(count=10, each=5, hours=1):
    return drying(BAW, papers=count, ml_each=Decimal(each), hours=Decimal(hours))


def air_of(found, name):
    return next(air for air in found.airs if air.substance == name)


def test_steady_and_after_an_hour_v01_hand_worked():
    # V01: 30 mL of butan-1-ol in 1 h, 200 m3, 2 changes: printed 19.7 ppm steady and 17.0 after 1 h.
    with TABLE.open(encoding="utf-8", newline="") as file:
        case = next(row for row in csv.DictReader(file) if row["kind"] == "room_vapour")
    g = json.loads(case["inputs_json"], parse_float=Decimal, parse_int=Decimal)
    steady, after = (Decimal(f) for f in re.findall(r"([\d.]+) ppm", case["printed_answer"]))
    rate = g["evaporated_ml"] * g["density_g_ml"] / g["over_h"]
    settled = steady_mg_per_m3(rate, g["room_m3"], g["ach"])
    assert round(ppm_of(settled, g["molar_mass"]), 1) == steady
    assert (
        round(ppm_of(reached_mg_per_m3(rate, g["room_m3"], g["ach"], g["over_h"]), g["molar_mass"]), 1)
        == after
    )


@pytest.mark.parametrize(
    ("changes", "steady", "reached"),
    # 50 mL of 12:3:5 dries in 1 h in 200 m3: hand-worked (39 ppm: all at once, without air change).
    [(2, "19.7", "17.0"), ("0.5", "78.8", "31.0"), (6, "6.6", None), (0, None, "39")],
)
def test_drying_papers_hand_worked(changes, steady, reached):
    air = air_of(ventilation(room(changes=changes), papers()), "butan-1-ol")
    if steady:
        assert air.steady_ppm == pytest.approx(Decimal(steady), abs=Decimal("0.06"))
    else:
        assert air.steady_ppm is None
    if reached:
        assert air.reached_ppm == pytest.approx(Decimal(reached), abs=Decimal("0.5"))


def test_parts_per_million_agree_with_the_printed_limits_eh40():
    # EH40/2005, 4th edition (2020), Table 1: ppm and mg/m3 as printed there.
    printed = [
        ("butan-1-ol", 50, 154),
        ("ethanoic acid", 10, 25),
        ("ethanoic acid", 20, 50),
        ("ethanol", 1000, 1920),
        ("propanone", 500, 1210),
        ("propan-2-ol", 400, 999),
        ("n-hexane", 20, 72),
        ("butyl ethanoate", 150, 724),
    ]
    for name, ppm, mg in printed:
        mass = substance(name).molar_mass
        assert mg_per_m3_of(Decimal(ppm), mass) == pytest.approx(mg, rel=Decimal("0.005"))
        assert ppm_of(Decimal(mg), mass) == pytest.approx(ppm, rel=Decimal("0.005"))


def test_evaporation_from_a_dish_us_epa_from_memory():
    # US EPA formula (from memory), hand-worked: butan-1-ol, 9 cm, 0.1 m/s, 20 °C, 4.74 mmHg: 0.31 g/h.
    area = Decimal("63.617")
    rate = evaporation_g_per_h(
        area_cm2=area,
        molar_mass=Decimal("74.123"),
        pressure_kpa=Decimal("4.74") * Decimal("0.133322"),
        air_m_per_s=Decimal("0.1"),
        temperature_c=Decimal(20),
    )
    assert round(rate, 2) == Decimal("0.31")
    dish = dish_g_per_h("butan-1-ol", Decimal("74.123"), Decimal(90), Decimal("0.1"), Decimal(20))
    assert dish == pytest.approx(rate, rel=Decimal("0.01"))


def test_still_air_is_not_taken_as_no_evaporation():
    assert dish_g_per_h("ethanol", Decimal(46), Decimal(90), Decimal(0), Decimal(20)) > 0
    assert dish_g_per_h("glycine", Decimal(75), Decimal(90), Decimal("0.1"), Decimal(20)) is None


def test_times_purge_equation():
    # t = ln(C1/C2)/n: at 2 changes an hour to 5 %, ln 20 / 2 = 1.498 h.
    assert hours_to_share(Decimal(2), Decimal("0.95")) == pytest.approx(
        Decimal("1.498"), abs=Decimal("0.001")
    )
    assert hours_to_share(Decimal(0), Decimal("0.95")) is None
    assert "90 min" in ventilation(room(), papers()).time_sentence
    assert "nothing leaves the room" in ventilation(room(changes=0), papers()).time_sentence


def test_the_lower_of_two_limits_is_taken_and_the_edition_stated():
    found = ventilation(room(), papers())
    assert air_of(found, "ethanoic acid").limit_ppm == 10
    assert air_of(found, "butan-1-ol").limit_name == "15 minutes"
    assert "EH40/2005, 4th edition (2020)" in found.edition


def test_poor_mixing_raises_what_is_held_against_the_limit():
    good = air_of(ventilation(room(), papers()), "butan-1-ol")
    poor = air_of(ventilation(room(mixing=3), papers()), "butan-1-ol")
    assert poor.level_ppm == pytest.approx(3 * good.level_ppm)
    assert poor.steady_ppm == good.steady_ppm


def test_closed_windows_warn_for_the_hand_worked_room():
    found = ventilation(room(changes="0.5"), papers())
    assert "above the limit" in air_of(found, "butan-1-ol").sentence
    assert any("windows closed" in one for one in found.warnings)


def test_a_spray_counts_by_what_it_has_reached_not_as_if_it_went_on():
    air = air_of(
        ventilation(room(), spraying("ethanol", volume_ml=Decimal(20), hours=Decimal("0.1"))), "ethanol"
    )
    # 20 mL is 15.8 g: in 200 m3 without any loss 78.9 mg/m3, or 41 ppm, cannot be passed.
    assert air.steady_ppm == 0
    assert 35 < air.level_ppm < 42


def test_vapours_count_together():
    assert any(one.startswith("Several vapours") for one in ventilation(room(), papers()).warnings)


def test_much_vapour_near_the_flammable_range_says_stop():
    found = ventilation(room(volume=10, changes=0), papers(count=200, each=10))
    assert any("a tenth or more of what can burn" in one for one in found.warnings)


# -- fire ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "temperature", "verdict"),
    [
        # IEC 60079-20-1 limits against computed vapour pressures (source `chem_lib`).
        ("butan-1-ol", 20, "below"),
        ("ethanoic acid", 20, "below"),
        ("ethanol", 20, "inside"),
        ("propan-2-ol", 20, "inside"),
        ("propanone", 20, "above"),
        ("butan-1-ol", 60, "inside"),
        ("ethanoic acid", 60, "inside"),
    ],
)
def test_flammable_range_over_the_liquid_iec_60079_20_1(name, temperature, verdict):
    assert over_liquid(name, Decimal(temperature)).verdict == verdict


def test_the_spray_is_said_to_be_the_greater_fire_risk_and_the_oven_is_named():
    for sources in (papers(), (), spraying("propanone", volume_ml=Decimal(5), hours=Decimal("0.2"))):
        found = ventilation(room(oven_c=Decimal(60)), sources)
        assert found.warnings[:2] == (GREATER_RISK, OVEN)
        assert any(fire.substance == "ethanol" and fire.verdict == "inside" for fire in found.fires)


def test_what_has_no_figures_is_left_out():
    assert over_liquid("glycine", Decimal(20)) is None
    assert over_liquid("mystery", Decimal(20)) is None
    assert fires(["water", "mystery"]) == ()


# -- it may warn, never reassure -----------------------------------------------------------------

REASSURING = re.compile(
    r"\b(?:safe|safely|harmless|fine|ok|okay|acceptable|unnecessary|sufficient|adequate|allowed|good air)\b"
    r"|\bno (?:risk|danger|hazard|need|problem)\b|\bnot? (?:needed|necessary|required|dangerous)\b"
    r"|\b(?:low|little|small|negligible|minimal) (?:risk|danger|hazard)\b|\bneed not\b|\bdo not worry\b"
    r"|\bwithout (?:a|the) fume\b|\b(?:within|below|under) (?:the|its) limit\b|\benough air\b"
    r"|\b(?:may|can) be (?:dried|sprayed)\b",
    re.IGNORECASE,
)


def grid():
    """Volume, air changes, mixing, how many papers and dishes, room and oven temperature."""
    return product(
        (5, 200, 100_000), (0, "0.5", 2, 60), (1, 3, 10), (0, 1, 30), (-10, 20, 35), (None, 60, 110)
    )


def test_no_sentence_reassures_and_the_notice_always_stands():
    looked_at: set[str] = set()
    for volume, changes, mixing, count, temperature, oven in grid():
        here = room(
            volume, changes, mixing, temperature_c=Decimal(temperature), oven_c=oven and Decimal(oven)
        )
        sources = [
            *papers(count, "0.01"),
            *open_dishes(
                [one.name for one in substances() if one.molar_mass],
                here,
                dishes=count,
                across_mm=Decimal(90),
                air_m_per_s=Decimal("0.1"),
                hours=Decimal(1),
            ),
            *(s for name in SPRAYS for s in spraying(name, volume_ml=Decimal(count), hours=Decimal("0.2"))),
        ]
        found = ventilation(here, sources)
        assert found.notice == NOTICE
        assert found.sentences[0] == NOTICE
        assert EDITION in found.sentences
        assert GREATER_RISK in found.sentences
        looked_at.update(found.sentences)
    assert len(looked_at) > 500
    assert [one for one in sorted(looked_at) if REASSURING.search(one)] == []
    assert "fume cupboard whatever it says" in NOTICE


@pytest.mark.parametrize(
    "sentence",
    [
        "This is safe.",
        "No risk here.",
        "A fume cupboard is unnecessary.",
        "You need not use it.",
        "Below the limit.",
    ],
)
def test_the_search_for_reassurance_finds_it(sentence):
    assert REASSURING.search(sentence)


# -- refusals and properties -------------------------------------------------------------------


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: steady_mg_per_m3(Decimal(1), Decimal(0), Decimal(1)),
        lambda: steady_mg_per_m3(Decimal(-1), Decimal(1), Decimal(1)),
        lambda: steady_mg_per_m3(Decimal(1), Decimal(1), Decimal("NaN")),
        lambda: reached_mg_per_m3(Decimal(1), Decimal(1), Decimal(1), Decimal(-1)),
        lambda: hours_to_share(Decimal(1), Decimal(1)),
        lambda: ppm_of(Decimal(1), Decimal(0)),
        lambda: ventilation(room(mixing="0.5"), ()),
        lambda: ventilation(room(volume=0), ()),
        lambda: papers(count=-1),
        lambda: papers(hours=0),
        lambda: drying([("water", Decimal(0))], papers=1, ml_each=Decimal(1), hours=Decimal(1)),
        lambda: spraying("ethanol", volume_ml=Decimal(1), hours=Decimal(0)),
        lambda: open_dishes(
            ["ethanol"], room(), dishes=-1, across_mm=Decimal(1), air_m_per_s=Decimal(1), hours=Decimal(1)
        ),
        lambda: dish_g_per_h("ethanol", Decimal(46), Decimal(90), Decimal(1), Decimal(-80)),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(wrong):
    with pytest.raises(ImpossibleRoom, match=r"\.$"):
        wrong()


positive = st.decimals("0.01", 1000, places=2)


@given(positive, positive, positive, positive)
def test_more_air_never_means_more_vapour(rate, volume, changes, more):
    assert steady_mg_per_m3(rate, volume, changes + more) < steady_mg_per_m3(rate, volume, changes)
    assert reached_mg_per_m3(rate, volume, changes + more, Decimal(1)) <= reached_mg_per_m3(
        rate, volume, changes, Decimal(1)
    )


@given(positive, positive, positive, positive)
def test_the_air_rises_towards_the_steady_value_and_never_past_it(rate, volume, changes, hours):
    steady = steady_mg_per_m3(rate, volume, changes)
    now = reached_mg_per_m3(rate, volume, changes, hours)
    assert 0 <= now <= steady
    assert now <= reached_mg_per_m3(rate, volume, changes, hours * 2)


def test_formulas_name_sources_that_are_explained():
    known = {row["source_key"] for row in rows("SOURCES")}
    for formula in FORMULAS:
        assert formula.status in {"read", "computed", "from memory"}
        assert formula.source.split(", ")[-1] in known
