"""The centre's time zone, in which every moment of a document stands."""

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from practicals.models import Centre


def zone_of(centre: Centre) -> ZoneInfo:
    """UTC where the centre's zone is unknown to this machine."""
    try:
        return ZoneInfo(centre.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")
