"""The server of the live page: for this machine alone, for who knows the token, a fixed table of addresses.

What is refused: a Host that is not this server's by name and port (421), another origin or a request that another site
made (403), no cookie (403), whatever is not in the table (404), any method but GET (405). Nothing is looked up on the
disk by what was asked.
"""

from __future__ import annotations

import hmac
import json
import secrets
import sys
import threading
from collections.abc import Callable, Mapping
from functools import partial
from http.cookies import CookieError, SimpleCookie
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import ClassVar

from kitforge.live.board import PieceBoard
from kitforge.model.record import record

LOOPBACK = "127.0.0.1"
_NAMES = (LOOPBACK, "localhost")
_HEARTBEAT = 10.0
_TIMEOUT = 20.0
MOST_CONNECTIONS = 64
"""Open at once; a browser takes six for a page."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types kitforge"
)
_ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}


@record
class Answer:
    """What is sent: bytes of a media type; policy: what a page of it may do."""

    data: bytes
    media: str
    policy: str = POLICY


Route = Callable[[str], "Answer | None"]
"""From what follows a '?' in the address to an answer, None where there is none."""


class LiveServer(ThreadingHTTPServer):
    """Serves the page on the loopback address. routes: every path that there is, with who answers it."""

    daemon_threads = True
    allow_reuse_address = True
    request_queue_size = 64

    def __init__(self, port: int, board: PieceBoard, routes: Mapping[str, Route]) -> None:
        """port: 0 for any that is free. Raises OSError where it cannot be had."""
        super().__init__((LOOPBACK, port), _Handler)
        self.board, self.routes = board, routes
        self.token = secrets.token_urlsafe(16)
        self.port: int = self.server_address[1]
        self.cookie = f"kf{self.port}"
        self.hosts = frozenset(f"{name}:{self.port}" for name in _NAMES)
        self._free = threading.BoundedSemaphore(MOST_CONNECTIONS)

    @property
    def address(self) -> str:
        """The address that lets a browser in."""
        return f"http://{LOOPBACK}:{self.port}/open/{self.token}"

    def process_request(self, request: object, client_address: object) -> None:
        """Answer in a thread of its own; more than so many at once are closed unanswered."""
        if not self._free.acquire(blocking=False):
            self.shutdown_request(request)  # type: ignore[arg-type]
            return
        super().process_request(request, client_address)  # type: ignore[arg-type]

    def process_request_thread(self, request: object, client_address: object) -> None:
        """Answer, and let the next one in."""
        try:
            super().process_request_thread(request, client_address)  # type: ignore[arg-type]
        finally:
            self._free.release()

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a tab that was closed or a line that broke; whatever else is a bug."""
        if not isinstance(sys.exception(), OSError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Handler(BaseHTTPRequestHandler):
    server: LiveServer
    timeout: ClassVar[float] = _TIMEOUT
    protocol_version = "HTTP/1.1"
    server_version, sys_version = "kitforge", ""

    def do_GET(self) -> None:
        """Answer what the table has."""
        refused = self._refused()
        if refused is not None:
            self._send_plain(*refused)
            return
        path, _mark, query = self.path.partition("?")
        if path.startswith("/open/"):
            self._open(path.removeprefix("/open/"))
        elif not self._known():
            self._send_plain(403, "Open the address that kitforge live printed.")
        elif path == "/events":
            self._send_events()
        else:
            route = self.server.routes.get(path)
            answer = route(query) if route is not None else None
            if answer is None:
                self._send_plain(404, "There is nothing here.")
            else:
                self._send(200, answer)

    def __getattr__(self, name: str) -> Callable[[], None]:
        """Answer every other method, whatever it is called, that there is none."""
        if name.startswith("do_"):
            return partial(self._send_plain, 405, "Only GET.", {"Allow": "GET"})
        raise AttributeError(name)

    def _refused(self) -> tuple[int, str] | None:
        """Return why a request is refused whoever sent it: compared as a whole, for a prefix is no proof."""
        hosts = self.headers.get_all("Host") or []
        if len(hosts) != 1 or hosts[0] not in self.server.hosts:
            return 421, "This server answers only for itself."
        origin = self.headers.get("Origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.server.hosts}:
            return 403, "Another origin."
        if self.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin"):
            return 403, "Another site."
        return None

    def _known(self) -> bool:
        try:
            jar = SimpleCookie(self.headers.get("Cookie", ""))
        except CookieError:
            return False
        found = jar.get(self.server.cookie)
        return found is not None and _same(found.value, self.server.token)

    def _open(self, token: str) -> None:
        if not _same(token, self.server.token):
            self._send_plain(403, "Open the address that kitforge live printed.")
            return
        cookie = f"{self.server.cookie}={self.server.token}; Path=/; HttpOnly; SameSite=Strict"
        self._send_plain(303, "", {"Location": "/", "Set-Cookie": cookie})

    def _send_events(self) -> None:
        """Send the state now and after each change, until the tab is closed or the server ends."""
        self._head(200, "text/event-stream; charset=utf-8", {"Connection": "close"})
        self.close_connection = True
        state = self.server.board.state()
        while True:
            data = json.dumps({"status": dict(state.status), "pieces": dict(state.versions)})
            self._write(f"id: {state.serial}\ndata: {data}\n\n")
            while (found := self.server.board.after(state.serial, _HEARTBEAT)) is None:
                if self.server.board.ended:
                    return
                self._write(": still here\n\n")
            state = found

    def _write(self, text: str) -> None:
        self.wfile.write(text.encode("utf-8"))
        self.wfile.flush()

    def _send(self, status: int, answer: Answer) -> None:
        more = {"Content-Length": str(len(answer.data)), "Content-Security-Policy": answer.policy}
        self._head(status, answer.media, more)
        self.wfile.write(answer.data)

    def _send_plain(self, status: int, text: str, more: Mapping[str, str] | None = None) -> None:
        data = f"{text}\n".encode()
        close = {"Connection": "close"} if status >= 400 else {}
        length = {"Content-Length": str(len(data)), "Content-Security-Policy": POLICY}
        self._head(status, "text/plain; charset=utf-8", {**length, **close, **(more or {})})
        self.wfile.write(data if self.command != "HEAD" else b"")

    def _head(self, status: int, media: str, more: Mapping[str, str]) -> None:
        self.send_response(status)
        for name, value in {"Content-Type": media, **_ALWAYS, **more}.items():
            self.send_header(name, value)
        self.end_headers()

    def log_message(self, *_arguments: object) -> None:
        """Log nothing: every request but one holds a secret."""


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8"))
