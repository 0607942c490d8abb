"""Rosters by OneRoster 1.2, CSV binding 1.2.1 (1EdTech): headings and lifecycle as the standard has them."""

import pytest

from practicals.calculations.oneroster import HEADERS, USERS_1_1, NotARoster, read_roster

# The standard's headings, typed here once more from its tables and not taken from our module.
ENROLLMENTS = (
    "sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,userSourcedId,role,primary,"
    "beginDate,endDate"
)
USERS = (
    "sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName,middleName,identifier,"
    "email,sms,phone,agentSourcedIds,grades,password,userMasterIdentifier,preferredGivenName,"
    "preferredMiddleName,preferredFamilyName,primaryOrgSourcedId,pronouns"
)
ROLES = (
    "sourcedId,status,dateLastModified,userSourcedId,roleType,role,beginDate,endDate,orgSourcedId,"
    "userProfileSourcedId"
)
ORGS = "sourcedId,status,dateLastModified,name,type,identifier,parentSourcedId"
TERMS = "sourcedId,status,dateLastModified,title,type,startDate,endDate,parentSourcedId,schoolYear"
COURSES = (
    "sourcedId,status,dateLastModified,schoolYearSourcedId,title,courseCode,grades,orgSourcedId,subjects,"
    "subjectCodes"
)
CLASSES = (
    "sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,"
    "schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods"
)


def files(**changes):
    """A small invented roster: one class, two learners, one teacher."""
    made: dict[str, str | None] = {
        "manifest": "propertyName,value\nmanifest.version,1.0\noneroster.version,1.2\n"
        + "".join(
            f"file.{name},bulk\n"
            for name in ("orgs", "academicSessions", "courses", "classes", "users", "roles", "enrollments")
        ),
        "orgs": f"{ORGS}\ns1,,,Quillmere College,school,,\n",
        "academicSessions": f"{TERMS}\nt1,,,Autumn,term,2026-09-01,2026-12-18,,2027\n",
        "courses": f"{COURSES}\nc1,,,,Applied science,,,s1,,\n",
        "classes": f"{CLASSES}\nk1,,,12B Chemistry,,c1,,scheduled,,s1,t1,,,\n",
        "users": f"{USERS}\n"
        "u1,,,true,,,Alexandra,Ash,,L001,a@b.example,,,,,secret-1,,Alex,,,s1,\n"
        "u2,,,true,,,Ben,Birch,,,,,,,,secret-2,,,,,s1,\n"
        "u3,,,true,teacher,,Tess,Teal,,,,,,,,secret-3,,,,,s1,\n",
        "roles": f"{ROLES}\nr1,,,u1,primary,student,,,s1,\nr2,,,u2,primary,student,,,s1,\n"
        "r3,,,u3,primary,teacher,,,s1,\n",
        "enrollments": f"{ENROLLMENTS}\ne1,,,k1,s1,u1,student,,,\ne2,,,k1,s1,u2,student,,,\n"
        "e3,,,k1,s1,u3,teacher,,,\n",
    }
    made.update(changes)
    return {f"{name}.csv": text for name, text in made.items() if text is not None}


def test_our_headings_are_the_standards():
    typed = {
        "orgs": ORGS,
        "academicSessions": TERMS,
        "courses": COURSES,
        "classes": CLASSES,
        "users": USERS,
        "roles": ROLES,
        "enrollments": ENROLLMENTS,
    }
    assert {name: ",".join(columns) for name, columns in HEADERS.items()} == typed


def test_a_class_comes_with_its_people_by_their_preferred_names():
    roster = read_roster(files())
    assert roster.faults == ()
    (one,) = roster.classes
    assert (one.title, one.school, one.terms) == ("12B Chemistry", "s1", ("t1",))
    assert [(p.name, p.sort_name, p.number) for p in one.learners] == [
        ("Alex Ash", "Ash, Alex", "L001"),
        ("Ben Birch", "Birch, Ben", "u2"),
    ]
    assert [p.username for p in one.teachers] == ["teacher"]


