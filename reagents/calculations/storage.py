"""What must not stand beside what on a shelf, and what stands in the wrong place."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from reagents.calculations.mixing import is_acid
from reagents.calculations.stock import known_substance
from reagents.calculations.tables import rows

CLASSES = {
    "flammable": "flammable liquids",
    "acid": "corrosive acids",
    "base": "corrosive bases",
    "oxidising": "oxidising substances",
    "toxic": "toxic substances",
    "cold": "cold store",
    "general": "general store",
}
_FLAMMABLE = {"H224", "H225", "H226"}
_OXIDISING = {"H270", "H271", "H272"}
_TOXIC = {"H300", "H301", "H310", "H311", "H330", "H331"}


@dataclass(frozen=True)
class Stored:
    """A substance in one place, in the storage class that its container was given."""

    substance: str
    place: str
    storage: str


@dataclass(frozen=True)
class Clash:
    """Two in one place that should stand apart, and why, as a sentence."""

    place: str
    sentence: str
    read_or_memory: str


def storage_classes(name: str) -> tuple[str, ...]:
    """Storage classes that follow from what a supplier's label is expected to say.

    Parameters
    ----------
    name : str
        Name of the substance [-].

    Returns
    -------
    tuple of str
        Of "acid", "base", "flammable", "oxidising" and "toxic"; empty when none is known to apply.

    References
    ----------
    .. [1] H codes in `reagents/data/substances.csv`. A corrosive that is no acid counts as a base only where
       its name says ammonia or hydroxide: common practice, no source.
    """
    known = known_substance(name)
    if known is None:
        return ()
    codes, found = set(known.hazard_codes), []
    words = known.name.casefold()
    if is_acid(known.name):
        found.append("acid")
    elif "H314" in codes and ("ammonia" in words or "hydroxide" in words):
        found.append("base")
    found += ["flammable"] if codes & _FLAMMABLE else []
    found += ["oxidising"] if codes & _OXIDISING else []
    found += ["toxic"] if codes & _TOXIC else []
    return tuple(found)


def apart(first: str, second: str) -> tuple[str, str]:
    """Why two storage classes must stand apart.

    Parameters
    ----------
    first, second : str
        Storage classes such as "acid" [-].

    Returns
    -------
    tuple of str
        Reason, and whether it was read or is common practice; both empty where they may stand together.

    References
    ----------
    .. [1] `reagents/data/storage_apart.csv`, each row with its source or "common practice".
    """
    for row in rows("storage_apart"):
        if {row["first"], row["second"]} == {first, second} and first != second:
            return row["sentence"], row["read_or_memory"]
    return "", ""


def clashes(stored: Iterable[Stored]) -> tuple[Clash, ...]:
    """What stands in one place and should not, one sentence for each pair of substances.

    Classes come from the container and from the substance's own hazards, so that a bottle filed under
    "general" is seen too. A pair that shares a class, as two flammable acids do, still clashes by the other.

    Parameters
    ----------
    stored : iterable of Stored
        Everything on the shelf [-].

    Returns
    -------
    tuple of Clash
        In the order of the places.

    References
    ----------
    .. [1] `reagents/data/storage_apart.csv`.
    """
    places: dict[str, dict[str, set[str]]] = {}
    names: dict[str, str] = {}
    for one in stored:
        key = " ".join(one.place.casefold().split())
        names.setdefault(key, one.place)
        classes = places.setdefault(key, {}).setdefault(one.substance, set())
        classes |= {one.storage, *storage_classes(one.substance)}
    found = []
    for key in sorted(places):
        for first, second in combinations(sorted(places[key].items()), 2):
            found += _pair(names[key], first, second)
    return tuple(found)


def _pair(place: str, first: tuple[str, set[str]], second: tuple[str, set[str]]) -> list[Clash]:
    for one in sorted(first[1]):
        for other in sorted(second[1]):
            why, source = apart(one, other)
            # Both being flammable acids is no reason to part them; what only one of them is, is.
            if why and not {one, other} <= first[1] & second[1]:
                return [
                    Clash(place, f"{place}: {first[0]} and {second[0]} stand together, but {why}.", source)
                ]
    return []


def misplaced(name: str, storage: str) -> tuple[str, ...]:
    """What is wrong with the storage class that a container was given.

    Parameters
    ----------
    name : str
        The substance [-].
    storage : str
        The class it was given, such as "cold" [-].

    Returns
    -------
    tuple of str
        Sentences; empty when nothing speaks against it.

    References
    ----------
    .. [1] Flammable liquids only in a spark-free cold store: `cold_flammable` in SOURCES.csv.
    .. [2] Pure ethanoic acid freezes at 16.6 C: `aq_density` in SOURCES.csv.
    """
    classes, said = storage_classes(name), []
    if storage == "cold":
        if "flammable" in classes:
            said.append(
                f"{name} is flammable: only a cold store that is known to be spark-free may hold it, "
                "never an ordinary refrigerator."
            )
        if (known := known_substance(name)) and known.name == "ethanoic acid":
            said.append(
                "Pure ethanoic acid freezes near 16.6 °C: in a cold store it is solid and may crack "
                "its bottle."
            )
    elif classes and storage not in classes:
        usual = " or ".join(CLASSES[one] for one in classes)
        said.append(
            f"{name} is kept with {usual}; this container is down as {CLASSES.get(storage, storage)}."
        )
    return tuple(said)
