"""An unknown spot, what it can be compared with, and what comes of a comparison."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from practicals.calculations.differences import Difference
from practicals.calculations.published import PublishedRf
from practicals.calculations.spot_colours import ColourEvidence
from practicals.calculations.uncertainty import Located

Level = Literal["same paper", "this session", "published"]
Verdict = Literal["one", "several", "none", "nothing to compare"]


@dataclass(frozen=True, slots=True)
class UnknownSpot:
    """A spot to be named [mm]; its lane's own front if it has one; its colour in words."""

    spot: Located
    front: Located | None = None
    colour: str = ""


@dataclass(frozen=True, slots=True)
class StandardSpot:
    """A standard's spot on the same paper [mm], and the colour that the substance gives."""

    key: str
    name: str
    spot: Located
    front: Located | None = None
    colour: str = ""


@dataclass(frozen=True, slots=True)
class OtherPaper:
    """R_f of a standard on another paper of this session, with its standard uncertainty [-]."""

    key: str
    name: str
    rf: Decimal
    u: float
    colour: str = ""


@dataclass(frozen=True, slots=True)
class PublishedSubstance:
    """Published values of one substance for the very same system [-]."""

    key: str
    name: str
    rows: tuple[PublishedRf, ...]
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """An unknown spot against one candidate; z is the difference in standard uncertainties [-]."""

    key: str
    name: str
    level: Level
    delta: float
    u: float
    k: int
    colour: ColourEvidence

    @property
    def z(self) -> float:
        """The difference in standard uncertainties [-]."""
        return Difference(self.delta, self.u, self.k).z

    @property
    def near(self) -> bool:
        """Whether the difference is no larger than k u."""
        return not Difference(self.delta, self.u, self.k).told_apart

    @property
    def sentence(self) -> str:
        """The comparison in words, with its figures."""
        found = "compatible with" if self.near else "not"
        sentence = (
            f"{found} {self.name}: R_f differs by {abs(self.delta):.3f}, allowed {self.k * self.u:.3f}"
            f" (z = {self.z:+.1f})"
        )
        if self.colour == "supports":
            sentence += "; the colour fits"
        elif self.colour == "against":
            sentence += "; the colour speaks against it"
        return sentence[0].upper() + sentence[1:] + "."


@dataclass(frozen=True, slots=True)
class Identification:
    """What one unknown spot is compatible with.

    `compared` keeps the order that the candidates were given in, never that of closeness. `level` is where
    the verdict comes from.
    """

    verdict: Verdict
    level: Level | None
    compared: tuple[Comparison, ...]
    compatible: tuple[str, ...]
    names: tuple[str, ...]
    words: str
