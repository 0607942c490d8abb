"""Save what holds for the whole centre: its name, time zone, region and address."""

from datetime import datetime
from urllib.parse import urlsplit
from zoneinfo import available_timezones

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import Centre, User
from reagents.models import claim_version


class CannotSaveCentre(ValueError):
    """A setting cannot be used; the message says which and why."""

    def __init__(self, field: str, why: str) -> None:
        self.field = field
        super().__init__(why)


def save_centre(
    *,
    by: User | None,
    name: str,
    time_zone: str,
    region: str,
    base_address: str,
    invented_notice: str = "",
    seen_version: int | None = None,
    now: datetime,
) -> Centre:
    """Save the one centre record. `by` is None only for the program itself, when it loads the demo.

    Raises `Stale` when somebody saved after `seen_version` was shown.
    """
    if by is not None and not by.has_perm("practicals.manage_centre"):
        raise PermissionDenied
    base_address = base_address.strip().rstrip("/")
    _refuse(name, time_zone, region, base_address)
    with transaction.atomic():
        centre = Centre.objects.select_for_update().first() or Centre()
        if seen_version is not None and centre.pk is not None:
            claim_version(centre, seen_version)
        wanted = {
            "name": name.strip(),
            "time_zone": time_zone,
            "region": region,
            "base_address": base_address,
            "invented_notice": invented_notice.strip(),
        }
        changed = [field for field, value in wanted.items() if getattr(centre, field) != value]
        for field, value in wanted.items():
            setattr(centre, field, value)
        centre.save()
        record(
            by=by,
            action="save_centre",
            subject=centre,
            sentence=f"The centre's settings were saved; changed: {len(changed)}.",
            detail={"changed": changed},
        )
    return centre


def _refuse(name: str, time_zone: str, region: str, base_address: str) -> None:
    if not name.strip():
        raise CannotSaveCentre("name", "Give the centre's name.")
    if time_zone not in available_timezones():
        why = f"“{time_zone[:60]}” is no time zone. Write it as in Europe/London."
        raise CannotSaveCentre("time_zone", why)
    if region not in Centre.Region.values:
        raise CannotSaveCentre("region", "Choose one of the regions: it decides which days are holidays.")
    try:
        parts = urlsplit(base_address)
        usable = parts.scheme in {"http", "https"} and bool(parts.hostname)
        usable = usable and not (parts.query or parts.fragment or parts.username)
        _ = parts.port
    except ValueError:
        usable = False
    if not usable:
        why = "Write the address that learners' devices reach, such as http://192.168.1.20:8000."
        raise CannotSaveCentre("base_address", why)
