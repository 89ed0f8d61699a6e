"""Reading the data files: one strict reader that knows where it is and which sources exist."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator
from functools import cache
from pathlib import Path
from typing import NoReturn

import yaml

try:
    from yaml import CSafeLoader as _YamlLoader
except ImportError:  # a PyYAML without the C library: ten times slower, otherwise the same
    from yaml import SafeLoader as _YamlLoader  # type: ignore[assignment]

from kitforge.model.workshop import Fact, Span

TRUSTS = ("read", "memory", "common practice", "derived", "author")
_DATA = Path(__file__).parent / "data"
UNSOURCED = ("common practice", "memory", "derived")


class TableError(Exception):
    """A data file of the package (or a plugin's table) is wrong. This is a bug, not a user's mistake."""


class _UniqueKeys(_YamlLoader):
    """The safe loader, refusing a key that is given twice (YAML forbids it, PyYAML keeps the last one)."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, object]:
        keys = [key.value for key, _ in node.value]
        if len(keys) != len(set(keys)):
            twice = sorted({key for key in keys if keys.count(key) > 1})
            raise yaml.constructor.ConstructorError(None, None, f"given twice: {', '.join(twice)}", node.start_mark)
        return super().construct_mapping(node, deep)


@cache
def table(name: str) -> TableRow:
    """Return the parsed data file `name`.yaml of this package; each file is read once per process."""
    text = (_DATA / f"{name}.yaml").read_text(encoding="utf-8")
    return table_from_text(text, f"{name}.yaml")


def table_from_text(text: str, where: str) -> TableRow:
    """Return the top row of a table given as YAML text. Raises TableError."""
    try:
        data = yaml.load(text, Loader=_UniqueKeys)
    except yaml.YAMLError as error:
        raise TableError(f"{where}: {error}") from error
    if not isinstance(data, dict):
        raise TableError(f"{where}: expected a mapping at the top")
    return TableRow(data, where, _sources_of(data, where))


def _sources_of(data: dict[object, object], where: str) -> dict[str, str]:
    block = data.get("sources", {})
    if not isinstance(block, dict):
        raise TableError(f"{where}: sources: expected a mapping of key to citation")
    wrong = [key for key, text in block.items() if not isinstance(key, str) or not isinstance(text, str) or not text]
    wrong += [key for key in UNSOURCED if key in block]
    if wrong:
        raise TableError(f"{where}: sources: {wrong} cannot be used")
    return block


class TableRow:
    """A mapping of a table, read field by field. Every field must be asked for before `done`."""

    __slots__ = ("_data", "_seen", "sources", "where")

    def __init__(self, data: object, where: str, sources: dict[str, str]) -> None:
        if not isinstance(data, dict) or not all(isinstance(key, str) for key in data):
            raise TableError(f"{where}: expected a mapping with names as keys")
        self._data: dict[str, object] = data
        self._seen: set[str] = {"sources"}
        self.where = where
        self.sources = sources

    def fail(self, key: str, problem: str) -> NoReturn:
        """Raise TableError naming the field."""
        raise TableError(f"{self.where}: {key}: {problem}")

    def done(self) -> None:
        """Raise TableError if the row holds a field that nobody asked for."""
        unknown = sorted(set(self._data) - self._seen)
        if unknown:
            self.fail(", ".join(unknown), "unknown field")

    def _take(self, key: str) -> object:
        self._seen.add(key)
        return self._data.get(key)

    def names(self) -> Iterator[str]:
        """The field names, without the sources block."""
        return (key for key in self._data if key != "sources")

    def text(self, key: str) -> str:
        """A text that is not empty."""
        value = self._take(key)
        return value if isinstance(value, str) and value.strip() else self.fail(key, "expected a text")

    def optional_text(self, key: str) -> str | None:
        """A text, or None where the field is missing or null."""
        return None if self._take(key) is None else self.text(key)

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; a missing field is the empty list."""
        value = self._take(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(item, str) and item for item in value):
            self.fail(key, "expected a list of texts")
        return tuple(value)

    def flag(self, key: str) -> bool:
        """True or false."""
        value = self._take(key)
        return value if isinstance(value, bool) else self.fail(key, "expected true or false")

    def optional_flag(self, key: str) -> bool:
        """True or false; false where the field is missing."""
        value = self._take(key)
        return (
            False if value is None else value if isinstance(value, bool) else self.fail(key, "expected true or false")
        )

    def number(self, key: str) -> float:
        """A finite number."""
        return self._as_number(key, self._take(key))

    def optional_number(self, key: str) -> float | None:
        """A finite number, or None where the field is missing or null."""
        value = self._take(key)
        return None if value is None else self._as_number(key, value)

    def whole(self, key: str) -> int:
        """A whole number."""
        value = self._take(key)
        return value if isinstance(value, int) and not isinstance(value, bool) else self.fail(key, "expected a count")

    def pair(self, key: str) -> tuple[float, float]:
        """Two numbers, the lower first."""
        value = self._take(key)
        if not isinstance(value, list) or len(value) != 2:
            self.fail(key, "expected [low, high]")
        return self._ordered(key, value[0], value[1])

    def source(self, key: str = "source") -> str:
        """A source key that exists in the file, or one of the words for 'no source'."""
        return self._as_source(key, self._take(key))

    def fact(self, key: str) -> Fact:
        """A figure written [value, source] or [value, source, trust]."""
        value = self._take(key)
        if not isinstance(value, list) or len(value) not in (2, 3):
            self.fail(key, "expected [value, source] or [value, source, trust]")
        source = self._as_source(key, value[1])
        return Fact(self._as_number(key, value[0]), source, self._as_trust(key, source, value[2:]))

    def optional_fact(self, key: str) -> Fact | None:
        """A figure, or None where the field is missing or null."""
        return None if self._take(key) is None else self.fact(key)

    def span(self, key: str) -> Span:
        """A range written [low, high, source] or [low, high, source, trust]."""
        value = self._take(key)
        if not isinstance(value, list) or len(value) not in (3, 4):
            self.fail(key, "expected [low, high, source] or [low, high, source, trust]")
        low, high = self._ordered(key, value[0], value[1])
        source = self._as_source(key, value[2])
        return Span(low, high, source, self._as_trust(key, source, value[3:]))

    def optional_span(self, key: str) -> Span | None:
        """A range, or None where the field is missing or null."""
        return None if self._take(key) is None else self.span(key)

    def span_list(self, key: str) -> tuple[Span, ...]:
        """A list of ranges; a missing field is the empty list."""
        value = self._take(key)
        items = value if isinstance(value, list) else self.fail(key, "expected a list of ranges")
        return tuple(TableRow({key: item}, self.where, self.sources).span(key) for item in items)

    def source_list(self, key: str) -> tuple[str, ...]:
        """A list of source keys, which may be empty."""
        return tuple(self._as_source(key, item) for item in self.texts(key))

    def row(self, key: str) -> TableRow:
        """A mapping inside this one."""
        return TableRow(self._take(key), f"{self.where}: {key}", self.sources)

    def rows(self, key: str) -> tuple[TableRow, ...]:
        """A list of mappings; a missing field is the empty list."""
        value = self._take(key)
        if value is None:
            return ()
        if not isinstance(value, list):
            self.fail(key, "expected a list")
        return tuple(
            TableRow(item, f"{self.where}: {key}[{number}]", self.sources) for number, item in enumerate(value)
        )

    def facts(self, key: str) -> dict[str, Fact]:
        """A mapping of names to figures."""
        row = self.row(key)
        return {name: row.fact(name) for name in row.names()}

    def spans(self, key: str) -> dict[str, Span]:
        """A mapping of names to ranges."""
        row = self.row(key)
        return {name: row.span(name) for name in row.names()}

    def _as_number(self, key: str, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            self.fail(key, f"{value!r} is not a finite number")
        return float(value)

    def _ordered(self, key: str, first: object, second: object) -> tuple[float, float]:
        low, high = self._as_number(key, first), self._as_number(key, second)
        return (low, high) if low <= high else self.fail(key, f"{low} is above {high}")

    def _as_source(self, key: str, value: object) -> str:
        if isinstance(value, str) and (value in self.sources or value in UNSOURCED):
            return value
        return self.fail(key, f"{value!r} is no key of the sources block")

    def _as_trust(self, key: str, source: str, given: list[object]) -> str:
        if not given:
            return source if source in UNSOURCED else "read"
        trust = given[0]
        if source in UNSOURCED or not isinstance(trust, str) or trust not in TRUSTS:
            self.fail(key, f"trust {trust!r} does not fit the source '{source}'")
        return trust
