"""What each language of a generated program says its own way."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence

from kitforge.cutting.worksheet.expression import Call, Name, Node
from kitforge.cutting.worksheet.paths import PathTarget
from kitforge.cutting.worksheet.rows import Block, ToldRow, WindowRow
from kitforge.cutting.worksheet.symbols import SymbolKind


class TargetLanguage(ABC):
    """The words and signs of a language, and how each thing that a worksheet does is written in it."""

    words: dict[str, str]
    signs: dict[str, str]
    negation: str
    indent = "    "

    @abstractmethod
    def comment(self, words: str) -> None:
        """Write a comment."""

    @abstractmethod
    def declare(self, target: str, kind: SymbolKind) -> None:
        """Declare a variable that branches set."""

    @abstractmethod
    def set(self, target: str, value: str, kind: SymbolKind, *, declared: bool) -> None:
        """Set a variable."""

    @abstractmethod
    def temporary(self, target: str, value: str) -> None:
        """Declare and set a variable for one use."""

    @abstractmethod
    def call(self, code: str) -> None:
        """Call something for its effect."""

    @abstractmethod
    def branch(self, first: bool, when: str | None) -> None:
        """Begin a branch."""

    @abstractmethod
    def otherwise_none(self, target: str) -> None:
        """Write the branch in which no case holds."""

    @abstractmethod
    def end_branches(self) -> None:
        """End the branches."""

    @abstractmethod
    def declare_bounds(self, bounds: str) -> None:
        """Declare a list of limits."""

    @abstractmethod
    def append(self, bounds: str, value: str, case: int) -> None:
        """Add a limit to a list."""

    @abstractmethod
    def tightest(self, symbol: str, side: str, *, always: bool) -> None:
        """Set what the tightest limit of a side gives."""

    @abstractmethod
    def cross(self, row: WindowRow, *, check: bool) -> None:
        """End the calculation where the limits of a window cross."""

    @abstractmethod
    def begin_stops(self) -> None:
        """Declare the list of reasons against any settings."""

    @abstractmethod
    def end_stops(self) -> None:
        """End the calculation where there are reasons against any settings."""

    @abstractmethod
    def begin_notes(self) -> None:
        """Declare the list of notes."""

    @abstractmethod
    def tell(self, row: ToldRow) -> None:
        """Tell something, within its branch."""

    @abstractmethod
    def begin_block(self, block: Block) -> None:
        """Begin the function of a block."""

    @abstractmethod
    def end_block(self, block: Block) -> None:
        """Hand on the values of a block and end its function."""

    @abstractmethod
    def number(self, text: str) -> str:
        """Return a number."""

    @abstractmethod
    def text(self, text: str) -> str:
        """Return a text, or a message where it holds {symbols}."""

    @abstractmethod
    def power(self, left: Node, right: Node) -> tuple[str, int]:
        """Return a power and how close it binds."""

    @abstractmethod
    def none_test(self, sign: str, code: str) -> str:
        """Return the test whether something is none."""

    @abstractmethod
    def contained(self, code: str, items: Sequence[str]) -> str:
        """Return the test whether something is one of some."""

    @abstractmethod
    def search(self, bound: str, top: str, holds: str) -> str:
        """Return the search for the largest value for which something holds."""

    @abstractmethod
    def argument(self, call: Call, place: int, node: Node) -> str:
        """Return an argument of a call."""

    @abstractmethod
    def function(self, name: str, arguments: Sequence[str]) -> str:
        """Return the call of a function that is no block."""

    @abstractmethod
    def part(self, code: str, part: str) -> str:
        """Return a value of a block's values."""

    @abstractmethod
    def path(self, name: Name, found: PathTarget, key: str | None) -> str:
        """Return what a place in the records holds, None where a record on the way is none."""

    @abstractmethod
    def quantity(self, code: str, unit: str, places: str) -> str:
        """Return a number with its unit for a message."""
