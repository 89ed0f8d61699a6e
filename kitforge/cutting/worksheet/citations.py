"""The source of a row in words: what stands in the sheet, or behind an @ the source of a figure in the records."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from kitforge.cutting.sources import cited
from kitforge.cutting.worksheet.expression import Name, Text
from kitforge.model.identity import IdentityKey
from kitforge.model.workshop import Fact, Span
from kitforge.workshop.load import citation

_AT = re.compile(r"@([\w.]*)(?: or (.*))?")


def cite(
    source: str, records: Mapping[str, object], figure: Name | None = None, index: str | None = None,
    named: Mapping[str, str] = MappingProxyType({}),
) -> str:  # fmt: skip
    """Return a source in words. figure: the place that a bare @ means; index: the entry that it chooses.

    `@ or WORDS` says what a figure was derived from, where the tables only say that it was. named: sources by short
    names.
    """
    source = named.get(source, source)
    if not source.startswith("@"):
        return source
    path, words = _parted(source)
    first, _, rest = (path or str(figure)).partition(".")
    if first == "sources":
        return citation(rest)
    words = named.get(words, words)
    if index is None:
        return _of_record(IdentityKey(records[first]), rest, words)
    return _words(_at(records[first], rest, figure, index), words)


@lru_cache(maxsize=512)
def _parted(source: str) -> tuple[str, str]:
    """Return the place and the words of '@PLACE or WORDS', each of which may be missing."""
    found = _AT.fullmatch(source)
    if found is None:
        raise ValueError(f"'{source}' names no figure: @PLACE or WORDS")
    return found[1], found[2] or ""


@lru_cache(maxsize=512)
def _of_record(record: IdentityKey[object], path: str, words: str) -> str:
    return _words(_at(record.one, path, None, None), words)


def _at(record: object, path: str, figure: Name | None, index: str | None) -> object:
    for count, part in enumerate(path.split("."), 1):
        record = getattr(record, part)
        if index is not None and figure is not None and figure.index is not None and figure.index[0] == count + 1:
            key = figure.index[1].text if isinstance(figure.index[1], Text) else index
            record = record[key]  # type: ignore[index]
    return record


def _words(known: object, words: str) -> str:
    """Return the source of a figure; of a table that of its first one: a table has one source."""
    if isinstance(known, Fact | Span):
        return cited(known, words)
    if isinstance(known, tuple) and known:
        return _words(known[0], words)
    for name in ("rpm", "factor", "fz"):
        if hasattr(known, name):
            return _words(getattr(known, name), words)
    raise TypeError(f"{type(known).__name__} has no source")
