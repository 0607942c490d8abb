"""A browser for the journeys, and a way to seat people before it."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.db import connections
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.journeys.browser import Complaints, Person, launch
from tests.journeys.college import College, found_college


@pytest.fixture
def playwright(monkeypatch: pytest.MonkeyPatch) -> Iterator[Playwright]:
    # The browser's client leaves an event loop in the thread, and the ORM then refuses to run.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    with sync_playwright() as started:
        yield started
        # Beside the event loop the ORM has a connection of its own, which nobody else would close;
        # PostgreSQL drops no database that is still held open.
        connections.close_all()


@pytest.fixture
def browser(playwright: Playwright) -> Iterator[Browser]:
    started = launch(playwright)
    yield started
    started.close()


@pytest.fixture
def complaints() -> Iterator[Complaints]:
    """Whatever a browser complained of during the test fails it."""
    kept = Complaints()
    yield kept
    assert kept.said == []


@pytest.fixture
def seat(browser: Browser, complaints: Complaints, live_server: Any) -> Callable[..., Person]:
    """`seat()` is a person before a screen of their own; arguments are the context's."""

    def seated(**context: Any) -> Person:
        size = {"viewport": {"width": 1280, "height": 900}} if "viewport" not in context else {}
        opened = browser.new_context(base_url=live_server.url, locale="en-GB", **{**size, **context})
        complaints.watch(opened)
        return Person(opened)

    return seated


@pytest.fixture
def pixel(playwright: Playwright) -> dict[str, Any]:
    return dict(playwright.devices["Pixel 7"])


@pytest.fixture
def college(transactional_db: None) -> College:
    return found_college()
