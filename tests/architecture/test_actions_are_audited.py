"""Every action leaves an entry in the audit trail, and asks for permission first."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ACTIONS = sorted(
    path
    for package in ("practicals", "reagents", "assessment")
    for path in (ROOT / package / "actions").glob("*.py")
    if path.name != "__init__.py"
)
#: Called by actions that have checked and that write the entry.
PARTS_OF_ACTIONS = {
    "keep_file": "the action that keeps the file says so",
    "gather_observations": "gathers text only; submit_work freezes what it returns",
    "keep_document": "whoever makes the document has checked who may have it",
    "gather_evidence": "reads only; submit_work freezes what it returns",
    "take_for_batch": "record_batch asks, opens the transaction and says so",
    "check_document": "reads only, and anybody may ask whether a document is ours",
}
#: Nobody asks for these: the program shows the help, and the code itself is the permission.
ASKED_BY_NOBODY = {"record_shown_help", "sign_in_at_bench"}


def called(tree: ast.AST) -> set[str]:
    """Names that a module calls: `record`, `audit.record`, `acted.send`."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            names.add(ast.unparse(node.func))
    return names


def imported_actions(tree: ast.Module) -> set[str]:
    """Other actions that a module uses: what they record need not be recorded again."""
    return {
        alias.asname or alias.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and node.module and ".actions." in node.module
        for alias in node.names
    }


def test_there_are_actions_to_look_at():
    assert len(ACTIONS) > 30


@pytest.mark.parametrize("path", ACTIONS, ids=lambda path: f"{path.parts[-3]}.{path.stem}")
def test_each_action_writes_the_audit_trail(path):
    if path.stem in PARTS_OF_ACTIONS:
        return
    tree = ast.parse(path.read_text())
    names = called(tree)
    writes = names & {"record", "audit.record", "acted.send"} or names & imported_actions(tree)
    assert writes, "writes no audit entry"


@pytest.mark.parametrize("path", ACTIONS, ids=lambda path: f"{path.parts[-3]}.{path.stem}")
def test_each_action_asks_who_may(path):
    if path.stem in PARTS_OF_ACTIONS or path.stem in ASKED_BY_NOBODY:
        return
    text = path.read_text()
    tree = ast.parse(text)
    asks = "PermissionDenied" in text or called(tree) & imported_actions(tree)
    assert asks, "refuses nobody"
