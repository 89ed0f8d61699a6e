"""`kitforge live` as a process, and the documents that its page asks for."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
import zipfile
from http.cookiejar import CookieJar
from pathlib import Path

import pytest
from calling import Call
from keyboard import heeds_the_keyboard

from kitforge.live.board import PieceBoard
from kitforge.live.documents import DocumentMaker
from kitforge.live.session import LiveSession
from kitforge.model.family import AS_WRITTEN
from kitforge.plugins import load_plugins
from kitforge.testing import SmallKit

HANGS = 120
"""Seconds after which a process hangs, also on a machine that is busy: it ends when the document it sets is done."""


def test_the_command_prints_an_address_follows_and_ends_when_interrupted(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "kit")
    with subprocess.Popen(
        [sys.executable, "-m", "kitforge", "live", str(kit.file), "--no-open"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=heeds_the_keyboard,  # noqa: PLW1509 - this process has no thread that holds a lock then
    ) as process:
        try:
            assert process.stdout is not None
            address = process.stdout.readline().strip()
            assert re.fullmatch(r"http://127\.0\.0\.1:\d+/open/[\w-]{22}", address)
            reader = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
            with reader.open(address, timeout=HANGS) as answer:
                assert b"kitforge live" in answer.read()
            process.send_signal(signal.SIGINT)
            said, wrong = process.communicate(timeout=HANGS)
        finally:
            process.kill()  # a test that failed leaves no process, and no pipe for another test to stumble over
    assert (process.returncode, wrong) == (0, "")
    assert said.endswith("ended\n")
    assert sorted(path.name for path in kit.folder.iterdir()) == ["kit.yaml"]


def test_a_port_that_is_taken_or_none_is_a_plain_mistake(call: Call, tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "kit")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        code, _said, wrong = call("live", str(kit.folder), "--no-open", "--port", str(port))
    assert code == 2
    assert wrong.startswith(f"kitforge: The port {port} cannot be had: ")
    code, _said, wrong = call("live", str(kit.folder), "--port", "80")
    assert code == 2
    assert "'80' is no port from 1024 to 65535" in wrong


def finished(board: PieceBoard) -> str:
    """Return what the page says of the documents once nothing is being made any longer."""
    for _look in range(15_000):
        said = (board.piece("documents") or b"").decode()
        if "are being made" not in said:
            return said
        time.sleep(0.02)
    pytest.fail("the documents are not made after five minutes")


def test_documents_are_made_on_request_and_served_by_their_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page of a pack may do nothing with this server: it is shown in a sandbox."""

    def built(_self: DocumentMaker, place: Path) -> str:
        with zipfile.ZipFile(place / "signs-0.1.0.zip", "w") as pack:
            for name in ("booklet-a4.pdf", "start.html", "drawings/sign.pdf", "manifest.json"):
                pack.writestr(f"signs-0.1.0/{name}", name)
        return ""

    monkeypatch.setattr(DocumentMaker, "_build", built)
    session = LiveSession(SmallKit(tmp_path / "kit").folder, AS_WRITTEN, load_plugins())
    try:
        routes = session.server.routes
        assert "Make the documents" in finished(session.board)
        assert routes["/pack/0"]("") is None
        routes["/make"]("")
        said = finished(session.board)
        assert re.findall(r'href="(/pack/\d+)"[^>]*>([^<]+)', said) == [
            ("/pack/0", "start.html"), ("/pack/1", "booklet-a4.pdf"),
        ]  # fmt: skip
        page, paper = routes["/pack/0"](""), routes["/pack/1"]("")
        assert page is not None
        assert paper is not None
        assert (page.data, page.policy.split()[0], paper.media) == (b"start.html", "sandbox", "application/pdf")
        assert "allow-same-origin" not in page.policy
        assert routes["/pack/2"]("") is None
    finally:
        session.server.server_close()


def test_why_there_are_no_documents_is_told(tmp_path: Path) -> None:
    kit = SmallKit(tmp_path / "kit").change("do: pocket #", "do: pokcet #")
    board = PieceBoard()
    DocumentMaker(kit.folder, (), board).ask()
    said = finished(board)
    assert "They could not be made" in said
    assert "pokcet" in said


@pytest.mark.soak
def test_the_documents_are_those_of_the_pack(tmp_path: Path) -> None:
    board = PieceBoard()
    maker = DocumentMaker(SmallKit(tmp_path / "kit").folder, (), board)
    maker.ask()
    said = finished(board)
    assert re.findall(r">([\w.-]+\.(?:html|pdf))<", said) == ["start.html", "booklet-a4.pdf", "settings-a4.pdf"]
    paper = maker.made(1)
    assert paper is not None
    assert paper.data.startswith(b"%PDF-")