def test_nothing_that_is_not_needed_is_kept():
    kept = repr(read_roster(files()))
    for word in ("secret", "a@b.example"):
        assert word not in kept


def test_version_1_1_keeps_roles_with_its_users():
    # users.csv of 1.1 from memory.
    users = ",".join(USERS_1_1) + "\nu1,,,true,s1,student,,,Alex,Ash,,L001,,,,,,pw\n"
    made = files(
        manifest=files()["manifest.csv"].replace("1.2", "1.1"),
        users=users,
        roles=None,
        enrollments=f"{ENROLLMENTS}\ne1,,,k1,s1,u1,student,,,\n",
    )
    (one,) = read_roster(made).classes
    assert [p.name for p in one.learners] == ["Alex Ash"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"manifest": None}, "no manifest.csv"),
        ({"manifest": "a,b\n"}, "propertyName,value"),
        ({"manifest": "propertyName,value\noneroster.version,2.0\n"}, "says “2.0”"),
        ({"users": None}, "users.csv is missing"),
        ({"roles": ROLES.replace("roleType,role", "role,roleType") + "\n"}, "Column 5 of roles.csv"),
        ({"orgs": ORGS.replace("sourcedId", "sourcedid", 1) + "\n"}, "Column 1 of orgs.csv"),
        ({"orgs": ORGS + ",extra\n"}, "does not know"),
        ({"orgs": f'{ORGS}\n"s1,,,Quill\n'}, "quotation marks"),
    ],
)
def test_what_is_no_roster_is_refused_with_a_sentence(changes, words):
    with pytest.raises(NotARoster, match=words):
        read_roster(files(**changes))


@pytest.mark.parametrize(
    ("changes", "file", "row", "words"),
    [
        ({"enrollments": f"{ENROLLMENTS}\ne1,,,k9,s1,u1,student,,,\n"}, "enrollments.csv", 2, "No class k9"),
        ({"enrollments": f"{ENROLLMENTS}\ne1,,,k1,s1,u9,student,,,\n"}, "enrollments.csv", 2, "No user u9"),
        ({"enrollments": f"{ENROLLMENTS}\ne1,,,k1,s1,u3,student,,,\n"}, "enrollments.csv", 2, "no role"),
        ({"orgs": f"{ORGS}\ns1,,,A,school,,\ns1,,,B,school,,\n"}, "orgs.csv", 3, "earlier row"),
        ({"orgs": f"{ORGS}\ns1,active,2026-01-01,A,school,,\n"}, "orgs.csv", 2, "status stays empty"),
        ({"classes": f"{CLASSES}\nk1,,,12B,,c1,,,,s9,t1,,,\n"}, "classes.csv", 2, "school"),
        ({"classes": f"{CLASSES}\nk1,,,12B,,c1,,,,s1,t9,,,\n"}, "classes.csv", 2, "terms"),
        (
            {"academicSessions": f"{TERMS}\nt1,,,A,term,1.9.2026,,,\n"},
            "academicSessions.csv",
            2,
            "2026-09-01",
        ),
    ],
)
def test_a_wrong_row_is_named_by_file_and_row(changes, file, row, words):
    faults = read_roster(files(**changes)).faults
    assert any(f.file == file and f.row == row and words in f.sentence for f in faults)


def test_in_a_delta_what_is_to_be_deleted_is_left_as_it_is():
    made = files(
        manifest=files()["manifest.csv"].replace("file.enrollments,bulk", "file.enrollments,delta"),
        enrollments=f"{ENROLLMENTS}\ne1,active,2026-11-01,k1,s1,u1,student,,,\n"
        "e2,tobedeleted,2026-11-01,k1,s1,u2,student,,,\n",
    )
    roster = read_roster(made)
    assert [p.name for p in roster.classes[0].learners] == ["Alex Ash"]
    assert any("to be deleted" in said for said in roster.left_out)


def test_extensions_of_the_standard_may_stand_behind_its_columns():
    assert read_roster(files(orgs=f"{ORGS},metadata.own\ns1,,,A,school,,,x\n")).faults == ()
