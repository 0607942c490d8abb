"""An estimate of the vapour in a classroom from drying papers, open dishes and a spray. It may only warn."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.flammable_vapour import GREATER_RISK, OVEN, Fire, fires
from reagents.calculations.room_air import (
    ImpossibleRoom,
    hours_to_share,
    ppm_of,
    reached_mg_per_m3,
    steady_mg_per_m3,
)
from reagents.calculations.substances import Substance, substance
from reagents.calculations.vapour_sources import Room, Source

NOTICE = (
    "This is an estimate for a room whose air is mixed at once, which no room's is: beside the papers there "
    "is many times more. It can warn; it can never show that the air is good to breathe. Papers are dried "
    "and sprayed in the fume cupboard whatever it says. The employer's risk assessment, the suppliers' data "
    "sheets and local rules decide."
)
EDITION = "British limits: EH40/2005, 4th edition (2020), read in a copy; older and other lists differ."
TOGETHER = "Several vapours count together (common practice): they reach {share} of what their limits allow."
HALF, TENTH = Decimal("0.5"), Decimal("0.1")
PPM_PER_PERCENT = Decimal(10_000)
NEARLY_STEADY = Decimal("0.95")


@dataclass(frozen=True)
class Formula:
    """One formula of the estimate, with its source."""

    text: str
    source: str
    status: str


FORMULAS = (
    Formula(
        "C = G / (n V), and after a time t: C (1 − exp(−n t))", "dilution ventilation, dilution_vent", "read"
    ),
    Formula("ppm = mg/m³ × 24.055 / M at 20 °C", "EH40/2005, eh40_table", "read"),
    Formula(
        "dish: 0.284 U^0.78 M^(2/3) A P / (82.05 T) in lb/min, with U in m/s, A in ft², P in mmHg, T in K",
        "US EPA release guidance, epa_oca",
        "from memory",
    ),
    Formula("vapour over a liquid = P / 101.325 kPa", "thermo 0.6.0, chem_lib", "computed"),
)


@dataclass(frozen=True)
class Air:
    """One vapour in the room. `level_ppm` is held against the limit: all sources, poor mixing counted."""

    substance: str
    grams_per_hour: Decimal
    steady_ppm: Decimal | None
    steady_mg_per_m3: Decimal | None
    reached_ppm: Decimal
    reached_mg_per_m3: Decimal
    level_ppm: Decimal
    limit_ppm: Decimal | None
    limit_name: str
    share_of_limit: Decimal | None
    sentence: str

    @property
    def warns(self) -> bool:
        """Whether it is to stand out: half of the limit or more, or no limit known."""
        return self.share_of_limit is None or self.share_of_limit >= HALF


@dataclass(frozen=True)
class Ventilation:
    """The whole estimate. Every sentence warns or states; none gives leave."""

    room: Room
    sources: tuple[Source, ...]
    airs: tuple[Air, ...]
    fires: tuple[Fire, ...]
    time_sentence: str
    warnings: tuple[str, ...]
    formulas: tuple[Formula, ...] = FORMULAS
    edition: str = EDITION
    notice: str = NOTICE

    @property
    def sentences(self) -> tuple[str, ...]:
        """Everything it says, in the order in which it is shown."""
        return (
            self.notice,
            *self.warnings,
            *(air.sentence for air in self.airs),
            self.time_sentence,
            *(fire.sentence for fire in self.fires),
            self.edition,
        )


def ventilation(room: Room, sources: Sequence[Source]) -> Ventilation:
    """Work out the estimate.

    Parameters
    ----------
    room : Room
        Volume, air changes, mixing, temperatures [m3, 1/h, -, °C].
    sources : sequence of Source
        What gives off vapour, from `drying`, `open_dishes` and `spraying` [g/h].

    Returns
    -------
    Ventilation
        Vapours against limits, fire, times, warnings, formulas and the notice.

    Raises
    ------
    ImpossibleRoom
        When the room has no volume, or a figure is below what can be.

    References
    ----------
    .. [1] Dilution ventilation: source `dilution_vent`. Limits: source `eh40_table`.
    """
    if room.mixing_factor < 1:
        raise ImpossibleRoom("A mixing factor is 1 for perfect mixing and larger for any real room.")
    names = list(dict.fromkeys(one.substance for one in sources))
    airs = tuple(_air(room, name, [one for one in sources if one.substance == name]) for name in names)
    steady_mg_per_m3(Decimal(0), room.volume_m3, room.changes_per_h)  # an impossible room is refused here too
    return Ventilation(
        room=room,
        sources=tuple(sources),
        airs=airs,
        fires=fires([*names, *(name for name in ("ethanol",) if name not in names)], room.oven_c),
        time_sentence=_times(room),
        warnings=_warnings(room, airs),
    )


def _air(room: Room, name: str, sources: Sequence[Source]) -> Air:
    known = substance(name)
    mass = known.molar_mass or Decimal(1)
    rate = sum((one.grams_per_hour for one in sources if one.goes_on), Decimal(0))
    steady = steady_mg_per_m3(rate, room.volume_m3, room.changes_per_h)
    reached = sum(
        (
            reached_mg_per_m3(one.grams_per_hour, room.volume_m3, room.changes_per_h, one.hours)
            for one in sources
        ),
        Decimal(0),
    )
    highest = max(reached, steady or Decimal(0)) * room.mixing_factor
    limit, which = _limit(known)
    level = ppm_of(highest, mass)
    share = level / limit if limit else None
    return Air(
        substance=name,
        grams_per_hour=sum((one.grams_per_hour for one in sources), Decimal(0)),
        steady_ppm=None if steady is None else ppm_of(steady, mass),
        steady_mg_per_m3=steady,
        reached_ppm=ppm_of(reached, mass),
        reached_mg_per_m3=reached,
        level_ppm=level,
        limit_ppm=limit,
        limit_name=which,
        share_of_limit=share,
        sentence=_said(name, level, limit, which, share),
    )


def _limit(known: Substance) -> tuple[Decimal | None, str]:
    """The lower of the two limits: an estimate is not fine enough to choose the kinder one."""
    both = [
        (known.long_term_limit_ppm, "8 hours"),
        (known.short_term_limit_ppm, "15 minutes"),
    ]
    stated = [(limit, which) for limit, which in both if limit is not None]
    return min(stated) if stated else (None, "")


def _figure(ppm: Decimal) -> str:
    return f"{ppm:.0f}" if ppm >= 100 else f"{ppm:.1f}" if ppm >= 1 else f"{ppm:.2g}"


def _said(name: str, level: Decimal, limit: Decimal | None, which: str, share: Decimal | None) -> str:
    start = f"{name}: about {_figure(level)} ppm in the room"
    if limit is None or share is None:
        return f"{start}. No British limit is known here for it; ask for one before it is used in the room."
    against = f"{start}, against a limit of {limit.normalize():f} ppm over {which}"
    if share >= 1:
        return f"{against}: above the limit. Do not let this evaporate in the room."
    percent = f"{share * 100:.0f} %" if share >= Decimal("0.01") else "under 1 %"
    if share >= HALF:
        return (
            f"{against}: {percent} of it, too close for an estimate. Do not let this evaporate in the room."
        )
    if share >= TENTH:
        return f"{against}: {percent} of it. The estimate may be wrong by several times."
    return (
        f"{against}: {percent} of it by this estimate alone, which proves nothing about the papers' own air."
    )


def _times(room: Room) -> str:
    nearly = hours_to_share(room.changes_per_h, NEARLY_STEADY)
    if nearly is None:
        return "Without air change nothing leaves the room: the vapour rises as long as anything evaporates."
    return (
        f"The air comes to 95 % of its steady value after {_span(nearly)}, and takes as long to fall to 5 % "
        "of it once nothing more evaporates."
    )


def _span(hours: Decimal) -> str:
    return f"{hours * 60:.0f} min" if hours < 2 else f"{hours:.1f} h"


def _warnings(room: Room, airs: Sequence[Air]) -> tuple[str, ...]:
    said = [GREATER_RISK, OVEN]
    if room.changes_per_h < 1:
        said.append(
            "Less than one air change an hour: a room with its windows closed. Open them, and find out the "
            "real figure."
        )
    if room.mixing_factor == 1:
        said.append(
            "A mixing factor of 1 is perfect mixing, which no room has; 3 or more is usual (from memory)."
        )
    shares = [air.share_of_limit for air in airs if air.share_of_limit is not None]
    if len(shares) > 1:
        together = sum(shares, Decimal(0))
        if together >= TENTH:
            said.append(TOGETHER.format(share=f"{together * 100:.0f} %"))
    over = [air.substance for air in airs if air.share_of_limit is not None and air.share_of_limit >= HALF]
    for air in airs:
        lowest = substance(air.substance).lower_flammable_percent
        if lowest and air.level_ppm / PPM_PER_PERCENT >= lowest * TENTH:
            said.append(
                f"{air.substance}: the vapour of the whole room comes to a tenth or more of what can burn. "
                "Stop, let nothing spark, and air the room."
            )
    if over:
        said.append(
            f"Use the fume cupboard: in the room {' and '.join(over)} would come near the limit or above it."
        )
    return tuple(said)
