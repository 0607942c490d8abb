"""Finds a request's sender behind our own proxies: wrong tries are counted by sender."""

from ipaddress import ip_address

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

from practicals.gate import Respond


class SenderMiddleware:
    """Puts the sender's address where Django expects it, when `PROXIES` stand in front of this server.

    Each proxy adds the address it was called from at the end of X-Forwarded-For. What stands before the
    addresses that our own proxies added may have been made up by the sender, and is not read.
    """

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        sender = sender_behind(request.META.get("HTTP_X_FORWARDED_FOR", ""), settings.PROXIES)
        if sender:
            request.META["REMOTE_ADDR"] = sender
        return self.get_response(request)


def sender_behind(forwarded: str, proxies: int) -> str:
    """The address that the outermost of our proxies was called from; empty if the header does not say."""
    added = [part.strip() for part in forwarded.split(",")][-proxies:] if proxies else []
    return _address(added[0]) if len(added) == proxies and added else ""


def _address(text: str) -> str:
    """As one address is always written, without a port, so that one sender is counted as one."""
    for candidate in (text, text.strip("[]"), text.rpartition(":")[0].strip("[]")):
        try:
            return str(ip_address(candidate))
        except ValueError:
            continue
    return ""
