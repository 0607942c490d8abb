"""Reads the published checks of class statistics; each case names its source."""

import csv
import json
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).resolve().parents[2] / "published"


def cases(*methods: str) -> list[Any]:
    """Cases of these methods; the file gives title and authors of each source key."""
    text = (FOLDER / "statistics_cases.json").read_text(encoding="utf-8")
    found = [case for case in json.loads(text)["cases"] if case["method"] in methods]
    assert {case["method"] for case in found} == set(methods), methods
    return [pytest.param(case, id=case["id"]) for case in found]


def table(name: str) -> list[dict[str, str]]:
    """Rows of a printed table; the head of the file cites it."""
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert rows, name
    return rows


def near(case: dict[str, Any], key: str, *names: str) -> Any:
    """The expected figure with the case's own tolerance, for comparison by ==."""
    tolerance = case["tolerance"]
    expected = case["expected"][key]
    for name in (key, *names):
        if name in tolerance:
            return pytest.approx(expected, abs=max(tolerance[name], 1e-12), rel=0)
    if "rel" in tolerance:
        return pytest.approx(expected, rel=tolerance["rel"], abs=0)
    return pytest.approx(expected, abs=max(tolerance["abs"], 1e-12), rel=0)


def scipy_reference(case: dict[str, Any]) -> list[tuple[float, ...]]:
    """Data of a NIST set that comes inside scipy's own tests.

    Some distributions of scipy leave their test data out; only then is a check skipped.
    """
    import scipy

    file = Path(scipy.__file__).resolve().parents[1] / case["data"]["file"]
    if not file.is_file():
        pytest.skip(f"this copy of scipy comes without its test data ({file.name})")
    lines = file.read_text(encoding="ascii").splitlines()[case["data"]["skip_lines"] :]
    return [tuple(float(part) for part in line.split()) for line in lines if line.strip()]
