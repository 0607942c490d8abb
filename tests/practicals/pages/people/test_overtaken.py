from uuid import uuid4

from django.urls import reverse

from practicals.models import Centre, User


def test_of_two_administrators_the_second_is_told_and_sees_both(cast, as_):
    client, address = as_(cast.administrator), reverse("people:centre")
    sent = {
        "seen_version": "1",
        "time_zone": "Europe/London",
        "region": "SCT",
        "base_address": "http://127.0.0.1:8000",
    }
    client.post(address, {"once": str(uuid4()), "name": "First College", **sent})
    answer = client.post(address, {"once": str(uuid4()), "name": "Second College", **sent}).content.decode()
    assert Centre.here().name == "First College"
    assert "Second College" in answer
    assert "<dd>First College</dd>" in answer
    assert 'name="seen_version" value="2"' in answer


def test_an_account_that_was_changed_meanwhile_is_not_overwritten(cast, as_):
    client = as_(cast.administrator)
    address = reverse("people:account", args=[cast.technician.uuid])
    sent = {"seen_version": "1", "sort_name": "", "roles": ["technician"], "active": "on", "password": ""}
    client.post(address, {"once": str(uuid4()), "name": "Tam First", **sent})
    answer = client.post(address, {"once": str(uuid4()), "name": "Tam Second", **sent}).content.decode()
    assert User.objects.get(pk=cast.technician.pk).name == "Tam First"
    assert "Tam Second" in answer
    assert "<dd>Tam First</dd>" in answer
