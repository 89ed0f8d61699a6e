"""The server of the live page refuses whoever is not its own page: an attack list, each line as bytes on the wire.

Rules: RFC 9110 (7.2, Host; 15.5.20, 421), RFC 6265bis (SameSite), W3C Fetch Metadata, W3C CSP 3.
"""

from __future__ import annotations

import json
import re
import socket
import threading
from collections.abc import Iterator
from functools import partial

import pytest

from kitforge.live.board import PieceBoard
from kitforge.live.server import MOST_CONNECTIONS, Answer, LiveServer

SECRET = b"what the maker sees"
HANGS = 120
"""Seconds after which a server that does not answer counts as one that hangs, on a busy machine too."""


@pytest.fixture(scope="module")
def server() -> Iterator[LiveServer]:
    board = PieceBoard()
    board.put({"stage": "done"}, text=b"x")
    made = LiveServer(0, board, {"/": lambda _query: Answer(SECRET, "text/html; charset=utf-8")})
    thread = threading.Thread(target=partial(made.serve_forever, 0.02), daemon=True)
    thread.start()
    yield made
    board.end()
    made.shutdown()
    made.server_close()
    thread.join()


def asked(server: LiveServer, request: str, *headers: str, host: str | None = "") -> tuple[int, bytes]:
    """Return status and everything that a raw request is answered with. host: None leaves the header out."""
    lines = [request]
    if host is not None:
        lines.append(f"Host: {host or f'127.0.0.1:{server.port}'}")
    data = "\r\n".join([*lines, *headers, "Connection: close", "", ""]).encode("latin-1")
    with socket.create_connection(("127.0.0.1", server.port), timeout=HANGS) as line:
        line.sendall(data)
        found = b""
        while part := line.recv(65536):
            found += part
    status = re.match(rb"HTTP/1\.[01] (\d{3})", found)
    assert status, found[:100]
    return int(status[1]), found


def cookie(server: LiveServer) -> str:
    return f"Cookie: {server.cookie}={server.token}"


def test_who_opens_the_printed_address_gets_in(server: LiveServer) -> None:
    status, answer = asked(server, f"GET /open/{server.token} HTTP/1.1")
    assert status == 303
    assert b"Location: /\r\n" in answer
    assert f"Set-Cookie: {server.cookie}={server.token}; Path=/; HttpOnly; SameSite=Strict".encode() in answer
    assert asked(server, "GET / HTTP/1.1", cookie(server))[1].endswith(SECRET)
    assert asked(server, "GET / HTTP/1.1", cookie(server), host=f"localhost:{server.port}")[0] == 200


@pytest.mark.parametrize("host", [
    "evil.example", "evil.example:{port}", "127.0.0.1.evil.example:{port}", "127.0.0.1",
    "127.0.0.1:{port}.evil.example",
    "127.0.0.1:1", "127.0.0.2:{port}", "localhost.evil.example:{port}", "evil.example@127.0.0.1:{port}", "[::1]:{port}",
    "0.0.0.0:{port}", None,
])  # fmt: skip
def test_another_host_is_refused_even_with_the_cookie(server: LiveServer, host: str | None) -> None:
    """A page that makes its own name lead to this machine (DNS rebinding) sends its own name; compared as a whole."""
    named = host.format(port=server.port) if host else None
    for path in ("/", f"/open/{server.token}", "/events"):
        status, answer = asked(server, f"GET {path} HTTP/1.1", cookie(server), host=named)
        assert (status, SECRET in answer, b"Set-Cookie" in answer) == (421, False, False)


def test_two_hosts_are_none(server: LiveServer) -> None:
    assert asked(server, "GET / HTTP/1.1", cookie(server), "Host: evil.example")[0] == 421


@pytest.mark.parametrize("header", [
    "Origin: http://evil.example", "Origin: null", "Origin: http://127.0.0.1:1", "Origin: https://127.0.0.1:{port}",
    "Origin: http://127.0.0.1:{port}.evil.example", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-site",
])  # fmt: skip
def test_what_another_page_sends_is_refused_even_with_the_cookie(server: LiveServer, header: str) -> None:
    status, answer = asked(server, "GET / HTTP/1.1", cookie(server), header.format(port=server.port))
    assert (status, SECRET in answer) == (403, False)


@pytest.mark.parametrize("jar", [
    "", "Cookie: {name}=", "Cookie: {name}=wrong", "Cookie: kf1={token}", "Cookie: {name}={token}x", "Cookie: ;;;=\x01",
])  # fmt: skip
def test_without_the_cookie_nothing_is_told(server: LiveServer, jar: str) -> None:
    headers = [jar.format(name=server.cookie, token=server.token)] if jar else []
    for path in ("/", "/events", "/nothing"):
        status, answer = asked(server, f"GET {path} HTTP/1.1", *headers)
        assert (status, SECRET in answer) == (403, False)


