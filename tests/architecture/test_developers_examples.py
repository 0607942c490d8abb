"""The examples of calculations in DEVELOPERS.md are run as they stand there, one session for each package."""

import doctest
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SECTION = "## Calculations, callable from plain Python\n"
BLOCK = re.compile(r"^```pycon\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PACKAGES = ("reagents", "practicals", "assessment")


def examples(package: str) -> doctest.DocTest:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = re.split(r"^## ", text.partition(SECTION)[2], flags=re.MULTILINE)[0]
    own = re.split(r"^### ", section.partition(f"### `{package}`\n")[2], flags=re.MULTILINE)[0]
    blocks = "\n".join(BLOCK.findall(own))
    return doctest.DocTestParser().get_doctest(blocks, {}, package, "DEVELOPERS.md", 0)


@pytest.mark.parametrize("package", PACKAGES)
def test_every_example_gives_what_is_printed(package):
    test = examples(package)
    assert len(test.examples) > 20
    said: list[str] = []
    result = doctest.DocTestRunner(verbose=False).run(test, out=said.append)
    assert result.failed == 0, "".join(said)


def test_every_package_is_imported_from_without_django():
    for package in PACKAGES:
        sources = "".join(example.source for example in examples(package).examples)
        assert f"from {package}.calculations." in sources
        assert "django" not in sources
