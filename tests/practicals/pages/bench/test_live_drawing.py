"""In a real browser the paper is redrawn as one types, under the strict content policy."""

import re

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import expect, sync_playwright

from tests.practicals.pages.bench.sending import save, url

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture
def page(monkeypatch, live_server, cast, paper):
    """The readings page on a phone, signed in as the learner, with a saved spot in lane 1."""
    # The browser's client leaves an event loop in the thread, and the ORM then refuses to run.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    client = Client()
    client.force_login(cast.learner, backend="practicals.gate.TableBackend")
    save(client, paper, origin="15", front="95", l1_s1_centre="35")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=QUIET)
        context = browser.new_context(viewport={"width": 320, "height": 640})
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        page = context.new_page()
        complaints: list[str] = []
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(live_server.url + url("readings", paper))
        yield page
        assert complaints == []
        browser.close()


def spots(page):
    return page.locator("svg.paper-drawing .spots > g")


def places(page):
    """Where the first spot and the front are drawn, as numbers."""
    spot = spots(page).first.get_attribute("transform")
    front = page.locator("svg.paper-drawing .front").get_attribute("d")
    return [float(figure) for figure in re.findall(r"[\d.]+", f"{spot} {front}")]


def test_the_drawing_follows_each_key_and_is_the_servers(page):
    # A paper 120 mm high, read from its lower edge: a reading of 45 mm is drawn 75 mm from the top.
    expect(spots(page)).to_have_count(1)
    by_server = places(page)
    page.fill("#id_l2_s1_centre", "4x")
    assert places(page) == by_server
    page.fill("#id_l2_s1_centre", "45")
    expect(spots(page)).to_have_count(2)
    expect(spots(page).nth(1)).to_have_attribute("transform", "translate(37.5 75)")
    page.fill("#id_l2_s1_centre", "4,5 cm")
    expect(spots(page).nth(1)).to_have_attribute("transform", "translate(37.5 75)")
    page.fill("#id_l2_s1_centre", "4x")
    expect(spots(page)).to_have_count(1)


def test_zero_on_the_origin_line_edges_and_unit_are_drawn_as_meant(page):
    # Planned 15 mm above the edge: a spot 20 mm above the line is 85 mm from the top.
    page.fill("#id_origin", "0")
    page.fill("#id_l1_s1_centre", "20")
    expect(spots(page).first).to_have_attribute("transform", "translate(12.5 85)")

    page.fill("#id_l1_s1_centre", "")
    page.locator("#lane-1 .reading-row summary").click()
    page.fill("#id_l1_s1_leading", "40")
    page.fill("#id_l1_s1_trailing", "30")
    expect(spots(page).locator("ellipse")).to_have_attribute("ry", "5")

    page.check("input[name=unit][value=cm]")
    expect(page.locator(".unit-field .unit").first).to_have_text("cm")
    page.fill("#id_l1_s1_centre", "3.5")
    page.fill("#id_origin", "1.5")
    expect(spots(page).first).to_have_attribute("transform", "translate(12.5 85)")


def test_typing_is_said_to_be_unsaved_until_the_enter_key_saves_it(page):
    expect(page.locator("[data-saved]")).to_contain_text("Saved ")
    page.fill("#id_l4_s1_centre", "70")
    expect(page.locator("[data-saved]")).to_have_text("Not saved yet.")
    expect(page.locator("svg.paper-drawing")).to_be_in_viewport()

    page.fill("#id_l2_s1_centre", "45")
    page.press("#id_l2_s1_centre", "Enter")
    expect(page.locator("[data-saved]")).to_contain_text("Saved ")
    expect(page.locator("#id_l2_s1_centre")).to_have_value("45")
