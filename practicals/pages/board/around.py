"""What the pages of this journey share: whose request it is, and the way back."""

from uuid import UUID

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from practicals.access import endable_sessions, led_sessions
from practicals.models import Session, User


class StaffRequest(HttpRequest):
    """A request that the gate let through: whoever sends it is signed in."""

    user: User


def session_led(user: User, uuid: UUID) -> Session:
    """The session with its practical, if the person leads it or helps in it."""
    return get_object_or_404(led_sessions(user).select_related("practical__mobile_phase"), uuid=uuid)


def session_to_end(user: User, uuid: UUID) -> Session:
    """The session if the person may end its bench work."""
    return get_object_or_404(endable_sessions(user).select_related("practical"), uuid=uuid)


def trail_from(session: Session, *steps: tuple[str, str]) -> list[tuple[str, str]]:
    """Breadcrumbs from the board down to the page."""
    board = reverse("board:board", args=[session.uuid])
    return [("Today", reverse("home:home")), (f"Board: {session.title}", board if steps else ""), *steps]
