from datetime import UTC, datetime

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from practicals import audit
from practicals.models import AuditEntry, Centre
from practicals.pages.zone import CentreZoneMiddleware
from tests.factories import make_user

ASKED = {
    "seen_version": "1",
    "name": "Invented College",
    "time_zone": "Europe/Dublin",
    "region": "NIR",
    "base_address": "http://192.0.2.20:8000",
    "invented_notice": "",
}


def text(response):
    return response.content.decode()


@pytest.fixture
def admin(cast, as_):
    return as_(cast.administrator)


def test_settings_are_shown_and_saved(cast, admin, send):
    page = reverse("people:centre")
    assert 'value="Invented College"' in text(admin.get(page))
    assert send(admin, page, **ASKED).url == page
    assert Centre.here().time_zone == "Europe/Dublin"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"name": ""}, "Give the centre"),
        ({"time_zone": "Europe/Atlantis"}, "is no time zone"),
        ({"region": "1e9"}, "none of the regions"),
        ({"base_address": "192.0.2.20"}, "such as http://"),
        ({"base_address": "http://a\0"}, "Null characters"),
        ({"invented_notice": "x" * 201}, "at most 200"),
    ],
)
def test_what_cannot_be_saved_gets_a_sentence_and_stays(cast, admin, send, wrong, says):
    response = send(admin, reverse("people:centre"), **{**ASKED, **wrong})
    assert says in text(response)
    assert Centre.here().region == "ENG-WLS"
    if "base_address" not in wrong:
        assert 'value="http://192.0.2.20:8000"' in text(response)


def test_times_are_in_the_centre_s_zone(centre):
    centre.time_zone = "Asia/Kolkata"
    centre.save()
    seen = []

    def page(request):
        seen.append(timezone.localtime(datetime(2026, 7, 1, 12, tzinfo=UTC)))
        return HttpResponse()

    CentreZoneMiddleware(page)(RequestFactory().get("/"))
    # India keeps UTC+5:30 all year (IANA time zone database, Asia/Kolkata).
    assert f"{seen[0]:%H:%M}" == "17:30"
    assert timezone.get_current_timezone_name() == "UTC"


def test_a_zone_that_this_machine_does_not_know_falls_back_to_utc(centre, client):
    Centre.objects.update(time_zone="Europe/Atlantis")
    assert client.get(reverse("people:sign_in")).status_code == 200


def test_the_trail_names_people_while_they_are_known(cast, admin):
    for by in (cast.teacher, None, cast.learner):
        audit.record(by=by, action="test", subject=cast.session, sentence="Something was done.")
    cast.learner.erased_at = timezone.now()
    cast.learner.save()
    page = text(admin.get(reverse("people:audit")))
    assert "Tess Teacher" in page
    assert "the program" in page
    assert cast.learner.name not in page
    assert str(cast.learner.token) in page


def test_the_trail_has_pages_and_as_many_queries_for_many_actors(cast, admin):
    def queries():
        with CaptureQueriesContext(connection) as count:
            admin.get(reverse("people:audit"))
        return len(count)

    audit.record(by=cast.teacher, action="test", subject=cast.session, sentence="Once.")
    queries()
    few = queries()
    for _ in range(60):
        audit.record(by=make_user(), action="test", subject=cast.session, sentence="Again.")
    assert queries() == few
    assert "Page 1 of 2" in text(admin.get(reverse("people:audit")))
    for odd in ("x", "0", "1e9"):
        assert admin.get(reverse("people:audit"), {"page": odd}).status_code == 200


def test_an_empty_trail_says_so(cast, admin):
    assert not AuditEntry.objects.exists()
    assert "Nothing was changed yet" in text(admin.get(reverse("people:audit")))


@pytest.mark.parametrize("name", ["people:centre", "people:audit"])
@pytest.mark.parametrize("who", ["teacher", "technician", "learner", "lead_verifier"])
def test_nobody_else_sees_them(cast, as_, name, who):
    assert as_(getattr(cast, who)).get(reverse(name)).status_code == 404


def test_anybody_reads_the_statement_and_the_health_of_the_server(centre, client):
    assert "Known limits" in text(client.get(reverse("people:statement")))
    health = client.get(reverse("people:health"))
    assert (health.content, health["Content-Type"]) == (b"ok", "text/plain; charset=utf-8")


def test_a_colour_choice_is_kept_on_the_device_and_with_the_person(cast, as_):
    signed_in = as_(cast.teacher)
    response = signed_in.post(reverse("people:theme"), {"theme": "dark", "next": "/classes/"})
    assert response.url == "/classes/"
    cast.teacher.refresh_from_db()
    assert cast.teacher.theme == "dark"
    assert 'data-theme="dark"' in text(signed_in.get("/classes/"))


@pytest.mark.parametrize("wanted", ["light", "dark"])
def test_a_visitor_s_choice_stands_in_a_cookie(centre, client, wanted):
    client.post(reverse("people:theme"), {"theme": wanted})
    assert f'data-theme="{wanted}"' in text(client.get(reverse("people:sign_in")))


def test_no_other_theme_and_no_other_host(centre):
    visitor = Client()
    response = visitor.post(
        reverse("people:theme"), {"theme": '"><script>', "next": "https://elsewhere.example/"}
    )
    assert response["Location"] == "/"
    assert response.cookies["theme"].value == ""
    assert visitor.get(reverse("people:theme")).status_code == 405