@pytest.mark.parametrize("token", ["", "x", "../", "%00", "é"])
def test_a_wrong_token_opens_nothing(server: LiveServer, token: str) -> None:
    status, answer = asked(server, f"GET /open/{token} HTTP/1.1")
    assert (status, b"Set-Cookie" in answer) == (403, False)


@pytest.mark.parametrize("path", [
    "/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "//etc/passwd", "/./", "/piece/../", "/kit.yaml", "/piece/text/x",
    "/pack/../../x", "/\\..\\x", "http://127.0.0.1:{port}/", "/%00", "/piece/",
])  # fmt: skip
def test_what_is_not_in_the_table_is_not_there(server: LiveServer, path: str) -> None:
    """No address leads to a file: what is asked is looked up in a table and nowhere else."""
    status, answer = asked(server, f"GET {path.format(port=server.port)} HTTP/1.1", cookie(server))
    assert (status, b"root:" in answer) == (404, False)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS", "PATCH", "TRACE", "CONNECT", "EVIL"])
def test_there_is_no_method_but_get(server: LiveServer, method: str) -> None:
    status, answer = asked(server, f"{method} / HTTP/1.1", cookie(server))
    assert (status, SECRET in answer) == (405, False)


def test_every_answer_says_what_it_may_do(server: LiveServer) -> None:
    for request in ("GET / HTTP/1.1", "GET /nothing HTTP/1.1", "POST / HTTP/1.1"):
        head = asked(server, request, cookie(server))[1].partition(b"\r\n\r\n")[0].decode()
        assert "Content-Security-Policy: default-src 'none'; script-src 'self'" in head
        assert "frame-ancestors 'none'" in head
        for line in (
            "X-Content-Type-Options: nosniff",
            "Cache-Control: no-store",
            "Referrer-Policy: no-referrer",
            "Cross-Origin-Resource-Policy: same-origin",
            "Cross-Origin-Opener-Policy: same-origin",
        ):
            assert line in head


def test_only_this_machine_is_listened_to(server: LiveServer) -> None:
    assert server.server_address[0] == "127.0.0.1"
    with pytest.raises(OSError):
        socket.create_connection(("127.0.0.2", server.port), timeout=2).close()


def listening(server: LiveServer) -> socket.socket:
    """Return a line on which events come."""
    line = socket.create_connection(("127.0.0.1", server.port), timeout=HANGS)
    line.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n{cookie(server)}\r\n\r\n".encode())
    return line


def received(line: socket.socket, until: str) -> str:
    found = ""
    while until not in found:
        part = line.recv(65536)
        assert part, found
        found += part.decode()
    return found


def test_events_come_to_all_who_listen_and_only_for_what_changed(server: LiveServer) -> None:
    lines = [listening(server) for _ in range(8)]
    for line in lines:
        received(line, '"stage"')
    before = server.board.state()
    server.board.put({"stage": "done"}, text=b"x")  # as it was: nothing is told
    assert server.board.state().serial == before.serial
    server.board.put({"stage": "done"}, text=b"other")
    for line in lines:
        data = received(line, "data: ").partition("data: ")[2].partition("\n")[0]
        assert json.loads(data)["pieces"] == {"text": before.serial + 1}
        line.close()


def test_closed_tabs_leave_nothing_and_say_nothing(server: LiveServer, capfd: pytest.CaptureFixture[str]) -> None:
    """Half-sent requests, lines that are cut while events come: no traceback, and the server still answers."""
    before = threading.active_count()
    for number in range(20):
        line = listening(server)
        received(line, '"stage"')
        if number % 2:
            line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")  # a reset, not a farewell
        line.close()
    with socket.create_connection(("127.0.0.1", server.port), timeout=HANGS) as half:
        half.sendall(b"GET / HT")
    for number in range(4):  # what is written to a closed line shows that it is closed
        server.board.put({"stage": "done"}, text=str(number).encode())
        assert asked(server, "GET / HTTP/1.1", cookie(server))[0] == 200
    deadline = threading.Event()
    while threading.active_count() > before + 1 and not deadline.wait(0.02):
        server.board.put({"stage": str(threading.active_count())})
    assert threading.active_count() <= before + 1
    assert capfd.readouterr().err == ""


def test_more_lines_than_a_browser_needs_are_closed_and_the_rest_still_answered(server: LiveServer) -> None:
    lines = [socket.create_connection(("127.0.0.1", server.port), timeout=HANGS) for _ in range(MOST_CONNECTIONS + 10)]
    for line in lines:
        line.close()
    deadline = threading.Event()
    for _ in range(20 * HANGS):
        try:
            if asked(server, "GET / HTTP/1.1", cookie(server))[0] == 200:
                return
        except (AssertionError, OSError):
            deadline.wait(0.05)
    pytest.fail("the server does not answer any longer")
