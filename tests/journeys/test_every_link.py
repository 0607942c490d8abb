"""From each person's first page, every link of the demo leads to a page that this person may open."""

from collections import deque
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client
from django.utils import timezone

from assessment.management.scenario.story import tell
from assessment.models import Decision, SampledPortfolio
from practicals.models import Role, Session, SpotReading, User

#: Enough to reach every kind of page; lists of learners make the rest of the same kind.
MOST_PAGES = 120


class Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag, attrs):
        href = dict(attrs).get("href")
        if tag == "a" and href:
            self.found.append(href)


def links_of(address: str, html: str) -> list[str]:
    parser = Links()
    parser.feed(html)
    joined = (urldefrag(urljoin(f"http://testserver{address}", href)).url for href in parser.found)
    return [url.removeprefix("http://testserver") for url in joined if urlsplit(url).netloc == "testserver"]


def crawl(client: Client, first: str) -> dict[str, int]:
    """Status by address, breadth first."""
    seen: dict[str, int] = {}
    waiting = deque([first])
    while waiting and len(seen) < MOST_PAGES:
        address = waiting.popleft()
        if address in seen or address.endswith(".pdf"):
            continue
        response = client.get(address, follow=True)
        seen[address] = response.status_code
        if response.headers["Content-Type"].startswith("text/html"):
            last = response.redirect_chain[-1][0] if response.redirect_chain else address
            waiting.extend(links_of(last, response.content.decode()))
    return seen


@pytest.fixture
def demo(db):
    tell(now=timezone.now(), base_address="http://127.0.0.1:8000")


def at_the_bench() -> Client:
    client = Client()
    session = Session.objects.get(closed_at=None, started_at__isnull=False)
    client.force_login(session.groups.get(number=2).members.first().learner)
    scope = client.session
    scope["bench_session"] = str(session.uuid)
    scope.save()
    return client


def as_staff(username: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=username))
    return client


def with_passphrase() -> Client:
    client = Client()
    learners = User.objects.holding(Role.LEARNER)
    client.force_login(next(one for one in learners if one.has_usable_password()))
    return client


@pytest.mark.slow
def test_no_link_of_the_demo_is_dead(demo):
    people = {
        name: as_staff(name)
        for name in ("teacher", "teacher2", "technician", "verifier", "lead", "cover", "admin")
    }
    people |= {"learner at the bench": at_the_bench(), "learner": with_passphrase()}
    dead: dict[str, int] = {}
    for who, client in people.items():
        seen = crawl(client, "/")
        assert len(seen) > 3, who
        dead |= {f"{who} {address}": status for address, status in seen.items() if status != 200}
    assert dead == {}


def test_loading_the_demo_twice_changes_nothing(demo):
    people = User.objects.count()
    call_command("load_demo", verbosity=0)
    assert User.objects.count() == people


def told_and_forgotten(now):
    """What the demo drew and measured, by name; nothing of it is kept."""
    with transaction.atomic():
        tell(now=now, base_address="http://127.0.0.1:8000")
        sampled = list(SampledPortfolio.objects.values_list("submission__work__learner__name", flat=True))
        spots = SpotReading.objects.order_by("pk").values_list("centre_mm", "own_rf")
        found = (
            sampled,
            list(spots),
            list(Decision.objects.order_by("pk").values_list("outcome", flat=True)),
        )
        transaction.set_rollback(True)
    return found


def test_the_same_seed_tells_the_same_story(db):
    now = timezone.now()
    first, second = told_and_forgotten(now), told_and_forgotten(now)
    assert first == second
    assert len(first[0]) == 4
