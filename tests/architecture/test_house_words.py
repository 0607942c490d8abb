"""What no file may contain: empty names, places of one machine, markup that the strict policy blocks."""

import os
import re
from functools import cache
from pathlib import Path

import pytest

from practicals.gate import OnceOnlyMiddleware

ROOT = Path(__file__).resolve().parents[2]
NOT_OURS = {
    ".git",
    ".venv",
    ".wickmark",
    ".mypy_cache",
    ".ruff_cache",
    ".pytest_cache",
    ".hypothesis",
    ".import_linter_cache",
    "__pycache__",
}
TEXT = {".py", ".md", ".toml", ".txt", ".html", ".css", ".js", ".csv", ".sh", ".svg", ".cfg", ".json", ""}


@cache
def everything():
    """Every text file of the project, found without git, so that an unpacked archive is checked too."""
    found = []
    for folder, inner, names in os.walk(ROOT):
        inner[:] = sorted(set(inner) - NOT_OURS)  # walk goes no further than what is left here
        found += [Path(folder) / name for name in sorted(names)]
    return [path for path in found if path.suffix in TEXT and path.is_file()]


def files(*suffixes):
    return [path for path in everything() if not suffixes or path.suffix in suffixes]


def lines(paths, pattern, *, but=lambda path: False):
    """Where the pattern stands, as "file:line: text"."""
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:120]}"
        for path in paths
        if not but(path)
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1)
        if pattern.search(line)
    ]


def itself(path):
    return path == Path(__file__).resolve()


# Written in pieces, since this file is searched by others too.
REGISTRY = re.compile(
    "|".join(
        re.escape(".".join(host))
        for host in (
            ("pypi", "org"),
            ("files", "pythonhosted", "org"),
            ("npmjs", "org"),
            ("npmjs", "com"),
            ("deb", "debian", "org"),
            ("security", "debian", "org"),
            ("crates", "io"),
            ("cdn", "jsdelivr", "net"),
            ("unpkg", "com"),
            ("cdnjs", "cloudflare", "com"),
        )
    )
)
MACHINE_PATH = re.compile(r"(?<![\w.~-])/(?:work|root|tmp)/\w")
STEERING = re.compile(
    r"(?<!\w)\.\./shared/|\bissue #?\d+\b|\bseed[ ]document\b|/shared/(?:design|style|look)", re.IGNORECASE
)


@pytest.mark.parametrize(
    ("pattern", "why"),
    [
        (REGISTRY, "no host of a package registry or a content network"),
        (MACHINE_PATH, "no path of one machine"),
        (STEERING, "nothing outside the project's folder is pointed at"),
    ],
    ids=["registry", "machine path", "outside"],
)
def test_no_file_names(pattern, why):
    assert lines(files(), pattern, but=itself) == [], why


def test_there_are_files_to_look_at():
    assert len(files(".py")) > 50
    assert len(files(".html")) > 10


EMPTY_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}


def test_every_module_is_named_for_what_it_holds():
    assert [str(path.relative_to(ROOT)) for path in files(".py") if path.stem in EMPTY_NAMES] == []
    folders = {folder for path in files(".py") for folder in path.relative_to(ROOT).parent.parts}
    assert folders & EMPTY_NAMES == set()


# -- templates ---------------------------------------------------------------------------------


def pages():
    """Templates of pages. Documents are made into PDF and no browser's policy applies to them."""
    found = [path for path in files(".html") if "tests" not in path.relative_to(ROOT).parts]
    return [path for path in found if "documents" not in path.relative_to(ROOT).parts[:-1]]


@pytest.mark.parametrize(
    ("pattern", "why"),
    [
        (
            re.compile(r"""(?:^|\s)style\s*=\s*["'{]""", re.IGNORECASE),
            "inline style is blocked; use a class",
        ),
        (re.compile(r"<style\b", re.IGNORECASE), "the policy blocks style elements; use the style sheet"),
        (re.compile(r"<script\b(?![^>]*\bsrc=)(?![^>]*application/json)", re.IGNORECASE), "no inline script"),
        (re.compile(r"""\son[a-z]+\s*=\s*["'{]""", re.IGNORECASE), "no handler in an attribute"),
        (re.compile(r"javascript:", re.IGNORECASE), "no script in an address"),
        (
            re.compile(r"""(?:src|href)=["'](?:https?:)?//[^"']+\.(?:js|css|woff2?)\b""", re.IGNORECASE),
            "nothing from elsewhere",
        ),
        # A field's help text is ours, never typed by people.
        (
            re.compile(r"(?<!help_text)\|\s*safe\b|\{%\s*autoescape\s+off", re.IGNORECASE),
            "what is typed is escaped",
        ),
    ],
    ids=["style attribute", "style element", "script", "handler", "address", "elsewhere", "unescaped"],
)
def test_no_page_template_holds(pattern, why):
    assert lines(pages(), pattern) == [], why


FORM = re.compile(
    r"<form\b(?P<tag>[^>]*(?:\{[{%].*?[%}]\}[^>]*)*)>(?P<body>.*?)</form>", re.IGNORECASE | re.DOTALL
)
POSTS = re.compile(r"""method\s*=\s*["']?post""", re.IGNORECASE)


def sending_forms():
    return [
        (path, form)
        for path in pages()
        for form in FORM.finditer(path.read_text())
        if POSTS.search(form["tag"])
    ]


def needs_no_key(path, form):
    """Sign-in, sign-out and the colour choice keep nothing; the gate lists them.

    An entry that is sent again carries the key that it came with.
    """
    if path.name == "kept_entry.html":
        return True
    names = {name.split(":")[1] for name in OnceOnlyMiddleware.WITHOUT_KEY}
    action = re.search(r"""action\s*=\s*(["'])(.*?)\1""", form["tag"], re.DOTALL)
    if action and action[2].strip():
        return any(
            f"people:{name}'" in action[2].replace('"', "'") or f"{name}_url" in action[2] for name in names
        )
    return path.parent.name == "people" and path.stem in names


def test_every_sending_form_carries_the_token_against_forgery():
    unprotected = [
        str(path.relative_to(ROOT))
        for path, form in sending_forms()
        if "{% csrf_token %}" not in form["body"]
    ]
    assert unprotected == []


def test_every_form_that_keeps_something_carries_its_once_only_key():
    keyless = [
        str(path.relative_to(ROOT))
        for path, form in sending_forms()
        if not re.search(r"\{%\s*once\s*%\}", form["body"]) and not needs_no_key(path, form)
    ]
    assert keyless == []


def test_there_are_forms_to_look_at():
    assert len(sending_forms()) > 5


@pytest.mark.parametrize(
    ("markup", "found"),
    [
        ('<form method="post" action="{% url "a:b" x>1 %}">{% csrf_token %}</form>', 1),
        ('<form\n  class="x"\n  method="post">{% csrf_token %}{% once %}</form>', 1),
        ('<form method="get"></form>', 0),
    ],
)
def test_the_check_itself_sees_forms(markup, found):
    assert sum(bool(POSTS.search(form["tag"])) for form in FORM.finditer(markup)) == found
