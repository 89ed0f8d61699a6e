"""Following a kit: what its files say is worked out in stages, each put up as soon as it is known.

    read, resolve -> text, head, the piece after each step -> settings and holding -> findings, drawings, needs, cost
        -> the same once more with what other thicknesses and trial pieces bring, where a kit has some

A save while this runs makes it stale: it is left at the next look, and begun anew from the files as they are then.
"""

from __future__ import annotations

import hashlib
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.language import SOURCE_LANGUAGE, use_language
from kitforge.live.blocks import TextBlock, blocks_of
from kitforge.live.board import PieceBoard
from kitforge.live.costs import cost_piece, prices_bytes
from kitforge.live.watching import PAUSE, Look, look, settled
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.model.family import KitChoice
from kitforge.model.findings import KIT_FILE
from kitforge.model.layout import layout_file
from kitforge.model.own_words import in_language
from kitforge.model.prices import PRICES_FILE
from kitforge.surface.maps import KeptMaps

if TYPE_CHECKING:
    from kitforge.model.findings import Finding
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.plugins import Plugins
    from kitforge.stages.read import ReadKit

_BETWEEN_LOOKS = 0.1


class _StaleError(Exception):
    """A newer save has made what is being worked on of no use."""


@dataclass(frozen=True, slots=True)
class FollowedKit:
    """The last kit that could be planned, with the lines that make it, for what is asked of it later."""

    kit: Kit
    plan: Plan
    blocks: tuple[TextBlock, ...]


