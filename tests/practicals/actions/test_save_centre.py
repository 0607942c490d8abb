import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.save_centre import CannotSaveCentre, save_centre
from practicals.models import AuditEntry, Centre
from tests.factories import NOW

ASKED = {
    "name": "Invented College",
    "time_zone": "Europe/London",
    "region": "SCT",
    "base_address": "http://192.0.2.20:8000/",
    "invented_notice": "",
}


def test_settings_are_saved_to_the_one_record(cast):
    save_centre(by=cast.administrator, **ASKED, now=NOW)
    centre = Centre.objects.get()
    assert (centre.region, centre.base_address) == ("SCT", "http://192.0.2.20:8000")
    assert AuditEntry.objects.get(action="save_centre").detail["changed"] == [
        "region",
        "base_address",
        "invented_notice",
    ]


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"name": " "}, "name"),
        ({"time_zone": "Europe/Atlantis"}, "time_zone"),
        ({"time_zone": "../../etc/passwd"}, "time_zone"),
        ({"time_zone": ""}, "time_zone"),
        ({"region": "MARS"}, "region"),
        ({"base_address": ""}, "base_address"),
        ({"base_address": "192.0.2.20:8000"}, "base_address"),
        ({"base_address": "ftp://college.example"}, "base_address"),
        ({"base_address": "javascript:alert(1)"}, "base_address"),
        ({"base_address": "http://[::1"}, "base_address"),
        ({"base_address": "http://college.example:99999"}, "base_address"),
        ({"base_address": "http://college.example/?a=1"}, "base_address"),
    ],
)
def test_what_cannot_be_used_is_refused_at_its_field(cast, wrong, field):
    with pytest.raises(CannotSaveCentre) as caught:
        save_centre(by=cast.administrator, **{**ASKED, **wrong}, now=NOW)
    assert caught.value.field == field
    assert Centre.here().region == "ENG-WLS"


@pytest.mark.parametrize("who", ["teacher", "technician", "lead_verifier", "learner"])
def test_only_administrators_save_it(cast, who):
    with pytest.raises(PermissionDenied):
        save_centre(by=getattr(cast, who), **ASKED, now=NOW)
