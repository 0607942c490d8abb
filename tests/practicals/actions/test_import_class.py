import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from practicals.actions.import_class import CannotImport, ClassListRefused, import_class
from practicals.calculations.class_list import Entry
from practicals.models import AuditEntry, TeachingClass, User
from tests.factories import NOW, enrol, make_user

ROWS = [Entry(2, "Ada Okafor", "Okafor, Ada", "101"), Entry(3, "Bo Lind", "Lind, Bo", "102")]


def take(by, rows=ROWS, **more):
    asked = {"name": "12B Chemistry", "class_word": "willow27", "teachers": [by] if by else []}
    return import_class(by=by, rows=rows, now=NOW, **{**asked, **more})


def test_a_class_is_made_of_its_list(cast):
    made = take(cast.teacher)
    assert (made.name, made.class_word) == ("12B Chemistry", "willow27")
    assert list(made.teachers.all()) == [cast.teacher]
    assert [(one.name, one.reference) for one in made.learners()] == [
        ("Bo Lind", "102"),
        ("Ada Okafor", "101"),
    ]


def test_learners_get_a_role_a_short_sign_in_name_and_no_password(cast):
    learner = take(cast.teacher).learners().get(name="Ada Okafor")
    assert learner.roles == {"learner"}
    assert learner.username.startswith("ada")
    assert learner.username[3:].isdigit()
    assert not learner.has_usable_password()


def test_sign_in_names_stay_apart_when_many_share_a_first_name(cast):
    rows = [Entry(n, f"Ada Okafor{n}", f"Okafor{n}, Ada") for n in range(2, 152)]
    names = [learner.username for learner in take(cast.teacher, rows).learners()]
    assert len(set(names)) == 150
    assert {len(name) for name in names} == {5, 6}


def test_an_empty_class_word_is_drawn(cast):
    word = take(cast.teacher, class_word="").class_word
    assert word[-2:].isdigit()
    assert word[:-2].isalpha()


def test_somebody_the_centre_knows_by_number_is_enrolled_and_not_made_again(cast):
    known = make_user("Ada Okafor", "learner", reference="101")
    made = take(cast.teacher)
    assert known in made.learners()
    assert User.objects.filter(name="Ada Okafor").count() == 1


def test_a_list_is_added_to_a_class_and_who_is_there_stays_as_they_are(cast):
    enrol(cast.teaching_class, make_user("Ada Okafor", "learner", reference="101"))
    take(cast.teacher, teaching_class=cast.teaching_class)
    assert cast.teaching_class.learners().filter(name__in=["Ada Okafor", "Bo Lind"]).count() == 2


def test_one_faulty_row_refuses_the_whole_list(cast):
    make_user("Somebody Else", "learner", reference="102")
    before = User.objects.count()
    with pytest.raises(ClassListRefused) as caught:
        take(cast.teacher)
    assert [fault.row for fault in caught.value.faults] == [3]
    assert User.objects.count() == before
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


def test_a_list_that_changes_nothing_is_refused(cast):
    made = take(cast.teacher)
    with pytest.raises(CannotImport, match="already"):
        take(cast.teacher, teaching_class=made)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "x" * 81}, "name"),
        ({"name": "class 1a"}, "name"),
        ({"class_word": "two words"}, "class_word"),
        ({"class_word": "abc"}, "class_word"),
        ({"class_word": "wörter"}, "class_word"),
        ({"class_word": "TAKEN"}, "class_word"),
    ],
)
def test_a_class_that_cannot_be_made_is_refused_at_its_field(cast, wrong, field):
    TeachingClass.objects.create(name="Other", class_word="taken")
    with pytest.raises(CannotImport) as caught:
        take(cast.teacher, **wrong)
    assert caught.value.field == field


@pytest.mark.parametrize("who", ["technician", "verifier", "learner"])
def test_only_teachers_and_administrators_take_lists_in(cast, who):
    with pytest.raises(PermissionDenied):
        take(getattr(cast, who))


def test_a_teacher_cannot_add_to_somebody_else_s_class(cast):
    with pytest.raises(PermissionDenied):
        take(cast.other_teacher, teaching_class=cast.teaching_class)


def test_the_trail_names_learners_by_token(cast):
    made = take(cast.teacher)
    entry = AuditEntry.objects.get(action="import_class")
    assert set(entry.detail["learners"]) == {str(one.token) for one in made.learners()}
    assert "Okafor" not in repr((entry.sentence, entry.detail))


def test_thirty_learners_take_as_many_queries_as_three(cast):
    def queries(learners, name):
        rows = [Entry(n, f"Ada {name}{n}", f"{name}{n}, Ada") for n in range(learners)]
        with CaptureQueriesContext(connection) as count:
            take(cast.teacher, rows, name=name, class_word="")
        return len(count)

    queries(1, "First")  # the teacher's roles are asked for once a request
    assert queries(3, "Small") == queries(30, "Large")


def test_a_sign_in_name_that_another_list_takes_meanwhile_is_said_so(cast, monkeypatch):
    # Both lists saw it free; the other one was faster.
    taken = [cast.learner.username, cast.group_mate.username]
    monkeypatch.setattr("practicals.actions.import_class._free_sign_in_names", lambda stems: taken)
    before = User.objects.count()
    with pytest.raises(CannotImport, match="another list at this moment"):
        take(cast.teacher)
    assert User.objects.count() == before
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()
