"""Every kind of page of the demo, as each role, stands up to axe and to a narrow screen.

axe-core checks the success criteria of WCAG 2.0 to 2.2 that a program can check; the rest needs people.
"""

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urldefrag, urljoin, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, resolve
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.journeys.browser import Complaints, launch
from tests.journeys.demo import Demo, served_demo
from tests.journeys.test_every_link import Links

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOBODY = "nobody"
#: Of each kind of page, this many are opened in search of links to further kinds.
OPENED = 2
AXE = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}
#: Journeys whose pages differ from person to person.
OWN = {"home", "bench", "my_work"}
#: All that the colours of a scheme can change.
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}, "resultTypes": ["violations"]}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = launch(playwright)
        yield started
        started.close()


@pytest.fixture(scope="module")
def demo() -> Iterator[Demo]:
    with served_demo() as served:
        yield served


@pytest.fixture(scope="module")
def kept(browser: Browser, demo: Demo) -> dict[str, str | dict]:
    """Each person's cookies, so that nobody signs in more than once."""
    found: dict = {NOBODY: {"cookies": [], "origins": []}}
    for who in demo.sign_ins:
        with _closing(demo.context(browser, who)) as context:
            found[who] = context.storage_state()
    return found


@pytest.fixture(scope="module")
def pages(browser: Browser, demo: Demo, kept: dict) -> list[tuple[str, str, str]]:
    """One page per view, and per person where it is their own: the view's name, who opens it, its address."""
    found: dict[str, tuple[str, str, str]] = {}
    for who, state in kept.items():
        with _closing(browser.new_context(base_url=demo.address, storage_state=state)) as context:
            for view, address in crawl(context, demo.address):
                key = f"{view} of {who}" if view.split(":")[0] in OWN else view
                found.setdefault(key, (key, who, address))
    return sorted(found.values(), key=lambda page: page[1])


def crawl(context: BrowserContext, base: str) -> Iterator[tuple[str, str]]:
    waiting, met, opened = deque(["/", "/b/", "/sign-in/"]), set(), dict[str, int]()
    while waiting:
        address = waiting.popleft()
        view = view_of(address)
        if address in met or view is None or address.endswith((".pdf", ".zip")):
            continue
        met.add(address)
        if opened.get(view, 0) == OPENED:
            continue
        answer = context.request.get(base + address)
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        assert answer.status == 200, (address, answer.status)
        opened[view] = opened.get(view, 0) + 1
        parser = Links()
        parser.feed(answer.text())
        waiting.extend(
            urldefrag(urljoin(answer.url, href)).url.removeprefix(base)
            for href in parser.found
            if urlsplit(urljoin(answer.url, href)).netloc == urlsplit(base).netloc
        )
        # A redirect's page is found by its own address.
        landed = answer.url.removeprefix(base)
        if view_of(landed) == view:
            yield view, address
        else:
            waiting.append(landed)


def view_of(address: str) -> str | None:
    try:
        return resolve(urlsplit(address).path).view_name
    except Resolver404:
        return None


@contextmanager
def _closing(context: BrowserContext) -> Iterator[BrowserContext]:
    yield context
    context.close()


@pytest.mark.parametrize("half", [0, 1])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(
    browser: Browser, demo: Demo, kept: dict, pages: list[tuple[str, str, str]], half: int
):
    faults: list[str] = []
    complaints = Complaints()
    for who, state in list(kept.items())[half::2]:
        with _closing(browser.new_context(base_url=demo.address, storage_state=state)) as context:
            complaints.watch(context)
            page = context.new_page()
            for view, owner, address in pages:
                if owner == who:
                    page.goto(address)
                    faults += [f"{view} ({who}, {address}): {fault}" for fault in faults_of(page)]
    assert faults + complaints.said == []


def test_axe_finds_nothing_in_refusals_and_remarks(browser: Browser, demo: Demo, kept: dict):
    """Pages that only typing brings about: refused forms, remarks on readings, the way to lock them."""
    faults: list[str] = []
    with _closing(browser.new_context(base_url=demo.address, storage_state=kept["Teacher"])) as context:
        page = context.new_page()
        page.goto("/plan/sessions/new/")
        page.get_by_role("button", name="Plan the session").click()
        page.get_by_text("Nothing was saved yet").first.wait_for()
        faults += faults_of(page)
    with _closing(browser.new_context(base_url=demo.address, storage_state=kept["bench"])) as context:
        page = context.new_page()
        page.goto("/bench/")
        page.get_by_role("link", name="Enter readings").click()
        page.fill("#id_origin", "2o")
        page.fill("#id_front", "120")
        page.fill("#id_l1_s1_centre", "150")
        page.get_by_role("button", name="Save readings", exact=True).click()
        page.locator("#id_origin_error").wait_for()
        faults += faults_of(page)
        page.fill("#id_origin", "20")
        page.get_by_role("button", name="Save, and finish measuring").click()
        page.get_by_role("heading", name="Still missing").wait_for()
        faults += faults_of(page)
        page.get_by_role("link", name="Back to my readings").click()
        page.get_by_role("heading", name="Worth another look").wait_for()
        faults += faults_of(page)
    assert faults == []


def faults_of(page: Page) -> Iterator[str]:
    """Narrow and wide, light and dark, without loading the page again."""
    page.evaluate(Axe().axe_script)
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        for scheme, options in (("light", AXE), ("dark", CONTRAST)):
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            found = page.evaluate("options => axe.run(options)", options)
            for violation in found["violations"]:
                first = violation["nodes"][0]
                yield (
                    f"{width} px, {scheme}: {violation['id']} at {len(violation['nodes'])}, such as "
                    f"{first['html'][:160]}: {first['failureSummary']}"
                )
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            yield f"{width} px: scrolls sideways, {wide} px"


def test_the_pages_that_matter_are_among_those_opened(pages: list[tuple[str, str, str]]):
    """A crawl that finds too little would find no fault either."""
    met = {view for view, _, _ in pages}
    wanted = {
        "people:sign_in", "people:bench_sign_in", "plan:new_session", "plan:session", "plan:requisition",
        "prep:requisition", "prep:record_batch", "bench:readings of bench", "board:board",
        "board:learner", "marking:assignment", "marking:work", "verify:plan", "my_work:work of bench",
        "verify:portfolio", "people:accounts", "people:audit", "home:home of Teacher",
        "home:home of Technician",
    }  # fmt: skip
    assert wanted - met == set()
