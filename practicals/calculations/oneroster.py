"""Rosters in the CSV binding of the open standard OneRoster, versions 1.2 and 1.1: read, checked, never half.

Only what a class list needs is taken. Passwords, addresses, phone numbers and demographics are not read.
"""

import csv
import io
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

MANIFEST = "manifest.csv"
VERSIONS = ("1.2", "1.1")
MOST_ROWS = 20_000
LONGEST_NAME = 120
LONGEST_NUMBER = 40

_LIFE = ("sourcedId", "status", "dateLastModified")
#: Columns in the order of the standard. 1.1 keeps roles and organisations of people in users.csv.
HEADERS: dict[str, tuple[str, ...]] = {
    "orgs": (*_LIFE, "name", "type", "identifier", "parentSourcedId"),
    "academicSessions": (*_LIFE, "title", "type", "startDate", "endDate", "parentSourcedId", "schoolYear"),
    "courses": (
        *_LIFE, "schoolYearSourcedId", "title", "courseCode", "grades", "orgSourcedId", "subjects",
        "subjectCodes",
    ),
    "classes": (
        *_LIFE, "title", "grades", "courseSourcedId", "classCode", "classType", "location",
        "schoolSourcedId", "termSourcedIds", "subjects", "subjectCodes", "periods",
    ),
    "users": (
        *_LIFE, "enabledUser", "username", "userIds", "givenName", "familyName", "middleName", "identifier",
        "email", "sms", "phone", "agentSourcedIds", "grades", "password", "userMasterIdentifier",
        "preferredGivenName", "preferredMiddleName", "preferredFamilyName", "primaryOrgSourcedId", "pronouns",
    ),
    "roles": (
        *_LIFE, "userSourcedId", "roleType", "role", "beginDate", "endDate", "orgSourcedId",
        "userProfileSourcedId",
    ),
    "enrollments": (
        *_LIFE, "classSourcedId", "schoolSourcedId", "userSourcedId", "role", "primary", "beginDate",
        "endDate",
    ),
}  # fmt: skip
USERS_1_1 = (
    *_LIFE, "enabledUser", "orgSourcedIds", "role", "username", "userIds", "givenName", "familyName",
    "middleName", "identifier", "email", "sms", "phone", "agentSourcedIds", "grades", "password",
)  # fmt: skip
#: The only columns that are looked at; what stands in the others is not kept even for a moment.
READ = {
    "orgs": ("sourcedId", "status", "name", "type"),
    "academicSessions": ("sourcedId", "status", "title", "startDate", "endDate"),
    "courses": ("sourcedId", "status", "title"),
    "classes": ("sourcedId", "status", "title", "schoolSourcedId", "termSourcedIds"),
    "users": (
        "sourcedId", "status", "enabledUser", "username", "givenName", "familyName", "identifier",
        "preferredGivenName", "preferredFamilyName", "role",
    ),
    "roles": ("sourcedId", "status", "userSourcedId", "role"),
    "enrollments": ("sourcedId", "status", "classSourcedId", "userSourcedId", "role"),
}  # fmt: skip


