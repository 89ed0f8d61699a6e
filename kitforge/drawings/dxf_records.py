"""DXF tags to records: header variables, layers, blocks and entities, each with its line. Nothing is repaired.

An entity is known by its place in the file, not by its handle: handles may be missing, or used twice. The order of
codes within an entity does not matter.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from kitforge.drawings.dxf_tags import Tags, Value
from kitforge.drawings.limits import ReadingLimits, too_much
from kitforge.model.drawing import DrawingError, MisfitError, Point, shown
from kitforge.model.messages import Message, msg

# Tables, block heads and objects that an empty file of a common drawing program brings along.
_FIXED_RECORDS = 5_000
_UNICODE = re.compile(r"\\U\+([0-9A-Fa-f]{4})")
_NOT_DRAWN = ("VERTEX", "SEQEND", "VIEWPORT")


class Record:
    """What begins with a code of 0: an entity, a vertex, an entry of a table. Values are looked up by code."""

    __slots__ = ("_codes", "_fields", "_values", "kind", "line", "vertices")

    def __init__(self, tags: Tags, first: int, last: int) -> None:
        self.kind = _text(tags.values[first]).strip().upper()
        self.line = tags.line(first) + tags.lines  # the value's line: that is where the kind stands
        self._codes = tags.codes[first + 1 : last]
        self._values = tags.values[first + 1 : last]
        self._fields: dict[int, Value] | None = None
        self.vertices: list[Record] = []

    @property
    def fields(self) -> Mapping[int, Value]:
        """The values by code; of a code that occurs several times the last one."""
        if self._fields is None:
            self._fields = dict(self.pairs())
        return self._fields

    def pairs(self) -> Iterator[tuple[int, Value]]:
        """Yield codes and values in the order of the file."""
        return zip(self._codes, self._values, strict=True)

    def text(self, code: int, default: str = "") -> str:
        """Return a text."""
        value = self.fields.get(code)
        return default if value is None else _text(value)

    def number(self, code: int, default: float | None = None) -> float:
        """Return a number. Raises MisfitError for what is none, is not finite, or is missing without a default."""
        value = self.fields.get(code)
        if value is not None:
            return self.checked(code, value)
        if default is None:
            raise MisfitError(msg("its code {code} is missing", code=code))
        return default

    def whole(self, code: int, default: int = 0) -> int:
        """Return a whole number."""
        value = self.number(code, float(default))
        if value != int(value):
            raise MisfitError(msg("its code {code} is no whole number", code=code))
        return int(value)

    def numbers(self, code: int) -> list[float]:
        """Return all numbers of a code, in the order of the file."""
        return [self.checked(code, value) for here, value in self.pairs() if here == code]

    def point(self, code: int = 10) -> Point:
        """Return a place by the code of its x."""
        return self.number(code), self.number(code + 10)

    def points(self, code: int = 10) -> list[Point]:
        """Return all places by the code of their x; x and y may stand in any order."""
        xs, ys = self.numbers(code), self.numbers(code + 10)
        if len(xs) != len(ys):
            raise MisfitError(msg("it has {xs} x and {ys} y", xs=len(xs), ys=len(ys)))
        return list(zip(xs, ys, strict=True))

    @property
    def layer(self) -> str:
        """The layer's name; what is said of none lies on '0'."""
        return name_of(self.text(8, "0")) or "0"

    @property
    def handle(self) -> str:
        """The handle, '' if it has none."""
        return shown(self.text(5).strip(), 16)

    @property
    def label(self) -> str:
        """The kind and the handle as a person may look for them."""
        return f"{shown(self.kind, 30)} {self.handle}".rstrip()

    def checked(self, code: int, value: Value) -> float:
        """Return a value of a code as a number; errors as in `number`."""
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if isinstance(value, str) and (math.isnan(number) or "_" in value):
            said = msg("its code {code} holds '{text}', which is no number", code=code, text=shown(value.strip()))
            raise MisfitError(said, self._line_of(code, value))
        if not math.isfinite(number):
            said = msg("its code {code} holds a number that is not finite", code=code)
            raise MisfitError(said, self._line_of(code, value))
        return number

    def _line_of(self, code: int, value: Value) -> int:
        """Return the line of a value, 0 in a binary file."""
        if not self.line:
            return 0
        return next(self.line + 2 * k for k, pair in enumerate(self.pairs(), 1) if pair == (code, value))


def _text(value: Value) -> str:
    return value if isinstance(value, str) else str(value)


def name_of(text: str) -> str:
    """Return a name with the signs that older versions write as \\U+00E4."""
    if "\\" in text:
        text = _UNICODE.sub(lambda found: chr(int(found[1], 16)), text)
    text = "".join("\N{REPLACEMENT CHARACTER}" if "\ud800" <= char <= "\udfff" else char for char in text)
    return text.strip()


class LayerEntry(NamedTuple):
    """A layer as the table of layers has it."""

    name: str
    off: bool
    frozen: bool
    plotted: bool


