"""What every page shows around its content: the centre, the menu of what this person may open."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from practicals.gate import may_open
from practicals.models import Centre


@dataclass(frozen=True, slots=True)
class MenuItem:
    label: str
    url: str
    current: bool


MENU = (
    ("Today", "home:home"),
    ("My bench", "bench:home"),
    ("My work", "my_work:works"),
    ("Sessions", "plan:sessions"),
    ("Practicals", "plan:practicals"),
    ("Prep lists", "prep:requisitions"),
    ("Shelf", "stock:shelf"),
    ("Calculators", "prep:calculators"),
    ("Marking", "marking:assignments"),
    ("Briefs", "briefs:briefs"),
    ("Sampling", "verify:plans"),
    ("Actions", "verify:my_actions"),
    ("Standardisation", "standardise:standardisations"),
    ("Resubmissions", "attempts:requests"),
    ("Policy", "attempts:policy"),
    ("Classes", "people:classes"),
    ("Accounts", "people:accounts"),
    ("Centre", "people:centre"),
)


def frame(request: HttpRequest) -> dict[str, Any]:
    user = getattr(request, "user", None)
    match = request.resolver_match
    here = match.view_name if match else ""
    menu, own_theme, password_url = [], "", ""
    if user is not None and user.is_authenticated:
        menu = [MenuItem(label, reverse(name), name == here) for label, name in MENU if may_open(user, name)]
        own_theme = user.theme
        password_url = reverse("people:password") if may_open(user, "people:password") else ""
    theme = own_theme or request.COOKIES.get("theme", "")
    return {
        "centre": Centre.here(),
        "menu": menu,
        "theme": theme if theme in {"light", "dark"} else "",
        "password_url": password_url,
    }