class Follower:
    """Follows the kit in a folder until it is ended. One thread works; there is no queue, only the newest save counts.

    told: called with the traceback of a bug, which ends nothing. code: of the language of the page. It writes nothing
    into the folder.
    """

    def __init__(
        self,
        folder: Path,
        choice: KitChoice,
        plugins: Plugins,
        board: PieceBoard,
        told: Callable[[str], None],
        code: str = SOURCE_LANGUAGE,
    ) -> None:
        self.folder, self.choice, self.plugins, self.board, self.told = folder, choice, plugins, board, told
        self.code, self.generation = code, 0
        self.good: FollowedKit | None = None
        self.seconds: dict[str, float] = {}
        self._stop = threading.Event()
        self._names: tuple[str, ...] | None = None
        self._sum = ""
        self._looked = 0.0
        self._in_the_way: dict[str, bytes] = {}
        self._seen: Look | None = None
        self._maps = KeptMaps()
        self._thread = threading.Thread(target=self._run, name="following", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def end(self) -> None:
        """End, and wait for the worker."""
        self._stop.set()
        self._thread.join(timeout=10)

    def _run(self) -> None:
        while not self._stop.is_set():
            self.step()
            self._stop.wait(PAUSE)

    def step(self) -> bool:
        """Look once, and work out what the files say if they have changed; return whether they have."""
        if self._seen is not None and look(self.folder, self._names) == self._seen:
            return False
        noticed = time.monotonic()
        self._seen = settled(self.folder, self._names, self._stop)
        try:
            with use_language(self.code):
                self._follow(noticed)
        except _StaleError:
            self._seen = None
        except Exception:
            self.told(traceback.format_exc().rstrip())
            self.board.put({"stage": "bug", "generation": self.generation})
        return True

    # ---------------------------------------------------------------------------------------------------- stages

    def _follow(self, noticed: float) -> None:
        from kitforge.stages.read import read

        try:
            written = read(self.folder)
        except UnreadableKitError as error:
            self._watch(None)
            self._tell_trouble(error)
            return
        self._watch((*written.files, *map(layout_file, written.definition.sizes or ("",)), PRICES_FILE))
        found = _sum_of(written, self.folder / PRICES_FILE)
        if found == self._sum and self.board.state().status.get("stage") == "done":
            return  # saved as it was, or something that is not of the kit
        self._sum, self.generation = found, self.generation + 1
        self.seconds, self._in_the_way = {}, {}
        try:
            self._work(written, noticed)
        except UnreadableKitError as error:
            self._tell_trouble(error, written)
        except KitforgeError as error:
            self._tell_mistake(str(error))

    def _watch(self, names: tuple[str, ...] | None) -> None:
        """Look at these files from now on, None: at all in the folder; a save while they were read is seen later."""
        if names != self._names:
            self._names = names
            self._seen = look(self.folder, names) | {
                name: seen for name, seen in (self._seen or {}).items() if names is None or name in names
            }

    def _work(self, written: ReadKit, noticed: float) -> None:
        from kitforge.live.pieces import head_piece, maps_piece, settings_piece, text_piece
        from kitforge.stages.choosing import choose
        from kitforge.stages.planning import first_plan, plan
        from kitforge.stages.resolve import resolve
        from kitforge.stages.whole import planned_whole, to_plan

        kit = resolve(choose(written, self.choice), self.plugins)
        blocks = blocks_of(kit, written.where)
        first = first_plan(kit)
        self._put(
            "planning",
            noticed,
            trouble=b"",
            head=head_piece(*self._read(kit, first), None),
            text=text_piece(written.text, blocks, kit.problems),
            maps=maps_piece(*self._read(kit, first), blocks, self._maps),
        )
        rungs = to_plan(written, self.choice, kit, self.plugins)
        kit = rungs.kit
        planned = plan(kit, self.plugins)
        if planned.steps != first.steps:  # tabs that the settings ask for
            self._put("planning", noticed, maps=maps_piece(*self._read(kit, planned), blocks, self._maps))
        self.good = FollowedKit(*self._read(kit, planned), blocks)
        self._put("checking", noticed, settings=settings_piece(self.good.kit, self.good.plan, blocks))
        if rungs.others or kit.trials:  # they take most of the time, so what is known without them comes first
            self._put("further", noticed, **self._checked(kit, planned, written))
        kit, planned = planned_whole(rungs, kit, planned, self.plugins)
        cost = cost_piece(*self._read(kit, planned), self.folder / PRICES_FILE)
        self._put("done", noticed, **self._checked(kit, planned, written), cost=cost)

    def _checked(self, kit: Kit, planned: Plan, written: ReadKit) -> dict[str, bytes]:
        from kitforge.live.pieces import checked_pieces
        from kitforge.pipeline import CheckedKit
        from kitforge.stages.checking import check

        found = check(kit, planned, self.plugins, between=self._look_up)
        return checked_pieces(CheckedKit(*self._read(kit, planned), tuple(found)), written)

    def _read(self, kit: Kit, planned: Plan) -> tuple[Kit, Plan]:
        """Return a kit and its plan with the author's own texts in the language of the page."""
        return (kit, planned) if self.code == SOURCE_LANGUAGE else in_language((kit, planned), self.code)

    def _put(self, stage: str, noticed: float, **pieces: bytes) -> None:
        self._look_up()
        self.seconds.setdefault(stage, time.monotonic() - noticed)
        self.board.put({"stage": stage, "generation": self.generation}, **pieces)

    def _look_up(self) -> None:
        """Raise _StaleError where the kit was saved anew or nobody waits any longer; looks ten times a second."""
        if self._stop.is_set():
            raise _StaleError
        now = time.monotonic()
        if now - self._looked >= _BETWEEN_LOOKS:
            self._looked = now
            if look(self.folder, self._names) != self._seen:
                raise _StaleError

    # ------------------------------------------------------------------------------------------- what is in the way

    def _tell_trouble(self, error: UnreadableKitError, written: ReadKit | None = None) -> None:
        from kitforge.live.pieces import trouble_pieces
        from kitforge.report.excerpts import readable_files

        problems: tuple[Finding, ...] = error.problems
        names = (KIT_FILE, *(problem.source.file for problem in problems))
        found = readable_files(self.folder, names) if written is None else written.files
        self._put_trouble(**trouble_pieces(self.folder.resolve().name, problems, error.units, found, written))

    def _tell_mistake(self, text: str) -> None:
        from kitforge.live.pieces import filled

        self._put_trouble(trouble=filled("mistake.html", {"text": text}))

    def _put_trouble(self, **pieces: bytes) -> None:
        """Put up what is in the way; the same again is no new generation."""
        self._sum = ""
        if pieces != self._in_the_way:
            self._in_the_way, self.generation = pieces, self.generation + 1
        self.board.put({"stage": "trouble", "generation": self.generation}, **pieces)


def _sum_of(written: ReadKit, prices: Path) -> str:
    found = hashlib.sha256()
    beside = {prices.name: prices_bytes(prices)}
    for name, data in sorted({**written.files, **beside}.items()):
        found.update(f"{name}\0{len(data)}\0".encode())
        found.update(data)
    return found.hexdigest()
