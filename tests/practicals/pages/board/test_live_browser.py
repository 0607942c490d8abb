"""In a real browser the board refreshes itself under the strict content policy and takes nothing away."""

import re

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session as SignIn
from django.db import connections
from django.test import Client
from django.urls import reverse
from playwright.sync_api import expect, sync_playwright

from tests.factories import make_readings

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
]


@pytest.fixture
def board(monkeypatch, live_server, cast):
    """The board of the teacher's session, with the browser's clock in the test's hands."""
    # The browser's client leaves an event loop in the thread, and the ORM then refuses to run.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    client = Client()
    client.force_login(cast.teacher, backend="practicals.gate.TableBackend")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=QUIET)
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        page = context.new_page()
        page.clock.install()
        page.goto(live_server.url + reverse("board:board", args=[cast.session.uuid]))
        yield page
        browser.close()
        # Beside the browser's event loop the ORM has a connection of its own, which nobody else would close;
        # PostgreSQL drops no database that is still held open.
        connections.close_all()


def row(page, learner):
    return page.get_by_role("row").filter(has_text=learner.name)


def test_it_shows_what_was_saved_meanwhile_and_focus_stays(board, cast):
    complaints = []
    board.on("console", lambda said: complaints.append(said.text))
    board.on("pageerror", lambda error: complaints.append(str(error)))
    link = board.locator(f"#learner-{cast.learner.uuid}")
    board.reload()
    link.focus()
    expect(row(board, cast.learner)).to_contain_text("nothing yet")
    make_readings(cast.session.groups.first().papers.get(), cast.learner)
    board.clock.run_for(10_500)
    expect(row(board, cast.learner)).to_contain_text("draft, 0 of 4 lanes")
    expect(link).to_be_focused()
    make_readings(cast.session.groups.first().papers.get(), cast.group_mate)
    board.clock.run_for(10_500)  # and again: what was swapped in refreshes too
    expect(row(board, cast.group_mate)).to_contain_text("draft, 0 of 4 lanes")
    assert complaints == []


def test_a_lost_connection_is_said_and_unsaid(board):
    trouble = board.locator("#board-trouble")
    expect(trouble).to_be_hidden()
    board.context.set_offline(True)
    board.clock.run_for(10_500)
    expect(trouble).to_be_visible()
    board.context.set_offline(False)
    board.clock.run_for(10_500)
    expect(trouble).to_be_hidden()


def test_an_ended_sign_in_opens_the_sign_in_page_and_is_not_pasted_into_the_board(board):
    SignIn.objects.all().delete()
    board.clock.run_for(10_500)
    expect(board).to_have_url(re.compile(r"^https?://[^/]+/(?!board/)"))
    expect(board.locator("#board-live")).to_have_count(0)
