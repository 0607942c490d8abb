"""Between choosing a class list and taking it in: what would happen, kept in the page and nowhere else."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.core import signing

from practicals.access import readable_classes
from practicals.actions.import_class import check_class, check_class_list
from practicals.calculations.class_list import Comparison, Entry, Fault, read_class_list
from practicals.models import TeachingClass, User
from practicals.pages.people.class_file import read_table
from practicals.pages.people.lists import possible_teachers

VALID_S = 60 * 60


class PreviewLost(ValueError):
    """The preview that came back is too old or not ours."""


@dataclass(frozen=True, slots=True)
class Preview:
    teaching_class: TeachingClass | None
    name: str
    class_word: str
    teachers: tuple[User, ...]
    entries: tuple[Entry, ...]
    compared: Comparison
    faults: tuple[Fault, ...]
    used: tuple[str, ...]
    dropped: tuple[str, ...]

    @property
    def title(self) -> str:
        return self.teaching_class.name if self.teaching_class else self.name

    @property
    def lines(self) -> list[tuple[Entry, str]]:
        """Each learner in the order of the file, and what becomes of the row."""
        fates = {entry.row: "new" for entry in self.compared.new}
        fates |= {entry.row: "known to the centre" for entry in self.compared.elsewhere}
        fates |= {entry.row: "in the class already" for entry in self.compared.already}
        return [(entry, fates.get(entry.row, "")) for entry in self.entries]

    @property
    def joining(self) -> int:
        return len(self.compared.new) + len(self.compared.elsewhere)


def take_in(user: User, asked: dict[str, Any]) -> Preview:
    """Read the file and hold it against class and centre; nothing is changed."""
    into: TeachingClass | None = asked["into"]
    check_class(by=user, name=asked["name"], class_word=asked["class_word"], teaching_class=into)
    read = read_class_list(read_table(asked["file"].read()))
    compared = check_class_list(teaching_class=into, rows=read.entries)
    return Preview(
        teaching_class=into,
        name=asked["name"],
        class_word=asked["class_word"],
        teachers=tuple(asked.get("teachers") or ([] if into else _own(user))),
        entries=read.entries,
        compared=compared,
        faults=tuple(_in_order(read.faults, compared.faults)),
        used=read.used,
        dropped=read.dropped,
    )


def sealed(user: User, preview: Preview) -> str:
    """The rows as signed text for a hidden field, so that no file needs to be kept."""
    return signing.dumps(
        {
            "into": str(preview.teaching_class.uuid) if preview.teaching_class else "",
            "name": preview.name,
            "word": preview.class_word,
            "teachers": [str(teacher.uuid) for teacher in preview.teachers],
            "rows": [[one.row, one.name, one.sort_name, one.reference] for one in preview.entries],
        },
        salt=_salt(user),
        compress=True,
    )


def opened(user: User, text: str) -> dict[str, Any]:
    """What `import_class` needs, from the hidden field."""
    try:
        kept = signing.loads(text, salt=_salt(user), max_age=VALID_S)
    except signing.BadSignature as error:
        raise PreviewLost("The preview is older than an hour. Choose the file again.") from error
    into = None
    if kept["into"]:
        into = readable_classes(user).filter(uuid=kept["into"]).first()
        if into is None:
            raise PreviewLost("You do not teach this class any more, so nothing was taken in.")
    return {
        "teaching_class": into,
        "name": kept["name"],
        "class_word": kept["word"],
        "teachers": list(possible_teachers().filter(uuid__in=kept["teachers"])),
        "rows": [Entry(*row) for row in kept["rows"]],
    }


def _own(user: User) -> Sequence[User]:
    return [user] if user.holds("teacher") else []


def _in_order(*faults: Sequence[Fault]) -> list[Fault]:
    return sorted({fault for some in faults for fault in some}, key=lambda fault: (fault.row, fault.sentence))


def _salt(user: User) -> str:
    return f"class list|{user.token}"
