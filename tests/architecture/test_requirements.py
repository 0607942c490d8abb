"""What is installed is pinned to the last package, so that next year's fresh machine gets what was tested."""

import re
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
FILES = ("requirements.txt", "tests/requirements.txt")
PIN = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>[A-Za-z0-9.]+)$")


def lines(file):
    written = (ROOT / file).read_text().splitlines()
    return [line for line in written if line.strip() and not line.startswith("#")]


def pins(*files):
    found = [PIN.match(line) for file in files for line in lines(file)]
    return {canonicalize_name(pin["name"]): pin["version"] for pin in found if pin}


@pytest.mark.parametrize("file", FILES)
def test_every_line_is_an_exact_pin(file):
    loose = [line for line in lines(file) if not PIN.match(line)]
    assert loose == (["-r ../requirements.txt"] if file.startswith("tests/") else [])


def test_what_is_installed_is_what_is_pinned():
    installed = {name: metadata.version(name) for name in pins(*FILES)}
    assert installed == pins(*FILES)


@pytest.mark.parametrize("files", [FILES[:1], FILES], ids=["runs", "tests"])
def test_whatever_a_pinned_package_needs_is_pinned_too(files):
    pinned = pins(*files)
    needed = {
        (name, canonicalize_name(requirement.name))
        for name in pinned
        for requirement in map(Requirement, metadata.requires(name) or [])
        if requirement.marker is None or requirement.marker.evaluate({"extra": ""})
    }
    assert needed  # packages do need each other, so an empty set would mean that nothing was read
    assert {(name, other) for name, other in needed if other not in pinned} == set()
