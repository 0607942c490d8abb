import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.models import TeachingClass, User
from tests.factories import enrol, make_class, make_readings, make_session, make_user

LIST = b"First name,Surname,Adno,Date of birth\nAda,Okafor,101,2009-01-02\nBo,Lind,102,2009-03-04\n"
NEW = {"into": "", "name": "12B Chemistry", "class_word": "willow27"}


def text(response):
    return response.content.decode()


def file(data=LIST, name="class.csv"):
    return SimpleUploadedFile(name, data)


@pytest.fixture
def teacher(cast, as_):
    return as_(cast.teacher)


@pytest.fixture
def page(cast):
    return reverse("people:class", args=[cast.teaching_class.uuid])


def test_a_teacher_sees_their_classes_and_an_administrator_all(cast, as_):
    address = reverse("people:classes")
    mine, all_of_them = text(as_(cast.teacher).get(address)), text(as_(cast.administrator).get(address))
    assert "Class 1A" in mine
    assert "Class 2B" not in mine
    assert "Class 1A" in all_of_them
    assert "Class 2B" in all_of_them


def test_a_class_page_shows_learners_word_and_sessions(cast, teacher, page):
    shown = text(teacher.get(page))
    assert cast.learner.username in shown
    assert cast.teaching_class.class_word in shown
    assert reverse("plan:session", args=[cast.session.uuid]) in shown


def test_an_administrator_sees_sessions_without_a_link_that_would_be_404(cast, as_, page):
    shown = text(as_(cast.administrator).get(page))
    assert cast.session.title in shown
    assert reverse("plan:session", args=[cast.session.uuid]) not in shown


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "verifier"])
def test_another_s_class_is_not_there(cast, as_, page, who):
    assert as_(getattr(cast, who)).get(page).status_code == 404


def test_a_learner_is_withdrawn_with_a_reason_and_the_readings_stay(cast, teacher, page, send):
    readings = make_readings(cast.session.groups.first().papers.first(), cast.learner)
    assert f"Withdraw {cast.learner.name}" in text(teacher.get(page, {"withdraw": str(cast.learner.uuid)}))
    response = send(teacher, page, learner=cast.learner.uuid, reason="moved to 2B")
    assert response.url == page
    shown = text(teacher.get(page))
    assert "moved to 2B" in shown
    assert cast.learner.username not in shown
    readings.refresh_from_db()
    assert readings.learner == cast.learner


@pytest.mark.parametrize(
    ("reason", "says"), [("", "Say why"), ("x" * 121, "at most 120"), ("\0", "Null characters")]
)
def test_a_withdrawal_without_a_usable_reason_changes_nothing(cast, teacher, page, send, reason, says):
    response = send(teacher, page, learner=cast.learner.uuid, reason=reason)
    assert says in text(response)
    assert cast.learner in cast.teaching_class.learners()


@pytest.mark.parametrize("what", ["withdraw", "clear"])
def test_a_learner_of_another_class_is_not_there(cast, teacher, page, send, what):
    response = send(teacher, page, learner=cast.stranger.uuid, reason="moved", what=what)
    assert response.status_code == 404
    assert cast.stranger.enrolments.get().left_at is None
    assert User.objects.get(pk=cast.stranger.pk).has_usable_password()


@pytest.mark.parametrize("query", ["x", "\0", "0b7a3c1e-5d2f-4a86-9c40-1f2e3d4c5b6a"])
def test_an_odd_address_shows_the_class(teacher, page, query):
    assert teacher.get(page, {"withdraw": query}).status_code == 200


def test_odd_learners_are_refused_without_an_error_page(teacher, page, send):
    assert send(teacher, page, learner="x", reason="moved").status_code == 200
    assert send(teacher, page, learner="x", what="clear").status_code == 404


def test_a_forgotten_passphrase_is_cleared(cast, teacher, page, send):
    assert send(teacher, page, learner=cast.learner.uuid, what="clear").url == page
    assert not User.objects.get(pk=cast.learner.pk).has_usable_password()


