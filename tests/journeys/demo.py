"""The demo, fresh and served by the real server, and its people before a browser."""

import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Demo:
    address: str
    #: Label -> the two things to type, as `load_demo` printed them.
    sign_ins: dict[str, tuple[str, str]]

    def context(self, browser: Browser, who: str, **more: Any) -> BrowserContext:
        """A browser's context in which this person of the demo is signed in."""
        context = browser.new_context(base_url=self.address, locale="en-GB", **more)
        first, second = self.sign_ins[who]
        page = context.new_page()
        if who == "bench":
            page.goto(f"/b/?word={first}&code={second}")
        else:
            page.goto("/sign-in/")
            page.fill("[name=username]", first)
            page.fill("[name=password]", second)
        page.locator("main form").get_by_role("button").first.click()
        page.get_by_role("button", name="Sign out").wait_for()
        page.close()
        return context


@contextmanager
def served_demo() -> Iterator[Demo]:
    with tempfile.TemporaryDirectory() as home:
        port = free_port()
        env = {**os.environ, "WICKMARK_HOME": home, "WICKMARK_MODE": "demo", "PORT": str(port)}
        # Its own SQLite file, whatever database the tests run on; and its own settings.
        for name in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE"):
            env.pop(name, None)
        manage = [sys.executable, str(ROOT / "manage.py")]
        for command in (["migrate", "--verbosity", "0"], ["collectstatic", "--noinput", "--verbosity", "0"]):
            subprocess.run([*manage, *command], env=env, check=True)
        load = [*manage, "load_demo"]
        said = subprocess.run(load, env=env, check=True, capture_output=True, text=True).stdout
        server = subprocess.Popen([*manage, "serve"], env=env)
        try:
            address = f"http://127.0.0.1:{port}"
            await_answer(address)
            yield Demo(address, sign_ins(said))
        finally:
            server.terminate()
            server.wait(30)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


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
    found = {}
    for line in said.splitlines():
        if "class word" in line:
            words = line.split()
            found["bench"] = (words[words.index("word") + 1].rstrip(","), words[words.index("code") + 1])
        elif line.startswith("  ") and len(line.split()) > 3:
            label, rest = line[2:26].strip(), line[27:].split(maxsplit=1)
            found[label] = (rest[0], rest[1].strip())
    return found
