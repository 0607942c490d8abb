"""Adds a practical, or the next edition of one, from its text."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import models, transaction

from practicals import audit
from practicals.calculations import practical_definition as definitions
from practicals.calculations.practical_file import PracticalFileError, read_practical
from practicals.calculations.recipe_nesting import recipes_in_order
from practicals.models import Analyte, Practical, User
from reagents.models import Recipe, RecipePart

#: Checked by `read_practical`; an empty list is fine here.
UNCHECKED = ["text", "steps", "equipment", "hazards", "lane_plan", "contains", "cautions"]


class NewerEdition(ValueError):
    """Somebody saved a newer edition after this one was opened; `latest` is it."""

    def __init__(self, latest: Practical) -> None:
        self.latest = latest
        super().__init__(
            f"Somebody saved edition {latest.edition} after you opened this one. Your text is kept below; "
            "compare it with what is saved now, then save again to make the next edition."
        )


def add_practical(
    *,
    by: User | None,
    text: str,
    now: datetime,
    edits: Practical | None = None,
    as_new: bool = False,
) -> Practical:
    """Read the text and keep it as an edition; a text that is already the newest edition adds nothing.

    `by` is None for the files that come with the program. `edits` is the edition that the person had
    before them; `as_new` says that the slug must not be taken yet. Raises `PracticalFileError` with every
    problem, or `NewerEdition`.
    """
    if by is not None and not by.has_perm("practicals.edit_practical"):
        raise PermissionDenied
    text = text.replace("\r\n", "\n")
    definition = read_practical(text)
    with transaction.atomic():
        editions = list(
            Practical.objects.select_for_update().filter(slug=definition.slug).order_by("-edition")
        )
        _check_slug(definition.slug, editions, edits, as_new=as_new)
        same = _same_text(text, editions, shipped=by is None)
        if same:
            return same
        if edits and editions[0].pk != edits.pk:
            raise NewerEdition(editions[0])
        edition = editions[0].edition + 1 if editions else 1
        practical = _keep(definition, text, edition, by, now)
        audit.record(
            by=by,
            action="add_practical",
            subject=practical,
            sentence=f"Added edition {edition} of the practical {definition.slug}.",
        )
    return practical


def _check_slug(slug: str, editions: list[Practical], edits: Practical | None, *, as_new: bool) -> None:
    if as_new and editions:
        problem = f'practical: the slug "{slug}" is taken. Choose another for the new practical.'
        raise PracticalFileError([problem])
    if edits and edits.slug != slug:
        problem = (
            f'practical: the slug must stay "{edits.slug}". To make another practical, start from a copy.'
        )
        raise PracticalFileError([problem])


def _same_text(text: str, editions: list[Practical], *, shipped: bool) -> Practical | None:
    """The edition that says the same. A shipped file, once read, never comes back over people's editions."""
    known = editions if shipped else editions[:1]
    return next((edition for edition in known if edition.text == text), None)


def _keep(
    definition: definitions.PracticalDefinition, text: str, edition: int, by: User | None, now: datetime
) -> Practical:
    recipes: dict[str, Recipe] = {}
    for recipe in recipes_in_order(definition):
        recipes[recipe.key] = _recipe(definition.slug, recipe, recipes)
    practical = Practical(
        slug=definition.slug,
        edition=edition,
        title=definition.title,
        summary=definition.summary,
        text=text,
        stationary_phase=definition.stationary_phase.description,
        support=definition.stationary_phase.support,
        paper_width_mm=definition.paper.width_mm,
        paper_height_mm=definition.paper.height_mm,
        origin_height_mm=definition.paper.origin_height_mm,
        ruler_division_mm=definition.paper.ruler_division_mm,
        expected_minutes=int(definition.run.expected_minutes.to_integral_value(ROUND_CEILING)),
        chamber_diameter_mm=definition.chamber.diameter_mm,
        chamber_depth_mm=definition.chamber.depth_mm,
        chambers_per_group=definition.chamber.per_group,
        mobile_phase=recipes[definition.mobile_phase],
        locating_agent=recipes.get(definition.locating_agent),
        steps=[{**asdict(step), "minutes": _whole_or_float(step.minutes)} for step in definition.steps],
        equipment=[asdict(line) for line in definition.equipment],
        hazards=[asdict(hazard) for hazard in definition.hazards],
        lane_plan=list(definition.lanes),
        added_by=by,
        added_at=now,
    )
    _save("practical", practical)
    for order, analyte in enumerate(definition.analytes, start=1):
        _analyte(practical, order, analyte, recipes.get(analyte.solution))
    return practical


def _whole_or_float(minutes: Decimal) -> int | float:
    return int(minutes) if minutes == minutes.to_integral_value() else float(minutes)


def _analyte(practical: Practical, order: int, analyte: definitions.Analyte, recipe: Recipe | None) -> None:
    kept = Analyte(
        practical=practical,
        order=order,
        key=analyte.key,
        name=analyte.name,
        role=analyte.role,
        recipe=recipe,
        colour=analyte.colour,
        contains=list(analyte.identity),
    )
    _save(f"analytes ({analyte.key})", kept)


def _recipe(slug: str, recipe: definitions.Recipe, made: dict[str, Recipe]) -> Recipe:
    """The newest edition of the recipe if it says the same, else the next one; `made` has its stocks."""
    name = f"{slug}-{recipe.key}"
    latest = Recipe.objects.filter(slug=name).prefetch_related("parts").order_by("-edition").first()
    hours = recipe.shelf_life_hours
    kept = Recipe(
        slug=name,
        edition=latest.edition + 1 if latest else 1,
        title=recipe.title,
        kind=recipe.kind,
        shelf_life_hours=None if hours is None else max(1, int(hours.to_integral_value(ROUND_FLOOR))),
        cautions=list(recipe.cautions),
        made_on_the_day=hours is not None and hours <= 24,
    )
    parts = [
        RecipePart(
            order=order,
            substance=part.substance or made[part.recipe].title[:80],
            made_from=made.get(part.recipe),
            amount=part.amount,
            basis=part.basis,
            note=recipe.order if order == 1 else "",
        )
        for order, part in enumerate(recipe.parts, start=1)
    ]
    if latest and _content(latest, list(latest.parts.all())) == _content(kept, parts):
        return latest
    _save(f"recipes ({recipe.key})", kept)
    for part in parts:
        part.recipe = kept
        _save(f"recipes ({recipe.key}), {part.substance}", part)
    return kept


def _content(recipe: Recipe, parts: list[RecipePart]) -> tuple[object, ...]:
    return (
        recipe.title,
        recipe.kind,
        recipe.shelf_life_hours,
        recipe.cautions,
        [(part.substance, part.made_from_id, part.amount, part.basis, part.note) for part in parts],
    )


def _save(where: str, record: models.Model) -> None:
    """Keep a record whose fields all fit; the columns are narrower than the file format allows."""
    try:
        record.clean_fields(exclude=UNCHECKED)
    except ValidationError as error:
        raise PracticalFileError(list(_sentences(where, error))) from error
    record.save()


def _sentences(where: str, error: ValidationError) -> Iterator[str]:
    for field, problems in error.message_dict.items():
        for problem in problems:
            yield f'{where}: "{field}" does not fit. {problem}'
