"""Who is in the demo. Every name is invented."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from practicals.actions.add_account import add_account
from practicals.actions.import_class import import_class
from practicals.actions.save_centre import save_centre
from practicals.calculations.class_list import Entry
from practicals.models import Role, TeachingClass, User

COLLEGE = "Quillmere College"
NOTICE = (
    "Quillmere College, its people and all readings here are invented to show the program; "
    "none of them exists."
)
PASSWORD = "paper and pencil 26"  # noqa: S105  (printed on purpose: the demo's people do not exist)

FIRST_CLASS = (
    "Abel Thorncroft", "Amina Woldale", "Bea Harrowgate-Finch", "Caspian Mould", "Dilys Everpenny",
    "Esra Quickfell", "Finlay Otterbourne-Hale", "Gwen Marlstone", "Hamza Brindlewood", "Imogen Pask",
    "Jory Tallowby", "Kezia Underhay", "Lorcan Vey", "Mina Ashwhistle", "Nuri Copplestow",
    "Orla Rimmerdale",
)  # fmt: skip
SECOND_CLASS = (
    "Ada Fennimoor", "Bilal Crossthorn", "Cerys Dunnaby", "Dario Eastmarch", "Elif Fallowfen",
    "Fergus Gableby", "Greta Hollinrise", "Hugo Inkpenny", "Isla Jesmarton", "Jamal Kettlewick",
    "Kit Larkenby", "Leila Mossgrave", "Milo Netherquill", "Nia Oxbarrow", "Omar Pellinshaw",
    "Priya Quarrington-Dew", "Quentin Rushmallow", "Rosa Sedgewhistle", "Sami Tarnbeck",
    "Tilly Umberlow", "Uma Venncote", "Viktor Wrenfold", "Wanda Yarrowick", "Zain Zealbridge",
)  # fmt: skip


@dataclass(frozen=True)
class Cast:
    administrator: User
    teacher: User
    second_teacher: User
    technician: User
    verifier: User
    lead_verifier: User
    cover: User
    first_class: TeachingClass
    second_class: TeachingClass


def gather(*, now: datetime, base_address: str) -> Cast:
    """Make the centre, its staff and two classes of 16 and 24."""
    save_centre(
        by=None,
        name=COLLEGE,
        time_zone="Europe/London",
        region="ENG-WLS",
        base_address=base_address,
        invented_notice=NOTICE,
        now=now,
    )
    administrator = _staff(None, "admin", "Perpetua Lodge", [Role.ADMINISTRATOR], now)
    staff = {
        key: _staff(administrator, key, name, roles, now)
        for key, name, roles in (
            ("teacher", "Marit Sandhollow", [Role.TEACHER]),
            ("teacher2", "Idris Bellwether-Croft", [Role.TEACHER, Role.VERIFIER]),
            ("technician", "Toby Glasspool", [Role.TECHNICIAN]),
            ("verifier", "Nell Oakhanger", [Role.VERIFIER]),
            ("lead", "Rafe Dunmallow", [Role.LEAD_VERIFIER]),
            ("cover", "Sunniva Pike", [Role.LESSON_ONLY]),
        )
    }
    teachers = [staff["teacher"], staff["teacher2"]]
    return Cast(
        administrator=administrator,
        teacher=staff["teacher"],
        second_teacher=staff["teacher2"],
        technician=staff["technician"],
        verifier=staff["verifier"],
        lead_verifier=staff["lead"],
        cover=staff["cover"],
        first_class=_class("Applied Science 1A", "amber27", FIRST_CLASS, "A", teachers, administrator, now),
        second_class=_class(
            "Applied Science 1B", "willow41", SECOND_CLASS, "B", teachers, administrator, now
        ),
    )


def _staff(by: User | None, username: str, name: str, roles: Sequence[str], now: datetime) -> User:
    return add_account(
        by=by,
        username=username,
        name=name,
        sort_name=_sort_name(name),
        roles=[str(role) for role in roles],
        password=PASSWORD,
        now=now,
    )


def _class(
    name: str,
    word: str,
    learners: tuple[str, ...],
    letter: str,
    teachers: list[User],
    by: User,
    now: datetime,
) -> TeachingClass:
    rows = [
        Entry(row=row, name=learner, sort_name=_sort_name(learner), reference=f"Q26{letter}{row:03}")
        for row, learner in enumerate(learners, start=1)
    ]
    return import_class(by=by, name=name, class_word=word, rows=rows, teachers=teachers, now=now)


def _sort_name(name: str) -> str:
    first, _, last = name.partition(" ")
    return f"{last}, {first}"