class NotARoster(ValueError):
    """The files are no roster that can be read; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class RosterFault:
    """What is wrong in one row of one file; rows are counted from 1, the headings being row 1."""

    file: str
    row: int
    sentence: str


@dataclass(frozen=True, slots=True)
class RosterPerson:
    """A person as a class list needs them. `number` is the centre's own, or the standard's identity."""

    sourced_id: str
    name: str
    sort_name: str
    number: str
    username: str
    row: int


@dataclass(frozen=True, slots=True)
class RosterClass:
    sourced_id: str
    title: str
    school: str
    terms: tuple[str, ...]
    learners: tuple[RosterPerson, ...]
    teachers: tuple[RosterPerson, ...]


@dataclass(frozen=True, slots=True)
class RosterTerm:
    sourced_id: str
    title: str
    starts: date
    ends: date


@dataclass(frozen=True, slots=True)
class Roster:
    """What was read; with `faults` nothing may be taken in."""

    version: str
    classes: tuple[RosterClass, ...]
    terms: tuple[RosterTerm, ...]
    schools: Mapping[str, str]
    faults: tuple[RosterFault, ...]
    left_out: tuple[str, ...] = ()


@dataclass
class _Reading:
    """Rows by file while they are checked."""

    rows: dict[str, list[tuple[int, dict[str, str]]]] = field(default_factory=dict)
    faults: list[RosterFault] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)

    def fault(self, file: str, row: int, sentence: str) -> None:
        self.faults.append(RosterFault(f"{file}.csv", row, sentence))


def read_roster(files: Mapping[str, str]) -> Roster:
    """Read the files of one roster.

    Parameters
    ----------
    files : mapping of str to str
        Text of each file by its name at the root of the archive, such as ``users.csv`` [-].

    Returns
    -------
    Roster
        Classes with their people, and what is wrong row by row.

    Raises
    ------
    NotARoster
        Without a manifest, in another version, without a file that is needed, or with columns that are not
        the standard's in the standard's order.

    References
    ----------
    OneRoster 1.2, CSV binding 1.2.1 (1EdTech): names and order of the columns; version 1.1's users.csv from
    memory.
    """
    version, modes = _manifest(files)
    reading = _Reading()
    needed = [name for name in HEADERS if name != "roles" or version == "1.2"]
    for name in needed:
        mode = modes.get(name, "absent")
        if mode == "absent" or f"{name}.csv" not in files:
            raise NotARoster(f"{name}.csv is missing or said to be absent. Export it with the others.")
        headers = USERS_1_1 if name == "users" and version == "1.1" else HEADERS[name]
        reading.rows[name] = list(_rows(name, files[f"{name}.csv"], headers, mode, reading))
    known = {f"{name}.csv" for name in HEADERS} | {MANIFEST}
    reading.left_out += [f"{name} was not read." for name in sorted(set(files) - known)]
    return _roster(version, reading)


def _manifest(files: Mapping[str, str]) -> tuple[str, dict[str, str]]:
    if MANIFEST not in files:
        raise NotARoster("There is no manifest.csv at the root of the archive. Choose the whole export.")
    rows = list(csv.reader(io.StringIO(files[MANIFEST])))
    if not rows or [cell.strip() for cell in rows[0]] != ["propertyName", "value"]:
        raise NotARoster("manifest.csv does not begin with propertyName,value. Choose the whole export.")
    told = {row[0].strip(): row[1].strip() for row in rows[1:] if len(row) >= 2}
    version = told.get("oneroster.version", "")
    if version not in VERSIONS:
        said = f"“{version[:20]}”" if version else "no version"
        raise NotARoster(f"The manifest says {said}; versions {' and '.join(VERSIONS)} can be read.")
    return version, {
        name.removeprefix("file."): value.lower() for name, value in told.items() if name.startswith("file.")
    }


def _rows(
    name: str, text: str, headers: tuple[str, ...], mode: str, reading: _Reading
) -> Iterator[tuple[int, dict[str, str]]]:
    lines = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        found = [cell.strip() for cell in next(lines, [])]
        _check_headings(name, found, headers)
        places = {column: found.index(column) for column in READ[name] if column in found}
        seen: Counter[str] = Counter()
        for row, cells in enumerate(lines, start=2):
            if row > MOST_ROWS:
                raise NotARoster(f"{name}.csv has more than {MOST_ROWS} rows. Export fewer classes at once.")
            if not any(cell.strip() for cell in cells):
                continue
            kept = {
                column: cells[place].strip() if place < len(cells) else "" for column, place in places.items()
            }
            if _usable(name, row, kept, mode, seen, reading):
                yield row, kept
    except csv.Error as error:
        raise NotARoster(f"{name}.csv, line {lines.line_num}: its quotation marks do not pair.") from error


def _check_headings(name: str, found: list[str], headers: tuple[str, ...]) -> None:
    own = [cell for cell in found if not cell.startswith("metadata.")]
    if own == list(headers):
        return
    for place, wanted in enumerate(headers):
        got = own[place] if place < len(own) else ""
        if got != wanted:
            said = f"“{got[:40]}”" if got else "nothing"
            raise NotARoster(
                f"Column {place + 1} of {name}.csv should be “{wanted}”, but is {said}. "
                "The standard fixes the names and their order; export it again."
            )
    raise NotARoster(f"{name}.csv has columns that the standard does not know, such as “{own[-1][:40]}”.")


def _usable(
    name: str, row: int, kept: dict[str, str], mode: str, seen: Counter[str], reading: _Reading
) -> bool:
    sourced_id, status = kept.get("sourcedId", ""), kept.get("status", "")
    if not sourced_id or len(sourced_id) > 200:
        reading.fault(name, row, "The sourcedId is missing or too long.")
        return False
    seen[sourced_id] += 1
    if seen[sourced_id] > 1:
        reading.fault(name, row, f"The sourcedId {sourced_id[:40]} stands in an earlier row too.")
        return False
    if mode == "delta" and status == "tobedeleted":
        reading.left_out.append(f"{name}.csv, row {row}: to be deleted there, left as it is here.")
        return False
    if mode == "delta" and status != "active":
        reading.fault(name, row, f"The status of a change is active or tobedeleted, not “{status[:20]}”.")
        return False
    if mode == "bulk" and status:
        reading.fault(name, row, "In a bulk file the status stays empty.")
        return False
    return True


def _roster(version: str, reading: _Reading) -> Roster:
    people = _people(reading)
    roles = _roles(version, reading, people)
    schools = {row["sourcedId"]: row["name"] for _, row in reading.rows["orgs"]}
    terms = tuple(_terms(reading))
    members = _members(reading, people, roles)
    classes = tuple(_classes(reading, members, schools, {term.sourced_id for term in terms}))
    return Roster(
        version=version,
        classes=classes,
        terms=terms,
        schools=schools,
        faults=tuple(sorted(set(reading.faults), key=lambda one: (one.file, one.row, one.sentence))),
        left_out=tuple(reading.left_out),
    )


def _people(reading: _Reading) -> dict[str, RosterPerson]:
    found = {}
    for row, user in reading.rows["users"]:
        first = user.get("preferredGivenName") or user["givenName"]
        last = user.get("preferredFamilyName") or user["familyName"]
        name, sort_name = f"{first} {last}".strip(), ", ".join(part for part in (last, first) if part)
        number = user["identifier"] or user["sourcedId"]
        if not any(letter.isalpha() for letter in name):
            reading.fault("users", row, "The name is missing.")
        elif max(len(name), len(sort_name)) > LONGEST_NAME:
            reading.fault("users", row, f"The name is longer than {LONGEST_NAME} letters.")
        elif len(number) > LONGEST_NUMBER:
            reading.fault("users", row, f"The identifier is longer than {LONGEST_NUMBER} signs.")
        elif user["enabledUser"].lower() not in {"true", "false"}:
            reading.fault("users", row, "enabledUser is true or false.")
        elif user["enabledUser"].lower() == "true":
            found[user["sourcedId"]] = RosterPerson(
                user["sourcedId"], name, sort_name, number, user["username"], row
            )
    return found


def _roles(version: str, reading: _Reading, people: Mapping[str, RosterPerson]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    if version == "1.1":
        for _, user in reading.rows["users"]:
            found.setdefault(user["sourcedId"], set()).add(user["role"].lower())
        return found
    known = {user["sourcedId"] for _, user in reading.rows["users"]}
    for row, role in reading.rows["roles"]:
        if role["userSourcedId"] not in known:
            reading.fault("roles", row, f"No user {role['userSourcedId'][:40]} stands in users.csv.")
        else:
            found.setdefault(role["userSourcedId"], set()).add(role["role"].lower())
    return found


def _terms(reading: _Reading) -> Iterator[RosterTerm]:
    for row, term in reading.rows["academicSessions"]:
        try:
            starts, ends = date.fromisoformat(term["startDate"]), date.fromisoformat(term["endDate"])
        except ValueError:
            reading.fault("academicSessions", row, "The dates are written as 2026-09-01.")
            continue
        yield RosterTerm(term["sourcedId"], term["title"], starts, ends)


def _members(
    reading: _Reading, people: Mapping[str, RosterPerson], roles: Mapping[str, set[str]]
) -> dict[str, dict[str, list[RosterPerson]]]:
    known = {user["sourcedId"] for _, user in reading.rows["users"]}
    classes = {row["sourcedId"] for _, row in reading.rows["classes"]}
    found: dict[str, dict[str, list[RosterPerson]]] = {}
    for row, one in reading.rows["enrollments"]:
        role = one["role"].lower()
        if one["classSourcedId"] not in classes:
            reading.fault("enrollments", row, f"No class {one['classSourcedId'][:40]} stands in classes.csv.")
        elif one["userSourcedId"] not in known:
            reading.fault("enrollments", row, f"No user {one['userSourcedId'][:40]} stands in users.csv.")
        elif role not in {"student", "teacher"}:
            reading.left_out.append(
                f"enrollments.csv, row {row}: “{role[:20]}” is neither student nor teacher."
            )
        elif role not in roles.get(one["userSourcedId"], set()):
            reading.fault("enrollments", row, f"This person has no role “{role}”.")
        elif one["userSourcedId"] in people:
            place = found.setdefault(one["classSourcedId"], {"student": [], "teacher": []})[role]
            if people[one["userSourcedId"]] not in place:
                place.append(people[one["userSourcedId"]])
    return found


def _classes(
    reading: _Reading,
    members: Mapping[str, Mapping[str, Iterable[RosterPerson]]],
    schools: Mapping[str, str],
    terms: set[str],
) -> Iterator[RosterClass]:
    titles: Counter[str] = Counter()
    for row, one in reading.rows["classes"]:
        titles[one["title"].casefold()] += 1
        own_terms = tuple(part.strip() for part in one["termSourcedIds"].split(",") if part.strip())
        if not one["title"] or len(one["title"]) > 80:
            reading.fault("classes", row, "A class needs a title of at most 80 letters.")
        elif titles[one["title"].casefold()] > 1:
            reading.fault("classes", row, f"Another class is named “{one['title']}” too.")
        elif one["schoolSourcedId"] not in schools:
            reading.fault("classes", row, "Its school does not stand in orgs.csv.")
        elif not set(own_terms) <= terms:
            reading.fault("classes", row, "One of its terms does not stand in academicSessions.csv.")
        else:
            inside = members.get(one["sourcedId"], {"student": (), "teacher": ()})
            yield RosterClass(
                one["sourcedId"],
                one["title"],
                one["schoolSourcedId"],
                own_terms,
                tuple(inside["student"]),
                tuple(inside["teacher"]),
            )
