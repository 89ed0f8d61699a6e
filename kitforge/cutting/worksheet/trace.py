"""What the traced worksheet reports: each value with the case that gave it, in the blocks where it was reckoned."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class TraceEntry:
    """A value that was reckoned: the number of its case, and for the values of a block the frame that holds them."""

    case: int
    value: object
    inner: TraceFrame | None = None


@dataclass(slots=True)
class TraceFrame:
    """The values of the sheet, or of a block at one place: opened by a case, with the values that the block takes."""

    opener: int
    outside: TraceFrame | None
    taken: tuple[object, ...] = ()
    entries: list[TraceEntry] = field(default_factory=list)
    last_inner: TraceFrame | None = None


class Trace:
    """Collects what is reported."""

    def __init__(self) -> None:
        self.top = TraceFrame(0, None)
        self._frame, self._paused = self.top, False

    def put(self, case: int, value: object) -> None:
        """Report the value that a case gave."""
        if not self._paused:
            inner, self._frame.last_inner = self._frame.last_inner, None
            self._frame.entries.append(TraceEntry(case, value, inner))

    def enter(self, case: int, *taken: object) -> None:
        """Report that the formula of a case goes into a block with these values."""
        if not self._paused:
            self._frame = TraceFrame(case, self._frame, taken)

    def leave(self) -> None:
        """Report that the block is done."""
        if not self._paused and self._frame.outside is not None:
            inner, self._frame = self._frame, self._frame.outside
            self._frame.last_inner = inner

    def pause(self) -> None:
        """Report nothing until `resume`: a search tries many values."""
        self._paused = True

    def resume(self) -> None:
        """Report again."""
        self._paused = False
