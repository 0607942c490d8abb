"""Where a form may send its reader next: never to another host."""

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def next_page(request: HttpRequest, otherwise: str) -> str:
    """The address in `next` if it is on this host, else the one given."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    own = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if own and wanted.isprintable() else otherwise
