"""Lets a sign-in at the bench end by itself when a shared tablet is left lying."""

import time

from django.http import HttpRequest, HttpResponseBase

from practicals.gate import Respond

IDLE_S = 30 * 60
#: The stored sign-in is renewed at most so often, so that not every reading writes it anew.
RENEWED_EVERY_S = 3 * 60


def start_idle_clock(request: HttpRequest) -> None:
    request.session["bench_seen"] = int(time.time())
    request.session.set_expiry(IDLE_S)


class BenchIdleMiddleware:
    """Moves the end of a bench sign-in on while somebody works."""

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        seen = request.session.get("bench_seen")
        if seen is not None and time.time() - seen > RENEWED_EVERY_S:
            start_idle_clock(request)
        return self.get_response(request)
