"""Takes typed values out of a parsed TOML table, collecting every problem as a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from difflib import get_close_matches
from typing import TypeVar, cast

_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")
_LONGEST_TEXT = 2000
_MOST_ENTRIES = 200

Choice = TypeVar("Choice", bound=str)


class TableReader:
    """Reads one table. Each method returns a usable value even when it records a problem."""

    def __init__(self, table: Mapping[str, object], where: str, problems: list[str]) -> None:
        self._table = table
        self._where = where
        self._problems = problems
        self._seen: set[str] = set()

    def problem(self, sentence: str) -> None:
        """Record a problem with where it is."""
        self._problems.append(f"{self._where}: {sentence}")

    def text(self, name: str, *, required: bool = True) -> str:
        """A line of text; empty only if not required."""
        value = self._take(name, required=required)
        if value is None:
            return ""
        if not isinstance(value, str):
            self.problem(f'"{name}" must be text in quotation marks, not {_shown(value)}.')
            return ""
        if required and not value.strip():
            self.problem(f'"{name}" is empty. Write what it should say.')
        if len(value) > _LONGEST_TEXT:
            self.problem(f'"{name}" is longer than {_LONGEST_TEXT} characters. Shorten it.')
        return value.strip()

    def key(self, name: str) -> str:
        """A key: small letters, digits and single hyphens."""
        value = self.text(name)
        if value and not _KEY.match(value):
            self.problem(f'"{name}" may hold only small letters, digits and hyphens, not {_shown(value)}.')
        return value

    def choice(self, name: str, allowed: Sequence[Choice]) -> Choice:
        """One of a few words."""
        value = self._take(name, required=True)
        if isinstance(value, str) and value in allowed:
            return cast(Choice, value)
        if value is not None:
            self.problem(f'"{name}" must be one of {_listed(allowed)}, not {_shown(value)}.')
        return allowed[0]

    def number(
        self, name: str, *, above: int | None = 0, at_most: int, required: bool = True
    ) -> Decimal | None:
        """A number above one limit and up to another; None if absent or wrong."""
        value = self._take(name, required=required)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
            self.problem(
                f'"{name}" must be a number such as 2.5 without quotation marks, not {_shown(value)}.'
            )
            return None
        number = Decimal(value)
        if not number.is_finite() or number > at_most or (above is not None and number <= above):
            self.problem(f'"{name}" must be above {above} and at most {at_most}, not {_shown(value)}.')
            return None
        return number

    def length(self, name: str, *, at_most: int = 2000) -> Decimal:
        """A length above 0 [mm]; 0 if absent or wrong."""
        return self.number(name, at_most=at_most) or Decimal(0)

    def whole(self, name: str, *, least: int, at_most: int, default: int | None = None) -> int:
        """A whole number."""
        value = self._take(name, required=default is None)
        if value is None:
            return least if default is None else default
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= at_most:
            self.problem(f'"{name}" must be a whole number from {least} to {at_most}, not {_shown(value)}.')
            return least
        return value

    def texts(self, name: str, *, required: bool = False) -> tuple[str, ...]:
        """A list of texts."""
        value = self._take(name, required=required)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            self.problem(f'"{name}" must be a list of texts in square brackets.')
            return ()
        if len(value) > _MOST_ENTRIES:
            self.problem(f'"{name}" has more than {_MOST_ENTRIES} entries. Shorten it.')
        return tuple(str(item).strip() for item in value[:_MOST_ENTRIES])

    def table(self, name: str) -> TableReader:
        """A table within this one, empty if absent or wrong."""
        value = self._take(name, required=True)
        if value is not None and not isinstance(value, dict):
            self.problem(f'"{name}" must be a table, written [{name}].')
        table = value if isinstance(value, dict) else {}
        return TableReader(table, f"{name}", self._problems if isinstance(value, dict) else [])

    def tables(self, name: str, *, required: bool = True) -> Iterator[TableReader]:
        """The tables of a list, each named by its place and, where it has one, its key or title."""
        value = self._take(name, required=required)
        if value is None:
            return
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.problem(f'"{name}" must be a list of tables, each begun with [[{name}]].')
            return
        if required and not value:
            self.problem(f'"{name}" has no entries. Give at least one.')
        if len(value) > _MOST_ENTRIES:
            self.problem(f'"{name}" has more than {_MOST_ENTRIES} entries. Shorten it.')
        for index, item in enumerate(value[:_MOST_ENTRIES], 1):
            called = item.get("key") or item.get("title") or item.get("name") or item.get("substance")
            label = f"{name} {index}" + (f" ({called})" if isinstance(called, str) else "")
            where = label if self._where == "practical" else f"{self._where}, {label}"
            yield TableReader(item, where, self._problems)

    def finish(self) -> None:
        """Name the entries that nobody asked for: most are misspelt."""
        for name in self._table:
            if name not in self._seen:
                near = get_close_matches(name, self._seen, n=1)
                meant = f' Was "{near[0]}" meant?' if near else ""
                self.problem(f'"{name[:40]}" is not an entry that is known here.{meant}')

    def _take(self, name: str, *, required: bool) -> object:
        self._seen.add(name)
        value = self._table.get(name)
        if value is None and required:
            self.problem(f'"{name}" is missing.')
        return value


def _shown(value: object) -> str:
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else text[:40] + " ..."


def _listed(words: Sequence[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)