@dataclass(slots=True)
class BlockRecord:
    """A block: its name, its base point, whether it lies in another file, and its entities."""

    name: str
    base: Point
    external: bool
    entities: list[Record] = field(default_factory=list)


@dataclass(slots=True)
class DxfFile:
    """What a DXF file holds: header variables ($NAME to its first value), layers and blocks by folded name, entities.

    entities: those of the model space; paper: those of the paper space and its layouts.
    """

    header: dict[str, Value] = field(default_factory=dict)
    layers: dict[str, LayerEntry] = field(default_factory=dict)
    blocks: dict[str, BlockRecord] = field(default_factory=dict)
    entities: list[Record] = field(default_factory=list)
    paper: list[Record] = field(default_factory=list)


def records_of(tags: Tags, limits: ReadingLimits) -> DxfFile:
    """Return the file. Raises DrawingError, with the line, where sections or blocks are not ended or badly nested."""
    starts = [index for index, code in enumerate(tags.codes) if code == 0]
    if len(starts) > limits.entities + _FIXED_RECORDS:
        raise too_much(
            msg(
                "the file holds {count} entities, vertices and table entries; {most} are read",
                count=len(starts),
                most=limits.entities,
            )
        )
    sorter = _Sorter()
    for record in _records(tags, starts):
        try:
            sorter.take(record)
        except MisfitError as error:
            said = msg("{entity}: {reason}", entity=record.label, reason=error.message)
            raise DrawingError(said, line=error.line or record.line, entity=record.handle) from error
    return sorter.file


def _records(tags: Tags, starts: list[int]) -> Iterator[Record]:
    for first, last in zip(starts, [*starts[1:], len(tags.codes)], strict=True):
        yield Record(tags, first, last)


class _Sorter:
    """Puts records where they belong as they come."""

    def __init__(self) -> None:
        self.file = DxfFile()
        self.section: str | None = None
        self.block: BlockRecord | None = None
        self.polyline: Record | None = None

    def take(self, record: Record) -> None:
        """Sort one record."""
        kind = record.kind
        if kind == "SECTION":
            self._begin(record)
        elif kind == "ENDSEC":
            self._end(record)
        elif kind == "EOF":
            if self.section is not None:
                raise _damaged(msg("a section does not end before the end mark"), record)
        elif self.section is None:
            raise _damaged(msg("something stands outside of every section"), record)
        elif self.section == "TABLES" and kind == "LAYER":
            self._layer(record)
        elif self.section == "BLOCKS":
            self._in_block(record)
        elif self.section == "ENTITIES":
            in_paper = record.fields.get(67) is not None and record.whole(67) == 1
            self._entity(record, self.file.paper if in_paper else self.file.entities)

    def _begin(self, record: Record) -> None:
        if self.section is not None:
            raise _damaged(msg("a section begins inside another one"), record)
        # the variables of the header follow in the same record, and some of them have a code of 2 as well
        self.section = next((_text(value).strip().upper() for code, value in record.pairs() if code == 2), "")
        if self.section == "HEADER":
            self._header(record)

    def _end(self, record: Record) -> None:
        if self.section is None:
            raise _damaged(msg("a section ends that did not begin"), record)
        if self.block is not None:
            raise _damaged(msg("a block does not end before its section"), record)
        self.section = self.polyline = None

    def _header(self, record: Record) -> None:
        name = ""
        for code, value in record.pairs():
            if code == 9:
                name = _text(value).strip().upper()
            elif name:
                self.file.header.setdefault(name, value)

    def _layer(self, record: Record) -> None:
        name = name_of(record.text(2))
        flags, colour = record.whole(70), record.whole(62, 7)
        plotted = record.whole(290, 1) != 0
        self.file.layers[name.casefold()] = LayerEntry(name, colour < 0, bool(flags & 1), plotted)

    def _in_block(self, record: Record) -> None:
        if record.kind == "BLOCK":
            if self.block is not None:
                raise _damaged(msg("a block begins inside another one"), record)
            name = name_of(record.text(2))
            base = (record.number(10, 0.0), record.number(20, 0.0))
            self.block = BlockRecord(name, base, external=bool(record.whole(70) & (4 | 8)))
        elif record.kind == "ENDBLK":
            self._end_block()
        elif self.block is not None:
            self._entity(record, self.block.entities)

    def _end_block(self) -> None:
        if self.block is not None:
            key = self.block.name.casefold()
            if key.startswith(("*paper_space", "$paper_space")):
                self.file.paper += self.block.entities
            elif key in ("*model_space", "$model_space"):
                self.file.entities += self.block.entities
            self.file.blocks[key] = self.block
        self.block = self.polyline = None

    def _entity(self, record: Record, into: list[Record]) -> None:
        if record.kind == "VERTEX" and self.polyline is not None:
            self.polyline.vertices.append(record)
        elif record.kind == "SEQEND":
            self.polyline = None
        elif record.kind not in _NOT_DRAWN:
            self.polyline = record if record.kind == "POLYLINE" else None
            into.append(record)


def _damaged(what: Message, record: Record) -> DrawingError:
    return DrawingError(msg("the DXF file is damaged: {what}", what=what), line=record.line)
