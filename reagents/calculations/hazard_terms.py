"""The words of a classification: what is in a mixture, which figures a rule used, and what it concluded."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from reagents.calculations.substances import UnknownSubstance, substance
from reagents.calculations.tables import number, rows

READ, COMPUTED, MEMORY = "read", "computed", "from memory"
GENERAL_CUT_OFF = Decimal(1)
SUM_TOLERANCE = Decimal("0.02")


class ImpossibleMixture(ValueError):
    """The shares cannot be those of one liquid; the message is a sentence, `percent` the figure meant."""

    def __init__(self, percent: Decimal | None, message: str) -> None:
        super().__init__(message)
        self.percent = percent


@dataclass(frozen=True)
class Component:
    """One substance of a mixture and its share of the whole mass, 0 to 1."""

    substance: str
    mass_fraction: Decimal

    @property
    def percent(self) -> Decimal:
        """Share of the mass [% w/w]."""
        return self.mass_fraction * 100


@dataclass(frozen=True)
class ComponentClass:
    """One hazard class of a substance as bought. `standing` is usual, stricter or doubt."""

    hazard_class: str
    code: str
    m_factor: Decimal | None
    measured_ate: Decimal | None
    standing: str
    source_keys: tuple[str, ...]
    status: str
    note: str


@dataclass(frozen=True)
class SpecificLimit:
    """A substance's own concentration limit, which replaces the general one [% w/w]."""

    hazard_class: str
    code: str
    from_percent: Decimal
    below_percent: Decimal | None
    source_keys: tuple[str, ...]
    status: str


@dataclass(frozen=True)
class Ingredient:
    """A component with what is known of it. `percent` counts the active part only, such as the ammonia."""

    name: str
    percent: Decimal
    known: bool
    kind: str
    classes: tuple[ComponentClass, ...]
    limits: tuple[SpecificLimit, ...]

    def of_class(self, *starts: str) -> tuple[ComponentClass, ...]:
        """Its classes that begin with one of these words.

        Parameters
        ----------
        *starts : str
            Such as "Skin Corr." [-].

        Returns
        -------
        tuple of ComponentClass
            Empty when it has none.

        References
        ----------
        .. [1] `reagents/data/component_classes.csv`.
        """
        return tuple(one for one in self.classes if one.hazard_class.startswith(starts))

    def own_limit(self, start: str, code: str = "") -> SpecificLimit | None:
        """Its lowest own limit for a class.

        Parameters
        ----------
        start : str
            How the class begins, such as "Skin Corr." [-].
        code : str, optional
            Hazard code, where one class has several [-].

        Returns
        -------
        SpecificLimit or None
            None where the general limit holds.

        References
        ----------
        .. [1] `reagents/data/specific_limits.csv`.
        """
        found = [
            one
            for one in self.limits
            if one.hazard_class.startswith(start) and (not code or one.code == code)
        ]
        return min(found, key=lambda one: one.from_percent, default=None)


@dataclass(frozen=True)
class Input:
    """One figure that a rule used. `share` is the part of the limit that it fills; None if not counted."""

    substance: str
    percent: Decimal
    what: str
    share: Decimal | None
    status: str
    source_keys: tuple[str, ...]


@dataclass(frozen=True)
class Reason:
    """One rule worked through: its inputs, the sum against the limit, and what follows."""

    hazard: str
    rule: str
    inputs: tuple[Input, ...]
    total: Decimal | None
    limit: Decimal | None
    conclusion: str
    classes: tuple[str, ...]
    codes: tuple[str, ...]
    status: str
    source_keys: tuple[str, ...]


def status_of(text: str) -> str:
    """Which of the three marks a remark in a table stands for.

    Parameters
    ----------
    text : str
        Such as "read", "flash computed and read" or "memory" [-].

    Returns
    -------
    str
        "read", "computed" or "from memory", the weakest that is named [-].

    References
    ----------
    No formula.
    """
    if "memory" in text:
        return MEMORY
    return COMPUTED if "computed" in text else READ


