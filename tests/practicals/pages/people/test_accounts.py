import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.models import User
from tests.factories import make_user

NEW = {
    "username": "jmoreno",
    "name": "Jo Moreno",
    "roles": ["teacher", "internal verifier"],
    "password": "three quiet otters",
}


def text(response):
    return response.content.decode()


@pytest.fixture
def admin(cast, as_):
    return as_(cast.administrator)


def test_the_list_shows_everybody_with_their_roles(cast, admin):
    page = text(admin.get(reverse("people:accounts")))
    assert "Tess Teacher" in page
    assert "internal verifier" in page


def test_somebody_is_found_by_a_part_of_the_name(cast, admin):
    page = text(admin.get(reverse("people:accounts"), {"q": "tess"}))
    assert "Tess Teacher" in page
    assert "Tam Technician" not in page


@pytest.mark.parametrize(
    "query", [{"q": "\0"}, {"q": "zzz"}, {"q": "<b>"}, {"page": "x"}, {"page": "-1"}, {"page": "1e9"}]
)
def test_odd_searches_and_page_numbers_are_answered(admin, query):
    response = admin.get(reverse("people:accounts"), query)
    assert response.status_code == 200
    assert "<b>" not in text(response)


def test_the_search_survives_turning_the_page(cast, admin):
    for n in range(60):
        make_user(f"Ada {n}", "learner")
    assert "?page=2&amp;q=ada" in text(admin.get(reverse("people:accounts"), {"q": "ada"}))


def test_an_account_with_several_roles_is_added(admin, send):
    response = send(admin, reverse("people:new_account"), **NEW)
    assert response.url == reverse("people:accounts")
    assert User.objects.get(username="jmoreno").roles == {"teacher", "internal verifier"}


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"username": ""}, "Give a sign-in name"),
        ({"username": "-1"}, "2 to 60 letters"),
        ({"username": "12,5 mm"}, "2 to 60 letters"),
        ({"name": ""}, "Give the person"),
        ({"name": "x" * 121}, "at most 120"),
        ({"name": "a\0"}, "Null characters"),
        ({"roles": []}, "at least one role"),
        ({"roles": ["headmaster"]}, "headmaster"),
        ({"password": "short"}, "at least 10"),
        ({"password": ""}, "Give a first password"),
    ],
)
def test_what_makes_no_account_gets_a_sentence_and_stays(admin, send, wrong, says):
    response = send(admin, reverse("people:new_account"), **{**NEW, **wrong})
    assert response.status_code == 200
    assert says in text(response)
    assert not User.objects.filter(username="jmoreno").exists()
    if "name" not in wrong:
        assert 'value="Jo Moreno"' in text(response)


def test_a_double_click_adds_one_account(admin):
    typed = {"once": "0b7a3c1e-5d2f-4a86-9c40-1f2e3d4c5b6a", **NEW}
    assert admin.post(reverse("people:new_account"), typed).url == reverse("people:accounts")
    assert admin.post(reverse("people:new_account"), typed).url == reverse("people:accounts")
    assert User.objects.filter(username="jmoreno").count() == 1


def test_an_account_is_changed(cast, admin, send):
    page = reverse("people:account", args=[cast.teacher.uuid])
    assert 'value="Tess Teacher"' in text(admin.get(page))
    send(
        admin,
        page,
        seen_version="1",
        name="Tess Other",
        sort_name="Other, Tess",
        roles=["technician"],
        active="on",
    )
    teacher = User.objects.get(pk=cast.teacher.pk)
    assert (teacher.name, teacher.roles) == ("Tess Other", {"technician"})
    assert teacher.check_password("correct horse battery")


def test_somebody_let_in_no_longer_is_out_at_once(cast, admin, as_, send):
    theirs = as_(cast.teacher)
    page = reverse("people:account", args=[cast.teacher.uuid])
    send(admin, page, seen_version="1", name="Tess Teacher", roles=["teacher"])
    assert theirs.get(reverse("people:classes")).status_code == 302


def test_the_last_administrator_cannot_step_down(cast, admin, send):
    page = reverse("people:account", args=[cast.administrator.uuid])
    response = send(admin, page, seen_version="1", name="Ada Administrator", roles=["teacher"], active="on")
    assert "only administrator" in text(response)
    assert User.objects.get(pk=cast.administrator.pk).holds("administrator")


def test_an_administrator_who_changes_the_own_password_stays_signed_in(cast, admin, send):
    page = reverse("people:account", args=[cast.administrator.uuid])
    send(
        admin,
        page,
        seen_version="1",
        name="Ada",
        roles=["administrator"],
        active="on",
        password="three quiet otters",
    )
    assert admin.get(page).status_code == 200


@pytest.mark.parametrize("who", ["teacher", "technician", "learner", "lead_verifier"])
def test_nobody_else_sees_accounts(cast, as_, who):
    signed_in = as_(getattr(cast, who))
    for address in (
        reverse("people:accounts"),
        reverse("people:new_account"),
        reverse("people:account", args=[cast.learner.uuid]),
    ):
        assert signed_in.get(address).status_code == 404


def test_a_list_of_fifty_takes_as_many_queries_as_one_of_a_few(cast, admin):
    admin.get(reverse("people:accounts"))
    with CaptureQueriesContext(connection) as few:
        admin.get(reverse("people:accounts"))
    for _ in range(27):
        make_user("", "teacher", "technician")
    with CaptureQueriesContext(connection) as many:
        admin.get(reverse("people:accounts"))
    assert len(few) == len(many)
