"""Every public calculation says what it takes and gives, in which unit, when it refuses, and its source."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("practicals", "assessment", "reagents")
HEADING = re.compile(r"^(?P<name>[A-Z][A-Za-z ]+)\n-{3,}$", re.MULTILINE)
ENTRY = re.compile(r"^(?P<names>\*{0,2}\w+(?:, *\*{0,2}\w+)*) *:", re.MULTILINE)
# A bare number means nothing without its unit; `int` may count things, which its name says.
MEASURED = re.compile(r"\b(?:Decimal|float)\b")
UNIT = re.compile(r"\[[^\]\n]+\]")


def public(kind):
    """The public "functions" of every module of calculations, or the public "methods" of its classes."""
    for package in PACKAGES:
        for path in sorted((ROOT / package / "calculations").rglob("*.py")):
            for node in ast.parse(path.read_text()).body:
                yield from named(node, path.relative_to(ROOT), kind)


def named(node, place, kind):
    if node.__class__ not in {ast.FunctionDef, ast.ClassDef} or node.name.startswith("_"):
        return
    if isinstance(node, ast.FunctionDef) and kind == "functions":
        yield pytest.param(node, id=f"{place}:{node.name}")
    if isinstance(node, ast.ClassDef) and kind == "methods":
        for method in node.body:
            if isinstance(method, ast.FunctionDef) and not method.name.startswith("_"):
                yield pytest.param(method, id=f"{place}:{node.name}.{method.name}")


def sections(docstring):
    found = list(HEADING.finditer(docstring))
    ends = [*(heading.start() for heading in found[1:]), len(docstring)][: len(found)]
    return {
        heading["name"]: docstring[heading.end() : end].strip("\n")
        for heading, end in zip(found, ends, strict=True)
    }


def parameters(function):
    arguments = function.args
    listed = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    listed += [extra for extra in (arguments.vararg, arguments.kwarg) if extra]
    return [argument for argument in listed if argument.arg not in {"self", "cls"}]


def entries(section):
    """Each documented name with its own text."""
    found = list(ENTRY.finditer(section))
    ends = [*(entry.start() for entry in found[1:]), len(section)][: len(found)]
    return {
        name.strip().lstrip("*"): section[entry.start() : end]
        for entry, end in zip(found, ends, strict=True)
        for name in entry["names"].split(",")
    }


def raises(function):
    """Does the body itself raise? What it calls may too, but that the reader of the source cannot count."""
    return any(isinstance(node, ast.Raise) for node in ast.walk(function))


def faults(function):
    docstring = ast.get_docstring(function)
    if not docstring:
        return ["has no docstring"]
    said = sections(docstring)
    documented = entries(said.get("Parameters", ""))
    wanted = {argument.arg: argument for argument in parameters(function)}
    found = [f"parameter {name} is not documented" for name in wanted if name not in documented]
    found += [f"documents {name}, which it does not take" for name in documented if name not in wanted]
    found += [
        f"parameter {name} has no [unit]"
        for name, argument in wanted.items()
        if name in documented
        and argument.annotation is not None
        and MEASURED.search(ast.unparse(argument.annotation))
        and not UNIT.search(documented[name])
    ]
    gives = function.returns is not None and ast.unparse(function.returns) != "None"
    if gives and not {"Returns", "Yields"} & said.keys():
        found.append("has no Returns section")
    if raises(function) and "Raises" not in said:
        found.append("raises, and has no Raises section")
    if not said.get("References", "").strip():
        found.append("has no References section (say 'common practice, no source' where that is so)")
    return found


@pytest.mark.parametrize("function", list(public("functions")))
def test_a_public_calculation_is_documented(function):
    assert faults(function) == []


@pytest.mark.parametrize("method", list(public("methods")))
def test_a_public_method_of_a_calculation_says_what_it_is(method):
    assert ast.get_docstring(method)


def test_there_are_calculations_to_look_at():
    assert len(list(public("functions"))) > 20


DOCUMENTED = '''
def rf(spot_mm: Decimal, *, front_mm: Decimal) -> Decimal:
    """Retardation factor.

    Parameters
    ----------
    spot_mm : Decimal
        Distance of the spot [mm].
    front_mm : Decimal
        Distance of the front [mm].

    Returns
    -------
    Decimal
        Retardation factor [-].

    Raises
    ------
    ValueError
        If the front is at the origin.

    References
    ----------
    [1] A source.
    """
    raise ValueError
'''


@pytest.mark.parametrize(
    ("drop", "fault"),
    [
        ("", None),
        ("        Distance of the spot [mm].\n", "parameter spot_mm has no [unit]"),
        ("    front_mm : Decimal\n", "parameter front_mm is not documented"),
        ("    Returns\n    -------\n", "has no Returns section"),
        ("    Raises\n    ------\n", "raises, and has no Raises section"),
        ("    [1] A source.\n", "has no References section"),
    ],
)
def test_the_check_itself_finds_what_is_missing(drop, fault):
    (function,) = ast.parse(DOCUMENTED.replace(drop, "", 1)).body
    found = faults(function)
    assert found == [] if fault is None else any(fault in one for one in found)
