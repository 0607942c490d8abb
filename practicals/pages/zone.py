"""Shows and reads times in the centre's zone, whatever zone the server keeps."""

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from practicals.gate import Respond
from practicals.models import Centre


class CentreZoneMiddleware:
    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        with timezone.override(centre_zone()):
            return self.get_response(request)


def centre_zone() -> ZoneInfo:
    """The centre's zone; UTC if the zone's data was taken out of this machine since it was chosen."""
    try:
        return ZoneInfo(Centre.here().time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")