def test_class_and_list_take_as_many_queries_for_thirty_as_for_three(cast, as_):
    def queries(learners):
        teacher = make_user("", "teacher")
        teaching_class = make_class(teacher=teacher, learners=learners)
        for _ in range(learners // 3):
            make_session(teacher=teacher, teaching_class=teaching_class)
        client, count = as_(teacher), []
        for address in (reverse("people:class", args=[teaching_class.uuid]), reverse("people:classes")):
            with CaptureQueriesContext(connection) as asked:
                assert client.get(address).status_code == 200
            count.append(len(asked))
        return count

    assert queries(3) == queries(30)


# -- taking a list in --------------------------------------------------------------------------


@pytest.fixture
def taking(cast):
    return reverse("people:import_class")


def sealed(response):
    return re.search(r'name="sealed" value="([^"]+)"', text(response))[1]


def test_the_preview_changes_nothing_and_says_what_would_happen(cast, teacher, taking, send):
    before = User.objects.count()
    shown = text(send(teacher, taking, **NEW, file=file()))
    assert "2 learners would join 12B Chemistry" in shown
    assert "Date of birth: not needed here, so not kept" in shown
    assert "2009" not in shown
    assert User.objects.count() == before
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


def test_confirming_takes_the_whole_list_in_for_the_teacher(cast, teacher, taking, send):
    response = send(teacher, taking, sealed=sealed(send(teacher, taking, **NEW, file=file())))
    made = TeachingClass.objects.get(name="12B Chemistry")
    assert response.url == reverse("people:class", args=[made.uuid])
    assert [one.sort_name for one in made.learners()] == ["Lind, Bo", "Okafor, Ada"]
    assert list(made.teachers.all()) == [cast.teacher]


def test_confirming_twice_takes_it_in_once(cast, teacher, taking, send):
    once = {"sealed": sealed(send(teacher, taking, **NEW, file=file()))}
    first, again = (send(teacher, taking, **once) for _ in range(2))
    assert first.status_code == 302
    assert "There is a class named 12B Chemistry already" in text(again)
    assert User.objects.filter(name="Ada Okafor").count() == 1


def test_an_administrator_says_who_teaches(cast, as_, taking, send):
    admin = as_(cast.administrator)
    asked = {**NEW, "teachers": [str(cast.other_teacher.uuid)]}
    send(admin, taking, sealed=sealed(send(admin, taking, **asked, file=file())))
    assert list(TeachingClass.objects.get(name="12B Chemistry").teachers.all()) == [cast.other_teacher]


def test_a_list_is_added_to_a_class(cast, teacher, taking, send):
    enrol(cast.teaching_class, make_user("Ada Okafor", "learner", reference="101"))
    asked = {"into": str(cast.teaching_class.uuid)}
    preview = send(teacher, taking, **asked, file=file())
    assert "in the class already" in text(preview)
    send(teacher, taking, sealed=sealed(preview))
    assert cast.teaching_class.learners().count() == 8


def test_nothing_to_do_offers_nothing_to_confirm(cast, teacher, taking, send):
    for name, number in (("Ada Okafor", "101"), ("Bo Lind", "102")):
        enrol(cast.teaching_class, make_user(name, "learner", reference=number))
    preview = send(teacher, taking, into=str(cast.teaching_class.uuid), file=file())
    assert "there is nothing to do" in text(preview)
    assert "Take in 0" not in text(preview)
    assert "already" in text(send(teacher, taking, sealed=sealed(preview)))


def test_faulty_rows_are_listed_by_number_and_what_was_typed_stays(cast, teacher, taking, send):
    data = b"Name,Number\nAda Okafor,1\n,2\n12,3\nAda Okafor,1\n"
    shown = text(send(teacher, taking, **NEW, file=file(data)))
    assert [int(row) for row in re.findall(r'data-label="Row" class="number">(\d+)', shown)] == [3, 4, 5]
    assert "The name is missing." in shown
    assert 'value="12B Chemistry"' in shown
    assert 'name="sealed"' not in shown


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7 \x00\x01", "This is a PDF"),
        (b"Solvent,Rf\nwater,0.5\n", "No column of names"),
        (b"Name\n", "no learner below"),
        (b"PK\x03\x04", "not a workbook"),
        (b"x" * (5 * 1024 * 1024 + 1), "larger than 5 MB"),
    ],
)
def test_a_file_that_is_no_list_gets_a_sentence(teacher, taking, send, data, says):
    response = send(teacher, taking, **NEW, file=file(data))
    assert response.status_code == 200
    assert says in text(response)
    assert 'value="12B Chemistry"' in text(response)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"name": ""}, "Give the new class a name"),
        ({"name": "Class 1A"}, "There is a class named Class 1A already"),
        ({"class_word": "two words"}, "without spaces"),
        ({"class_word": "-1"}, "4 to 30 letters"),
        ({"into": "x"}, "UUID"),
        ({"into": "0b7a3c1e-5d2f-4a86-9c40-1f2e3d4c5b6a"}, "Choose a class from the list"),
        ({"file": ""}, "Choose the file"),
    ],
)
def test_what_cannot_be_imported_gets_a_sentence(cast, teacher, taking, send, wrong, says):
    response = send(teacher, taking, **{**NEW, "file": file(), **wrong})
    assert response.status_code == 200
    assert says in text(response)


def test_a_teacher_cannot_add_to_another_s_class_by_its_address(cast, teacher, taking, send):
    other = cast.stranger.enrolments.get().teaching_class
    assert "Choose a class from the list" in text(send(teacher, taking, into=str(other.uuid), file=file()))


def test_a_preview_that_was_changed_or_is_another_person_s_is_refused(cast, as_, teacher, taking, send):
    held = sealed(send(teacher, taking, **NEW, file=file()))
    for client, typed in (
        (teacher, f"{held}x"),
        (teacher, "x"),
        (teacher, ""),
        (as_(cast.other_teacher), held),
    ):
        assert send(client, taking, sealed=typed).url == taking
    assert not TeachingClass.objects.filter(name="12B Chemistry").exists()


def test_what_became_true_since_the_preview_counts(cast, teacher, taking, send):
    held = sealed(send(teacher, taking, **NEW, file=file()))
    make_user("Somebody Else", "learner", reference="102")
    shown = text(send(teacher, taking, sealed=held))
    assert "Something changed since the preview" in shown
    assert "belongs to somebody whose name is written otherwise" in shown
    assert 'value="12B Chemistry"' in shown
    assert not User.objects.filter(name="Ada Okafor").exists()


@pytest.mark.parametrize("who", ["technician", "learner", "verifier"])
def test_nobody_else_takes_lists_in(cast, as_, taking, who):
    assert as_(getattr(cast, who)).get(taking).status_code == 404


def test_names_are_escaped(cast, teacher, taking, send):
    shown = text(send(teacher, taking, **NEW, file=file(b"Name\n<script>alert(1)</script> Okafor\n")))
    assert "<script>alert" not in shown
