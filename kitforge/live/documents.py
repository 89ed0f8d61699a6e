"""The documents of the pack on request: a build in a process of its own, into a folder that is gone at the end."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import threading
import zipfile
from collections.abc import Sequence
from pathlib import Path

from kitforge.language import SOURCE_LANGUAGE, say, use_language
from kitforge.live.board import PieceBoard
from kitforge.live.pieces import filled
from kitforge.model.record import record
from kitforge.report.wording import plain

_TYPES = {".pdf": "application/pdf", ".html": "text/html; charset=utf-8"}
_LONGEST = 600
_MOST_WORDS = 4000


@record
class MadeDocument:
    """A document of the pack: its name, what it is, and its bytes."""

    name: str
    media: str
    data: bytes


class DocumentMaker:
    """Makes the documents, one build at a time; a second wish while one runs changes nothing."""

    def __init__(self, folder: Path, words: Sequence[str], board: PieceBoard, code: str = SOURCE_LANGUAGE) -> None:
        """words: the arguments by which the size and the values of the kit are chosen; code: of the language."""
        self._code = code
        self._folder, self._words, self._board = folder, tuple(words), board
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._made: tuple[MadeDocument, ...] = ()
        self._running = False
        self._put("idle", "")

    def made(self, number: int) -> MadeDocument | None:
        """Return a document by its place in the list."""
        with self._lock:
            return self._made[number] if 0 <= number < len(self._made) else None

    def ask(self) -> None:
        """Begin to make the documents, unless that is being done."""
        with self._lock:
            if self._running:
                return
            self._running = True
        self._put("busy", "")
        threading.Thread(target=self._work, name="documents", daemon=True).start()

    def end(self) -> None:
        """End a build that runs."""
        with self._lock:
            process = self._process
        if process is not None and process.poll() is None:
            process.terminate()

    def _work(self) -> None:
        place = Path(tempfile.mkdtemp(prefix="kitforge-live-"))
        try:
            said = self._build(place)
            found = tuple(_documents(place))
            with self._lock:
                self._made = found or self._made
            self._put("done" if found else "failed", said)
        except (OSError, subprocess.SubprocessError, zipfile.BadZipFile) as error:
            self._put("failed", str(error))
        finally:
            with self._lock:
                self._running, self._process = False, None
            shutil.rmtree(place, ignore_errors=True)

    def _build(self, place: Path) -> str:
        call = [sys.executable, "-m", "kitforge", "build", str(self._folder.resolve()), "-o", str(place), "--quiet"]
        process = subprocess.Popen(
            [*call, "--paper", "a4", "--language", self._code, *self._words],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=place,
        )
        with self._lock:
            self._process = process
        try:
            said, _none = process.communicate(timeout=_LONGEST)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()
            with use_language(self._code):
                return say("It was not done after {minutes} minutes and was stopped.", minutes=str(_LONGEST // 60))
        return said.decode("utf-8", "replace")

    def _put(self, state: str, said: str) -> None:
        names = [one.name for one in self._made]
        words = [plain(line, 300) for line in said[:_MOST_WORDS].splitlines() if line.strip()]
        with use_language(self._code):
            self._board.put(documents=filled("documents.html", {"state": state, "names": names, "said": words}))


def _documents(place: Path) -> list[MadeDocument]:
    """Return the documents of the pack that was built: what a browser shows, the page first."""
    found = []
    for archive in sorted(place.glob("*.zip")):
        with zipfile.ZipFile(archive) as pack:
            for name in sorted(pack.namelist()):
                inside = name.partition("/")[2]
                media = _TYPES.get(Path(inside).suffix)
                if media and "/" not in inside:
                    found.append(MadeDocument(inside, media, pack.read(name)))
    return sorted(found, key=lambda one: (not one.name.endswith(".html"), one.name))
