"""Makes the README's pictures from a fresh demo: `make screenshots`."""

import subprocess
import tempfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tests.journeys.browser import launch
from tests.journeys.demo import ROOT, Demo, served_demo

PICTURES = ROOT / ".pictures"
DESKTOP, PHONE = {"width": 1280, "height": 860}, {"width": 390, "height": 780}
#: A picture in the README weighs no more than this [byte].
MOST_BYTES = 150_000


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    with served_demo() as demo, sync_playwright() as playwright:
        browser = launch(playwright)
        for take in (plan, prep_list, bench, board, marking, portfolio, sampling):
            take(browser, demo)
        browser.close()


def plan(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Teacher", DESKTOP)
    page.goto("/plan/sessions/")
    page.get_by_role("link", name="Leaf pigments").first.click()
    keep(page, "plan")


def prep_list(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Technician", DESKTOP)
    page.get_by_role("link", name="Amino acids on paper").first.click()
    keep_pdf(pdf_behind(page, "Print the list (PDF)"), "prep-list", number=1)


def bench(browser: Browser, demo: Demo) -> None:
    """A phone at the bench; the figures are typed here, invented like all of the demo."""
    page = before(browser, demo, "bench", PHONE, device_scale_factor=1.5)
    page.goto("/bench/")
    page.get_by_role("link", name="Enter readings").first.click()
    page.fill("#id_origin", "20")
    page.fill("#id_front", "131")
    for lane, centre in enumerate(("36", "46.5", "59", "58.5", "64", "65", "99"), start=1):
        page.fill(f"#id_l{lane}_s1_centre", centre)
    page.fill("#id_l1_s1_own_rf", "0.14")
    page.fill("#id_l2_s1_own_rf", "4.19")
    page.get_by_role("button", name="Save readings", exact=True).click()
    page.get_by_text("Saved ").first.wait_for()
    page.locator("#remarks").evaluate("one => one.scrollIntoView()")
    keep(page, "bench")


def board(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Teacher", DESKTOP)
    page.goto("/plan/sessions/")
    page.get_by_role("link", name="Amino acids on paper, Applied Science 1B").first.click()
    page.get_by_role("link", name="Open the bench board").click()
    page.get_by_role("heading", name="Board").wait_for()
    keep(page, "board")


def marking(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Teacher", DESKTOP)
    open_decided_work(page)
    keep(page, "marking")


def portfolio(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Teacher", DESKTOP)
    open_decided_work(page)
    pdf = pdf_behind(page, "Portfolio as PDF")
    keep_pdf(pdf, "portfolio", number=page_with(pdf, "actual size"))


def sampling(browser: Browser, demo: Demo) -> None:
    page = before(browser, demo, "Internal verifier", DESKTOP)
    page.goto("/verify/")
    page.locator("main ol.waiting a").first.click()
    keep(page, "sampling")


def before(browser: Browser, demo: Demo, who: str, size: dict[str, int], **more: Any) -> Page:
    page = demo.context(browser, who, viewport=size, **more).new_page()
    page.goto("/")
    return page


def open_decided_work(page: Page) -> None:
    page.goto("/marking/")
    page.get_by_role("link", name="Applied Science 1A").first.click()
    page.get_by_role("row").filter(has_text="released").first.get_by_role("link").click()


def keep(page: Page, name: str) -> None:
    page.wait_for_load_state("networkidle")
    save(Image.open(BytesIO(page.screenshot(animations="disabled"))), name)


def pdf_behind(page: Page, link: str) -> bytes:
    address = page.get_by_role("link", name=link).get_attribute("href") or ""
    answer = page.request.get(address)
    assert answer.status == 200, (address, answer.status)
    return bytes(answer.body())


def page_with(pdf: bytes, words: str) -> int:
    """The first page on which the words stand."""
    text = with_file(pdf, lambda path: poppler("pdftotext", "-layout", str(path), "-"))
    return next(n for n, page in enumerate(text.decode().split("\f"), start=1) if words in page)


def keep_pdf(pdf: bytes, name: str, *, number: int) -> None:
    shown = ["pdftoppm", "-png", "-r", "80", "-f", str(number), "-l", str(number)]
    save(Image.open(BytesIO(with_file(pdf, lambda path: poppler(*shown, str(path))))), name)


def with_file(data: bytes, use: Callable[[Path], bytes]) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "document.pdf")
        path.write_bytes(data)
        return use(path)


def poppler(*command: str) -> bytes:
    return subprocess.run(command, check=True, capture_output=True).stdout


def save(picture: Image.Image, name: str) -> None:
    """Few colours are enough for a calm page, and keep the picture small."""
    path = PICTURES / f"{name}.png"
    picture.convert("RGB").quantize(colors=64, dither=Image.Dither.NONE).save(path, optimize=True)
    assert path.stat().st_size <= MOST_BYTES, f"{path.name} is {path.stat().st_size} bytes"
    print(f"{path.name}: {picture.width} x {picture.height}, {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
