"""A session of the live page: the follower, the documents and the server, with the table of what can be asked."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.language import SOURCE_LANGUAGE, use_language
from kitforge.live.board import PieceBoard
from kitforge.live.documents import DocumentMaker
from kitforge.live.own import FIELDS, OwnMachine
from kitforge.live.pieces import filled, page_theme
from kitforge.live.server import Answer, LiveServer, Route
from kitforge.live.words import WORDS, in_use
from kitforge.live.work import Follower
from kitforge.print.fonts import FAMILY, shipped_fonts
from kitforge.print.script_text import PLANES, RELIEF, shared_script

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.plugins import Plugins

PIECES = ("head", "text", "trouble", "drawn", "settings", "needs", "cost", "documents")
"""Pieces that are markup; the maps are data."""
_FACES = {"SourceSansPro-Light.ttf": 300, "SourceSansPro-Regular.ttf": 400, "SourceSansPro-Semibold.ttf": 600}
_HTML, _CSS, _JS = "text/html; charset=utf-8", "text/css; charset=utf-8", "text/javascript; charset=utf-8"
_PACK_PAGE = "sandbox allow-scripts allow-downloads allow-modals"
"""What start.html of a pack may do when it is looked at from here: nothing with this server; its own rules hold too."""
_PDF = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
_MOST_DOCUMENTS = 40


class LiveSession:
    """Everything that runs while a kit is followed."""

    def __init__(
        self,
        folder: Path,
        choice: KitChoice,
        plugins: Plugins,
        port: int = 0,
        words: Sequence[str] = (),
        told: Callable[[str], None] = print,
        code: str = SOURCE_LANGUAGE,
    ) -> None:
        """words: the arguments of `build` that choose the same kit; code: of the language of the page.

        Raises OSError where the port cannot be had.
        """
        self.board = PieceBoard()
        self.follower = Follower(folder, choice, plugins, self.board, told, code)
        self.documents = DocumentMaker(folder, words, self.board, code)
        self.own = OwnMachine(self.follower, plugins)
        self.server = LiveServer(port, self.board, self._routes())
        self._thread = threading.Thread(target=partial(self.server.serve_forever, 0.1), name="serving", daemon=True)

    def start(self) -> None:
        """Begin to follow and to serve."""
        self.follower.start()
        self._thread.start()

    def end(self) -> None:
        """End all of it."""
        self.board.end()
        self.server.shutdown()
        self.server.server_close()
        self.documents.end()
        self.follower.end()

    def _routes(self) -> dict[str, Route]:
        theme, fonts = page_theme(), shipped_fonts()
        style = f"{_face_rules()}\n{theme.text('live.css')}"
        page = Answer(page_in(self.follower.code), _HTML)
        routes: dict[str, Route] = {
            "/": lambda _query: page,
            "/live.css": _fixed(style.encode("utf-8"), _CSS),
            "/live.js": _fixed(theme.files["live.js"], _JS),
            "/piece/maps": partial(self._piece, "maps", "application/json"),
            "/make": self._make,
            "/machine": self._machine,
        }
        routes |= {f"/piece/{name}": partial(self._piece, name, _HTML) for name in PIECES}
        routes |= {f"/{name}": _fixed(shared_script(name).encode("utf-8"), _JS) for name in (PLANES, RELIEF)}
        routes |= {f"/face/{weight}.ttf": _fixed(fonts[name], "font/ttf") for name, weight in _FACES.items()}
        return routes | {f"/pack/{number}": partial(self._document, number) for number in range(_MOST_DOCUMENTS)}

    def _piece(self, name: str, media: str, _query: str) -> Answer | None:
        data = self.board.piece(name)
        return None if data is None else Answer(data, media)

    def _make(self, _query: str) -> Answer:
        self.documents.ask()
        return Answer(b"", _HTML)

    def _machine(self, query: str) -> Answer:
        return Answer(self.own.answer(query), _HTML)

    def _document(self, number: int, _query: str) -> Answer | None:
        found = self.documents.made(number)
        if found is None:
            return None
        return Answer(found.data, found.media, _PACK_PAGE if found.media == _HTML else _PDF)


@contextmanager
def following(session: LiveSession) -> Iterator[LiveSession]:
    """Run a session for a block."""
    session.start()
    try:
        yield session
    finally:
        session.end()


def page_in(code: str) -> bytes:
    """Return the page in a language, before there is anything on it."""
    from markupsafe import Markup

    with use_language(code):
        words = in_use(WORDS)
        data = json.dumps(words, ensure_ascii=False).replace("<", "\\u003c")
        return filled("live.html", {"fields": FIELDS, "code": code, "words": words, "data": Markup(data)})


def _fixed(data: bytes, media: str) -> Route:
    answer = Answer(data, media)
    return lambda _query: answer


def _face_rules() -> str:
    return "\n".join(
        f"@font-face {{ font-family: '{FAMILY}'; font-weight: {weight}; src: url('/face/{weight}.ttf'); }}"
        for weight in _FACES.values()
    )
