"""The calculation as it is written down, and its print as a person would do it on paper with a pocket calculator."""

from __future__ import annotations

from collections.abc import Iterable

from kitforge.cutting.records import CutSettings, Given, Limit, Line, NoWindow, Trail, Window, figure


class Notebook:
    """Collects the lines of one calculation."""

    __slots__ = ("_lines",)

    def __init__(self) -> None:
        self._lines: list[Line] = []

    def line(
        self, what: str, symbol: str, formula: str, inputs: Iterable[Given], result: float, unit: str, source: str
    ) -> float:
        """Write a line down and return its result."""
        self._lines.append(Line(what, symbol, formula, tuple(inputs), result, unit, source))
        return result

    def once(
        self, what: str, symbol: str, formula: str, inputs: tuple[Given, ...], result: float, unit: str, source: str
    ) -> None:
        """Write a line down unless the same sum stands there already."""
        for line in self._lines:
            if line.result == result and line.formula == formula and line.inputs == inputs:
                return
        self._lines.append(Line(what, symbol, formula, inputs, result, unit, source))

    def copy(self, lines: Iterable[Line]) -> None:
        """Write lines of another calculation down."""
        self._lines.extend(lines)

    def limit(self, what: str, symbol: str, unit: str, limit: Limit) -> Limit:
        """Write a limit down and return it. Its formula reads 'symbol <= ...' or 'symbol >= ...'."""
        left, sign, right = (
            limit.formula.partition(" <= ") if " <= " in limit.formula else limit.formula.partition(" >= ")
        )
        symbol, formula = (f"{left}{sign.rstrip()}", right) if sign else (symbol, left)
        self.line(f"{what}, {limit.reason}", symbol, formula, limit.inputs, limit.value, unit, limit.source)
        return limit

    def trail(self) -> Trail:
        """Return what has been written so far."""
        return Trail(tuple(self._lines))


def explain(result: CutSettings | NoWindow) -> str:
    """Return the whole calculation as numbered text, with the windows at the end."""
    lines = [text for number, line in enumerate(result.trail.lines, 1) for text in _line_text(number, line)]
    if isinstance(result, NoWindow):
        return "\n".join([*lines, *(f"No settings: {problem.message}" for problem in result.problems)])
    lines += [window_text(window) for window in result.windows]
    return "\n".join([*lines, *(f"Note: {note.message}" for note in result.notes)])


def window_text(window: Window) -> str:
    """Return a window in one line: start (why), low and high with what bounds them."""
    return (
        f"{window.quantity}: {figure(window.start)} {window.unit} ({window.start_reason}), "
        f"from {figure(window.low)} ({window.low_limit.reason}) to {figure(window.high)} ({window.high_limit.reason})"
    )


def _line_text(number: int, line: Line) -> list[str]:
    unit = f" {line.unit}" if line.unit else ""
    sign = "" if line.symbol.endswith("=") else " ="
    head = (
        f"{number:2}. {line.what}: {line.symbol}{sign} {line.formula} = {figure(line.result)}{unit}   [{line.source}]"
    )
    return [head, *(f"      {given}" for given in line.inputs)]
