"""A real Chromium, people who use it. What they click is counted; what the browser complains of is kept."""

import os
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Locator, Page, Playwright, Response

CHROMIUM = os.environ.get("WICKMARK_CHROMIUM", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def launch(playwright: Playwright) -> Browser:
    return playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)


@dataclass
class Complaints:
    """What the console said and which answers were errors, over all contexts that are watched."""

    said: list[str] = field(default_factory=list)

    def watch(self, context: BrowserContext) -> None:
        context.on("console", self._console)
        context.on("weberror", lambda found: self.said.append(f"script: {found.error}"))
        context.on("response", self._response)

    def _console(self, message: ConsoleMessage) -> None:
        # A breach of the content policy comes as an error in the console.
        if message.type in {"error", "warning"}:
            self.said.append(f"console: {message.text} {message.location}")

    def _response(self, response: Response) -> None:
        if response.status >= 400:
            self.said.append(f"answer {response.status}: {response.request.method} {response.url}")


class Person:
    """Somebody before a screen. Clicks, choices from a list and ticks are counted; typing is not."""

    def __init__(self, context: BrowserContext) -> None:
        self.page: Page = context.new_page()
        self.page.set_default_timeout(10_000)
        self.clicks = 0

    def click(self, role: Any, name: str, *, exact: bool = False, within: Locator | None = None) -> None:
        self.clicks += 1
        (within or self.page).get_by_role(role, name=name, exact=exact).first.click()

    def tick(self, label: str, *, exact: bool = False, within: Locator | None = None) -> None:
        self.clicks += 1
        (within or self.page).get_by_label(label, exact=exact).first.check()

    def choose(self, label: str, option: str, *, within: Locator | None = None) -> None:
        """From a list: one click opens it, one takes the option."""
        self.clicks += 2
        box = (within or self.page).get_by_label(label).first
        value = box.locator("option", has_text=option).first.get_attribute("value")
        box.select_option(value)

    def type(self, label: str, text: str, *, within: Locator | None = None) -> None:
        (within or self.page).get_by_label(label).first.fill(text)

    def signs_in(self, username: str, password: str) -> None:
        self.page.goto("/sign-in/")
        self.page.fill("[name=username]", username)
        self.page.fill("[name=password]", password)
        self.click("button", "Sign in", within=self.page.locator("main"))

    def reads(self) -> str:
        return self.page.locator("main").inner_text()

    def status_of(self, address: str) -> int:
        """Ask without opening it, so that a refusal that is meant is no complaint of the browser."""
        return self.page.request.get(address).status

    def download(self, link: Locator) -> bytes:
        """The bytes behind a link, asked for with this person's sign-in."""
        response = self.page.request.get(link.get_attribute("href") or "")
        assert response.status == 200, response.status
        return bytes(response.body())
