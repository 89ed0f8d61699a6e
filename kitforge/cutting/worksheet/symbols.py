"""What the symbols of a worksheet hold, where each is known, and the functions that a formula may call."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from kitforge.cutting.worksheet.rows import Block, Worksheet

Inputs = tuple[tuple[str, type], ...]

PLACE = re.compile(r"\{([\w.]+)(?::(\d))?\}")
PLAIN = ("text", "yes", "table")
WINDOW_PARTS = {"low": "number", "high": "number", "load": "yes", "reason": "text", "low_reason": "text"}
NUMBERS = {"sqrt": 1, "sin": 1, "cos": 1, "tan": 1, "acos": 1, "floor": 1, "min": None, "max": None}
TABLES = {
    "chart": ("table", "number", "number"), "step": ("table", "number", "number"), "least": ("table", "number"),
    "most": ("table", "number"), "count": ("table",), "named": ("table", "number"), "has": ("map", "text"),
    "nearest": ("table", "number", "number", "number", "number"), "fits": ("table", "number", "number"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class SymbolKind:
    """What a symbol holds: number, text, yes, table, or the values of a block; optional: may be none."""

    name: str
    optional: bool = False


@dataclass
class Scope:
    """The symbols that are known at a place; outside: those of the sheet, for rows within a block."""

    kinds: dict[str, SymbolKind] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    outside: Scope | None = None

    def find(self, symbol: str) -> SymbolKind | None:
        """Return the kind of a symbol, None where it is not known."""
        if symbol in self.kinds:
            return self.kinds[symbol]
        return self.outside.find(symbol) if self.outside else None

    def unit(self, symbol: str) -> str:
        """Return the unit of a symbol that is known."""
        if symbol in self.kinds:
            return self.units[symbol]
        return self.outside.unit(symbol) if self.outside else ""


@dataclass
class CheckedSheet:
    """A worksheet that keeps its rules, with what its symbols hold. scopes: by block, '' for the sheet itself.

    windows: by symbol, whether its lower and its upper end are always there.
    """

    sheet: Worksheet
    inputs: Inputs
    scopes: dict[str, Scope]
    blocks: dict[str, Block]
    windows: dict[str, tuple[bool, bool]]
