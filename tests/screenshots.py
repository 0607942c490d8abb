"""Makes the README's pictures from the demo: `make screenshots`."""

import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / ".pictures"
DESKTOP, PHONE = {"width": 1200, "height": 800}, {"width": 360, "height": 740}
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


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def demo() -> Iterator[tuple[str, str]]:
    """A fresh demo, served for real. Gives its address and what `load_demo` printed."""
    with tempfile.TemporaryDirectory() as home:
        port = free_port()
        env = {**os.environ, "WICKMARK_HOME": home, "WICKMARK_MODE": "demo", "PORT": str(port)}
        manage = [sys.executable, str(ROOT / "manage.py")]
        for command in (["migrate", "--verbosity", "0"], ["collectstatic", "--noinput", "--verbosity", "0"]):
            subprocess.run([*manage, *command], env=env, check=True)
        load = [*manage, "load_demo"]
        said = subprocess.run(load, env=env, check=True, capture_output=True, text=True).stdout
        server = subprocess.Popen([*manage, "serve"], env=env)
        try:
            address = f"http://127.0.0.1:{port}"
            await_answer(address)
            yield address, said
        finally:
            server.terminate()
            server.wait(30)


def await_answer(address: str) -> None:
    for _ in range(150):
        try:
            urllib.request.urlopen(f"{address}/health/", timeout=2)  # noqa: S310
        except OSError:
            time.sleep(0.2)
        else:
            return
    raise TimeoutError("The demo did not answer.")


def sign_ins(said: str) -> dict[str, tuple[str, str]]:
    """Label -> the two things to type, from what `load_demo` printed."""
    found = {}
    for line in said.splitlines():
        if "class word" in line:
            words = line.split()
            found["bench"] = (words[words.index("word") + 1].rstrip(","), words[words.index("code") + 1])
        elif line.startswith("  ") and len(line.split()) > 3:
            label, rest = line[2:26].strip(), line[27:].split(maxsplit=1)
            found[label] = (rest[0], rest[1].strip())
    return found


def signed_in(browser: Browser, address: str, who: tuple[str, str], size: dict[str, int]) -> Page:
    page = browser.new_context(viewport=size, base_url=address, locale="en-GB").new_page()
    page.goto("/sign-in/")
    page.fill("[name=username]", who[0])
    page.fill("[name=password]", who[1])
    page.get_by_role("button", name="Sign in").first.click()
    return page


def at_the_bench(browser: Browser, address: str, who: tuple[str, str], size: dict[str, int]) -> Page:
    page = browser.new_context(viewport=size, base_url=address, locale="en-GB").new_page()
    page.goto(f"/b/?word={who[0]}&code={who[1]}")
    page.locator("main form").get_by_role("button").first.click()
    return page
