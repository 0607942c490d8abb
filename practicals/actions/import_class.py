"""Take a class list into the centre: all of it or nothing."""

import re
import secrets
from collections.abc import Collection, Sequence
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from practicals.access import readable_classes
from practicals.audit import record
from practicals.calculations.class_list import Comparison, Entry, Fault, Known, compare, sign_in_stem
from practicals.models import Enrolment, Role, RoleGrant, TeachingClass, User

#: Words that are told from each other when called across a lab; two digits make them one class's own.
WORDS = (
    "acorn", "amber", "aspen", "basalt", "birch", "clover", "comet", "copper", "coral", "ember", "fern",
    "flint", "garnet", "harbour", "hazel", "heron", "indigo", "juniper", "kestrel", "lantern", "linden",
    "marble", "meadow", "mistral", "nutmeg", "opal", "orchid", "otter", "pebble", "plover", "poplar",
    "quartz", "saffron", "sorrel", "thistle", "topaz", "velvet", "walnut", "willow", "zephyr",
)  # fmt: skip
_CLASS_WORD = re.compile(r"[a-z0-9]{4,30}\Z")


class ClassListRefused(ValueError):
    """Some rows cannot be taken, so none was; `faults` says which and why."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        first = " ".join(fault.sentence for fault in faults[:3])
        super().__init__(f"Nothing was taken from the list: {first}")


class CannotImport(ValueError):
    """The class itself cannot be made or added to; the message says why."""

    def __init__(self, field: str, why: str) -> None:
        self.field = field
        super().__init__(why)


def import_class(
    *,
    by: User | None,
    name: str = "",
    class_word: str = "",
    rows: Sequence[Entry],
    teachers: Collection[User] = (),
    teaching_class: TeachingClass | None = None,
    now: datetime,
) -> TeachingClass:
    """Make a class of the list, or add the list to `teaching_class`.

    Somebody whose learner number the centre knows is enrolled; everybody else becomes a new learner. An
    empty class word is drawn. `by` is None only for the program itself.
    """
    check_class(by=by, name=name, class_word=class_word, teaching_class=teaching_class)
    with transaction.atomic():
        compared = check_class_list(teaching_class=teaching_class, rows=rows)
        if compared.faults:
            raise ClassListRefused(compared.faults)
        if not compared.new and not compared.elsewhere:
            raise CannotImport("", "Everybody in this list is in the class already: there is nothing to do.")
        target = teaching_class or _new_class(name.strip(), class_word.strip().casefold() or _drawn_word())
        target.teachers.add(*teachers)
        people = _enrolled(target, compared, now)
        record(
            by=by,
            action="import_class",
            subject=target,
            sentence=f"A class list was taken in: {len(people)} joined, {len(compared.new)} of them new.",
            detail={"learners": [str(person.token) for person in people]},
        )
    return target


def check_class(*, by: User | None, name: str, class_word: str, teaching_class: TeachingClass | None) -> None:
    """Refuse a class that cannot be made or that this person may not add to. Changes nothing."""
    if by is not None and not by.has_perm("practicals.import_class"):
        raise PermissionDenied
    if teaching_class is not None:
        if by is not None and not readable_classes(by).filter(pk=teaching_class.pk).exists():
            raise PermissionDenied
        return
    name, word = name.strip(), class_word.strip().casefold()
    if not name or len(name) > 80:
        raise CannotImport("name", "Give the new class a name of at most 80 letters, such as 12B Chemistry.")
    if TeachingClass.objects.filter(name__iexact=name).exists():
        raise CannotImport("name", f"There is a class named {name} already. Choose it, or give another name.")
    if word and not _CLASS_WORD.match(word):
        why = "A class word has 4 to 30 letters a to z and digits, without spaces, such as willow27."
        raise CannotImport("class_word", why)
    if word and TeachingClass.objects.filter(class_word__iexact=word).exists():
        raise CannotImport("class_word", f"Another class has the word {word}. Choose another one.")


def check_class_list(*, teaching_class: TeachingClass | None, rows: Sequence[Entry]) -> Comparison:
    """Hold the list against the class and the centre. Changes nothing."""
    numbers = {entry.reference.casefold() for entry in rows if entry.reference}
    in_class = teaching_class.learners().values_list("name", "reference") if teaching_class else ()
    with_number = User.objects.exclude(reference="").filter(is_active=True, grants__role=Role.LEARNER)
    known = (Known(*pair) for pair in with_number.values_list("name", "reference"))
    return compare(
        rows,
        in_class=[Known(*pair) for pair in in_class],
        in_centre={one.reference.casefold(): one for one in known if one.reference.casefold() in numbers},
    )


def _enrolled(target: TeachingClass, compared: Comparison, now: datetime) -> list[User]:
    try:
        with transaction.atomic():
            people = [*_new_learners(compared.new), *_by_number(compared.elsewhere)]
            Enrolment.objects.bulk_create(
                Enrolment(teaching_class=target, learner=person, joined_at=now) for person in people
            )
    except IntegrityError as error:
        # Two lists at once may draw one sign-in name, or enrol one learner.
        why = "Somebody took in another list at this moment. Nothing was taken in; send yours again."
        raise CannotImport("", why) from error
    return people


def _new_class(name: str, class_word: str) -> TeachingClass:
    try:
        with transaction.atomic():
            return TeachingClass.objects.create(name=name, class_word=class_word)
    except IntegrityError as error:
        why = "Somebody made a class with this name or word just now. Choose another one."
        raise CannotImport("name", why) from error


def _drawn_word() -> str:
    taken = set(TeachingClass.objects.values_list("class_word", flat=True))
    free = [f"{word}{number}" for word in WORDS for number in range(10, 100)]
    return secrets.choice([word for word in free if word not in taken])


def _new_learners(entries: Sequence[Entry]) -> list[User]:
    names = _free_sign_in_names([sign_in_stem(entry.name) for entry in entries])
    people = [
        User(username=username, name=entry.name, sort_name=entry.sort_name, reference=entry.reference)
        for username, entry in zip(names, entries, strict=True)
    ]
    for person in people:
        person.set_unusable_password()
    made = User.objects.bulk_create(people)
    RoleGrant.objects.bulk_create(RoleGrant(user=person, role=Role.LEARNER) for person in made)
    return made


def _free_sign_in_names(stems: Sequence[str]) -> list[str]:
    """Short sign-in names: the first name and a drawn number of two digits, or more where those are taken."""
    taken = {name.lower() for name in User.objects.values_list("username", flat=True)}
    names = []
    for stem in stems:
        digits = 2
        while True:
            first = 10 ** (digits - 1)
            free = [n for n in range(first, 10 * first) if f"{stem}{n}" not in taken]
            if free:
                break
            digits += 1
        names.append(f"{stem}{secrets.choice(free)}")
        taken.add(names[-1])
    return names


def _by_number(entries: Sequence[Entry]) -> list[User]:
    numbers = {entry.reference.casefold() for entry in entries}
    if not numbers:
        return []
    with_number = User.objects.exclude(reference="").filter(is_active=True, grants__role=Role.LEARNER)
    return [person for person in with_number if person.reference.casefold() in numbers]