def weakest(statuses: Iterable[str]) -> str:
    """The mark of a conclusion: it stands no firmer than its weakest input.

    Parameters
    ----------
    statuses : iterable of str
        Marks of the inputs [-].

    Returns
    -------
    str
        "from memory" before "computed" before "read" [-].

    References
    ----------
    No formula.
    """
    found = set(statuses)
    return next((mark for mark in (MEMORY, COMPUTED) if mark in found), READ)


def shown(value: Decimal) -> str:
    """A percentage or sum as one writes it, to two decimal places.

    Parameters
    ----------
    value : Decimal
        The figure [%].

    Returns
    -------
    str
        Such as "17.6" [-].

    References
    ----------
    No formula.
    """
    return f"{value.quantize(Decimal('0.01')).normalize():f}"


def _keys(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(row["source_key"].split(";"))


@cache
def _classes() -> dict[str, tuple[ComponentClass, ...]]:
    found: dict[str, list[ComponentClass]] = {}
    for row in rows("component_classes"):
        found.setdefault(row["substance"], []).append(
            ComponentClass(
                hazard_class=row["hazard_class"],
                code=row["h_code"],
                m_factor=number(row["m_factor"]),
                measured_ate=number(row["measured_ate"]),
                standing=row["standing"],
                source_keys=_keys(row),
                status=status_of(row["read_or_memory"]),
                note=row["note"],
            )
        )
    return {name: tuple(classes) for name, classes in found.items()}


@cache
def _limits() -> dict[str, tuple[SpecificLimit, ...]]:
    found: dict[str, list[SpecificLimit]] = {}
    for row in rows("specific_limits"):
        found.setdefault(row["substance"], []).append(
            SpecificLimit(
                hazard_class=row["hazard_class"],
                code=row["h_code"],
                from_percent=Decimal(row["from_percent"]),
                below_percent=number(row["below_percent"]),
                source_keys=_keys(row),
                status=status_of(row["read_or_memory"]),
            )
        )
    return {name: tuple(limits) for name, limits in found.items()}


def canonical(name: str) -> str | None:
    """The name under which a substance is kept here.

    Parameters
    ----------
    name : str
        Any of its names [-].

    Returns
    -------
    str or None
        None when nothing is known of it.

    References
    ----------
    .. [1] `reagents/data/substances.csv`.
    """
    try:
        return substance(name).name
    except UnknownSubstance:
        return None


def ingredients_of(components: Sequence[Component]) -> tuple[Ingredient, ...]:
    """What is known of each component; the same substance named twice counts once, with both shares.

    Parameters
    ----------
    components : sequence of Component
        Shares of the mass, together 1 [-].

    Returns
    -------
    tuple of Ingredient
        In the order given, without those of share 0.

    Raises
    ------
    ImpossibleMixture
        When there is nothing, a share is negative or the shares do not add up to the whole.

    References
    ----------
    .. [1] Percentages of the rules are by mass: CLP Annex I, 1.1.1 and part 3.
    """
    shares: dict[str, Decimal] = {}
    for one in components:
        if not one.mass_fraction.is_finite() or one.mass_fraction < 0:
            raise ImpossibleMixture(None, f"The share of {one.substance} is not a number from 0 to 1.")
        name = canonical(one.substance) or one.substance.strip()
        shares[name] = shares.get(name, Decimal(0)) + one.mass_fraction
    whole = sum(shares.values(), Decimal(0))
    if not whole:
        raise ImpossibleMixture(whole, "The mixture is empty; enter at least one liquid.")
    if abs(whole - 1) > SUM_TOLERANCE:
        percent = f"{whole * 100:.1f}"
        raise ImpossibleMixture(
            whole * 100, f"The shares add up to {percent} % by mass; together they must be 100 %."
        )
    facts = {row["substance"]: row for row in rows("ingredient_facts")}
    return tuple(
        Ingredient(
            name=name,
            percent=share * Decimal(facts[name]["active_percent"] if name in facts else 100),
            known=canonical(name) is not None,
            kind=facts[name]["kind"] if name in facts else "",
            classes=_classes().get(name, ()),
            limits=_limits().get(name, ()),
        )
        for name, share in shares.items()
        if share
    )
