"""The coded unknowns of a session: which code holds what, which group has which, what learners may read."""

from collections import defaultdict
from dataclasses import dataclass

from django.db import models
from django.db.models import Count, OuterRef, Q, Subquery

from practicals.calculations.unknown_sets import draw_sets
from practicals.models.paper import Lane, shown_key, shown_name
from practicals.models.practical import Analyte, Practical
from practicals.models.session import Session


class UnknownCode(models.Model):
    """What an unknown is called in one session, so that one class's answer helps no other class."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="unknown_codes")
    analyte = models.ForeignKey(Analyte, on_delete=models.PROTECT, related_name="+")
    code = models.CharField(max_length=8)

    class Meta:
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(fields=["session", "code"], name="unknown_code_once_a_session"),
            models.UniqueConstraint(fields=["session", "analyte"], name="unknown_coded_once_a_session"),
            models.CheckConstraint(condition=~Q(code=""), name="unknown_code_not_empty"),
        ]

    def __str__(self) -> str:
        return self.code


@dataclass(frozen=True, slots=True)
class Shown:
    """An analyte as everybody may read it."""

    analyte: Analyte
    name: str
    key: str


@dataclass(frozen=True, slots=True)
class Pool:
    """What a session's unknowns are drawn from, and how many different ones a group gets."""

    unknowns: dict[str, Analyte]
    places: tuple[str, ...]

    @property
    def each(self) -> int:
        return len(self.places)

    @property
    def has_choice(self) -> bool:
        return 0 < self.each < len(self.unknowns)


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One code: what it holds, and the groups that have it. For staff."""

    code: str
    analyte: Analyte
    contents: tuple[str, ...]
    groups: tuple[int, ...]


def pool_of(practical: Practical) -> Pool:
    """The unknowns that can be applied, and the lane plan's places for them, a place twice counted once."""
    analytes = {analyte.key: analyte for analyte in practical.analytes.select_related("recipe")}
    planned = dict.fromkeys(key for key in practical.lane_plan if analytes[key].role == Analyte.Role.UNKNOWN)
    unknowns = {
        key: analyte
        for key, analyte in analytes.items()
        if analyte.role == Analyte.Role.UNKNOWN and (analyte.recipe_id is not None or key in planned)
    }
    return Pool(unknowns, tuple(planned))


def sets_drawn(session: Session, pool: Pool, groups: int) -> tuple[tuple[str, ...], ...]:
    """For each group the keys of its unknowns, as the session's recorded seed draws them."""
    if session.unknowns_seed is None:
        return (pool.places,) * groups
    same = session.unknowns == Session.Unknowns.SAME
    drawn = draw_sets(list(pool.unknowns), pool.each, 1 if same else groups, session.unknowns_seed)
    return drawn * groups if same else drawn


def codes_of(session: Session) -> dict[int, str]:
    """Code by the analyte's record key; empty for a session planned before there were any."""
    return dict(UnknownCode.objects.filter(session=session).values_list("analyte_id", "code"))


def groups_using(session: Session) -> dict[int, int]:
    """How many groups have a lane of each unknown, by the analyte's record key."""
    lanes = Lane.objects.filter(paper__group__session=session, analyte__role=Analyte.Role.UNKNOWN)
    counted = lanes.values("analyte_id").annotate(groups=Count("paper__group", distinct=True))
    return {row["analyte_id"]: row["groups"] for row in counted.order_by()}


def analytes_shown(session: Session) -> list[Shown]:
    """Standards in their order, then the unknowns that a lane holds, by code, which gives no order away."""
    lanes = Lane.objects.filter(paper__group__session=session, analyte=OuterRef("pk"))
    here = session.practical.analytes.annotate(code=Subquery(lanes.order_by().values("code")[:1]))
    found = [
        Shown(analyte, shown_name(analyte, analyte.code or ""), shown_key(analyte, analyte.code or ""))
        for analyte in here
        if analyte.role == Analyte.Role.STANDARD or analyte.code is not None
    ]
    return sorted(found, key=lambda one: ("", one.name)[bool(one.analyte.code)])  # type: ignore[attr-defined]


def key_of(session: Session) -> list[KeyRow]:
    """The key, in the order of the codes: each unknown that a group has, what it holds and who has it."""
    lanes = Lane.objects.filter(paper__group__session=session, analyte__role=Analyte.Role.UNKNOWN)
    having: dict[int, set[int]] = defaultdict(set)
    for analyte, group in lanes.values_list("analyte_id", "paper__group__number"):
        having[analyte].add(group)
    codes = codes_of(session)
    analytes = list(session.practical.analytes.all())
    names = {analyte.key: analyte.name for analyte in analytes}
    rows = [
        KeyRow(
            codes.get(analyte.pk, analyte.name),
            analyte,
            tuple(names.get(key, key) for key in analyte.contains),
            tuple(sorted(having[analyte.pk])),
        )
        for analyte in analytes
        if analyte.pk in having
    ]
    return sorted(rows, key=lambda row: row.code)


def sets_of(session: Session) -> dict[int, tuple[str, ...]]:
    """For each group's number the keys of its unknowns, in the order of the lanes of its first paper."""
    lanes = Lane.objects.filter(paper__group__session=session, analyte__role=Analyte.Role.UNKNOWN)
    found: dict[int, dict[str, None]] = defaultdict(dict)
    for group, key in lanes.order_by("paper__group__number", "paper__letter", "number").values_list(
        "paper__group__number", "analyte__key"
    ):
        found[group][key] = None
    return {group: tuple(keys) for group, keys in found.items()}


@dataclass(frozen=True, slots=True)
class UnknownsPage:
    """The key and what it was drawn from. `unsent` says that the technician was asked for something else."""

    pool: Pool
    rows: list[KeyRow]
    sets: dict[int, tuple[str, ...]]
    contents: dict[str, str]
    by_group: list[tuple[int, tuple[str, ...]]]
    unsent: bool


def unknowns_page(session: Session) -> UnknownsPage:
    """Everything on the teacher's page, in a fixed number of queries."""
    pool, rows, sets = pool_of(session.practical), key_of(session), sets_of(session)
    codes = {row.analyte.key: row.code for row in rows}
    names = dict(session.practical.analytes.values_list("key", "name"))
    contents = {
        key: f"{analyte.name}: {', '.join(names.get(one, one) for one in analyte.contains)}"
        for key, analyte in pool.unknowns.items()
    }
    by_group = [(group, tuple(codes[key] for key in keys)) for group, keys in sets.items()]
    return UnknownsPage(
        pool, rows, sets, contents, by_group, bool(session.unknowns) and _unsent(session, rows)
    )


def _unsent(session: Session, rows: list[KeyRow]) -> bool:
    if session.requisition is None:
        return False
    asked = set(session.requisition.lines.exclude(label_code="").values_list("label_code", "recipe_id"))
    return asked != {(row.code, row.analyte.recipe_id) for row in rows if row.analyte.recipe_id}
