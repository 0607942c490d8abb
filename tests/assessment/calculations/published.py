"""Reads the published checks of this folder; each case names its source."""

import csv
import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[2] / "published"


def stats_cases(method: str) -> list[dict[str, Any]]:
    """Cases of one method; the file gives title and authors of each source key."""
    text = (FOLDER / "assessment_stats_cases.json").read_text(encoding="utf-8")
    cases = [case for case in json.loads(text)["cases"] if case["method"] == method]
    assert cases, f"no published case for {method}"
    return cases


def deadline_cases() -> list[dict[str, str]]:
    """Deadlines computed from the official list of bank holidays; the head of the file cites it."""
    lines = (FOLDER / "assessment_working_days.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def case_id(case: dict[str, Any]) -> str:
    return str(case.get("id") or case["case_id"])
