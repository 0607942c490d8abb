"""Hazards of a mixture by rule: class, pictograms, signal word and precautions, with the reasons.

The rules are those of CLP (the UN GHS as Europe and Britain have it) on shares by mass. What comes out is a
worked rule and no legal classification: the supplier's safety data sheet has that.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from reagents.calculations.acute_toxicity import acute_toxicity
from reagents.calculations.flash_point import CODES, HAZARD, FlashEstimate, estimate_flash, flammable
from reagents.calculations.hazard_rules import health_and_water
from reagents.calculations.hazard_terms import (
    READ,
    Component,
    Ingredient,
    Reason,
    ingredients_of,
    shown,
)
from reagents.calculations.label_elements import (
    on_the_label,
    pictograms_for,
    precautions_for,
    signal_word_for,
)
from reagents.calculations.substances import LABEL_NOTICE, statement
from reagents.calculations.tables import rows

CHECK = "Check against the supplier's safety data sheet."
NO_CLASS = "None of the rules gives a class. That is no promise that it is harmless."
EDITION = (
    "Classes of ingredients are those of the EU list of December 2021 where it has them; Great Britain keeps "
    "its own list, which was not read: compare before a label leaves the building."
)


@dataclass(frozen=True)
class Classification:
    """What the rules give for one liquid. `codes` are those of the label, `every_code` all of the class."""

    components: tuple[Component, ...]
    classes: tuple[str, ...]
    every_code: tuple[str, ...]
    codes: tuple[str, ...]
    pictograms: tuple[str, ...]
    signal_word: str
    precautions: tuple[str, ...]
    reasons: tuple[Reason, ...]
    doubts: tuple[str, ...]
    only_by_stricter: tuple[str, ...]
    flash: FlashEstimate | None
    sensitisers: tuple[str, ...]
    unknown: tuple[str, ...]
    notice: str = LABEL_NOTICE
    check: str = CHECK

    @property
    def hazard_sentences(self) -> tuple[str, ...]:
        """Code and our own short wording; `LABEL_NOTICE` says where the legal wording stands."""
        return tuple(f"{code}: {self._short(code)}" for code in self.codes)

    @property
    def precaution_sentences(self) -> tuple[str, ...]:
        """Code and our own short wording of each precaution."""
        return tuple(f"{code}: {statement(code).short}" for code in self.precautions)

    @property
    def sources(self) -> tuple[tuple[str, str], ...]:
        """Each source key of the reasons and of their figures, with what it stands for."""
        keys = {
            key
            for reason in self.reasons
            for found in (reason.source_keys, *(one.source_keys for one in reason.inputs))
            for key in found
        }
        titles = {row["source_key"]: row["title"] for row in rows("SOURCES")}
        return tuple((key, titles.get(key, key)) for key in sorted(keys))

    def _short(self, code: str) -> str:
        if code == "EUH208" and self.sensitisers:
            return f"Contains {' and '.join(self.sensitisers)}: may cause an allergic reaction."
        return statement(code).short


def classify(components: Sequence[Component], *, stricter: bool = True) -> Classification:
    """Classify a mixture by the CLP/UN GHS rules on shares by mass.

    With `stricter` (as on a label) notified classes count beside harmonised ones and the stricter acute
    toxicity estimate is taken; `only_by_stricter` names the codes that rest on that.

    Parameters
    ----------
    components : sequence of Component
        Shares of the mass, together 1 within 0.02 [-].
    stricter : bool, optional
        False leaves out notified classes where a harmonised entry exists, and measured values come before
        point estimates [-].

    Returns
    -------
    Classification
        Class, label elements, reasons line by line, and what remains in doubt.

    Raises
    ------
    ImpossibleMixture
        When the shares cannot be those of one liquid.

    References
    ----------
    .. [1] Regulation (EC) 1272/2008 (CLP), Annex I; UN GHS, parts 2 to 4. Sources stand at each reason.
    """
    ingredients = ingredients_of(components)
    reasons = _reasons(ingredients, stricter=stricter)
    milder = _reasons(ingredients, stricter=False) if stricter else reasons
    codes = _codes(reasons)
    more = tuple(code for code in on_the_label(codes) if code not in _codes(milder))
    return _labelled(
        Classification(
            components=tuple(components),
            classes=_classes(reasons),
            every_code=codes,
            codes=(),
            pictograms=(),
            signal_word="",
            precautions=(),
            reasons=tuple(reasons),
            doubts=_doubts(ingredients, codes, more),
            only_by_stricter=more,
            flash=estimate_flash(ingredients),
            sensitisers=tuple(one.name for one in ingredients if one.of_class("Skin Sens.")),
            unknown=tuple(one.name for one in ingredients if not one.known),
        )
    )


def _labelled(made: Classification) -> Classification:
    printed = on_the_label(made.every_code)
    return replace(
        made,
        codes=printed,
        pictograms=pictograms_for(made.every_code),
        signal_word=signal_word_for(made.every_code),
        precautions=precautions_for(printed),
    )


def _reasons(ingredients: tuple[Ingredient, ...], *, stricter: bool) -> list[Reason]:
    allowed = {"usual", "stricter"} if stricter else {"usual"}
    counted = [
        replace(one, classes=tuple(kind for kind in one.classes if kind.standing in allowed))
        for one in ingredients
    ]
    fire = flammable(counted)
    return [
        *([fire] if fire else []),
        *acute_toxicity(counted, stricter=stricter),
        *health_and_water(counted, stricter=stricter),
    ]


def _codes(reasons: Sequence[Reason]) -> tuple[str, ...]:
    found = {code for reason in reasons for code in reason.codes}
    return tuple(sorted(found, key=lambda code: (code.startswith("EUH"), code)))


def _classes(reasons: Sequence[Reason]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for reason in reasons for one in reason.classes))


def _doubts(
    ingredients: Sequence[Ingredient], codes: tuple[str, ...], more: tuple[str, ...]
) -> tuple[str, ...]:
    said = [
        f"{one.name} ({shown(one.percent)} % by mass): no classification known here: read its data sheet."
        for one in ingredients
        if not one.known
    ]
    said += dict.fromkeys(
        f"{one.name}: {kind.note}. {CHECK}"
        for one in ingredients
        for kind in one.classes
        if kind.standing == "doubt"
    )
    if more:
        rest = "rests" if len(more) == 1 else "rest"
        said.append(
            f"{', '.join(more)} {rest} on the stricter of two readings (a notified class, or a point "
            f"estimate in place of a measured value); the stricter is shown. {CHECK}"
        )
    if not codes:
        said.append(NO_CLASS)
    return (*said, EDITION)


def classify_layers(layers: Sequence[Sequence[Component]]) -> tuple[Classification, ...]:
    """Classify the layers of a mixture that split, each from its own composition.

    Layers in equilibrium share one vapour, so the watery one catches fire like the other: each gets the most
    severe flammable class among them.

    Parameters
    ----------
    layers : sequence of sequence of Component
        For each layer the shares of its mass, together 1 [-].

    Returns
    -------
    tuple of Classification
        In the order given.

    Raises
    ------
    ImpossibleMixture
        When the shares of a layer cannot be those of one liquid.

    References
    ----------
    .. [1] Equal activity in both layers: phase equilibrium; CLP Annex I, 2.6 for the class.
    """
    made = [classify(layer) for layer in layers]
    worst = min((code for one in made for code in one.every_code if code in CODES), default="")
    return tuple(_shares_vapour(one, worst) for one in made)


def _shares_vapour(one: Classification, worst: str) -> Classification:
    if not worst or len(one.components) == 0 or worst in one.every_code:
        return one
    reason = Reason(
        HAZARD,
        "layers that stand together share one vapour",
        (),
        None,
        None,
        f"Taken as flammable as the other layer: {worst}.",
        (CODES[worst],),
        (worst,),
        READ,
        ("clp_flam",),
    )
    others = tuple(code for code in one.every_code if code not in CODES)
    return _labelled(
        replace(
            one,
            classes=(CODES[worst], *(name for name in one.classes if name not in CODES.values())),
            every_code=tuple(sorted((worst, *others), key=lambda code: (code.startswith("EUH"), code))),
            reasons=(reason, *one.reasons),
        )
    )
