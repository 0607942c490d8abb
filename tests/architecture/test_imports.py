"""The floors and the packages import each other one way only; pyproject.toml says which."""

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ALL_CONTRACTS = {
    "Packages",
    "Floors",
    "Calculations know no framework",
    "Pages are nobody's library",
}


def lint_imports(folder, config):
    program = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", program, "--config", str(config), "--no-cache"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_all_four_contracts_are_stated():
    config = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]
    assert {contract["name"] for contract in config["contracts"]} == ALL_CONTRACTS
    assert set(config["root_packages"]) == {"practicals", "assessment", "reagents"}


def test_every_contract_is_kept():
    done = lint_imports(ROOT, ROOT / "pyproject.toml")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "4 kept, 0 broken" in done.stdout


@pytest.fixture
def skeleton(tmp_path):
    """The three packages with every floor and nothing in them, to see what the contracts refuse."""
    for package in ("practicals", "assessment", "reagents"):
        for floor in ("", "pages", "documents", "actions", "models", "calculations"):
            folder = tmp_path / package / floor
            folder.mkdir(parents=True, exist_ok=True)
            (folder / "__init__.py").touch()
    (tmp_path / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text())
    return tmp_path


def test_an_empty_skeleton_keeps_the_contracts(skeleton):
    done = lint_imports(skeleton, skeleton / "pyproject.toml")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        ("reagents/models/batch.py", "import practicals.models", "Packages"),
        ("practicals/actions/plan.py", "import assessment.models", "Packages"),
        ("practicals/models/paper.py", "import practicals.actions", "Floors"),
        ("assessment/documents/portfolio.py", "import assessment.pages", "Floors"),
        ("practicals/calculations/rf.py", "import django.db", "Calculations know no framework"),
        ("assessment/pages/marking.py", "import practicals.pages", "Pages are nobody's library"),
        ("practicals/utils.py", "", "Floors"),
    ],
)
def test_a_wrong_import_breaks_its_contract(skeleton, module, line, contract):
    (skeleton / module).write_text(line + "\n")
    done = lint_imports(skeleton, skeleton / "pyproject.toml")
    assert done.returncode != 0
    assert f"{contract} BROKEN" in done.stdout
