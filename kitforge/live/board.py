"""What the page shows, by name, for all browsers at once: the worker puts it up, the server reads it."""

from __future__ import annotations

import threading
from collections.abc import Mapping

from kitforge.model.record import record


@record
class BoardState:
    """Which version of every piece is up. serial: rises with every change; status: what the worker is at."""

    serial: int
    status: Mapping[str, object]
    versions: Mapping[str, int]


class PieceBoard:
    """The pieces of the page. A piece that is put up again as it was keeps its version, so that nobody fetches it."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._pieces: dict[str, tuple[int, bytes]] = {}
        self._status: Mapping[str, object] = {}
        self._serial = 0
        self._ended = False

    def put(self, status: Mapping[str, object] | None = None, **pieces: bytes) -> None:
        """Put up pieces, and what the worker is at."""
        with self._changed:
            new = {name: data for name, data in pieces.items() if self._pieces.get(name, (0, None))[1] != data}
            if not new and (status is None or status == self._status):
                return
            self._serial += 1
            self._pieces.update({name: (self._serial, data) for name, data in new.items()})
            self._status = self._status if status is None else dict(status)
            self._changed.notify_all()

    def piece(self, name: str) -> bytes | None:
        """Return a piece, None before it was put up."""
        with self._changed:
            found = self._pieces.get(name)
        return None if found is None else found[1]

    def state(self) -> BoardState:
        """Return what is up now."""
        with self._changed:
            return self._state()

    def after(self, serial: int, seconds: float) -> BoardState | None:
        """Return the next state after the one with that serial; None after so many seconds without, or at the end."""
        with self._changed:
            self._changed.wait_for(lambda: self._serial != serial or self._ended, seconds)
            return self._state() if self._serial != serial and not self._ended else None

    def end(self) -> None:
        """Let all who wait go."""
        with self._changed:
            self._ended = True
            self._changed.notify_all()

    @property
    def ended(self) -> bool:
        """Whether nothing more will come."""
        return self._ended

    def _state(self) -> BoardState:
        versions = {name: version for name, (version, _data) in sorted(self._pieces.items())}
        return BoardState(self._serial, self._status, versions)
