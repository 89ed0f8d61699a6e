"""A browser without a window, and a server that counts what is asked of it, for the tests of the HTML report."""

from __future__ import annotations

import http.server
import os
import pathlib
import shutil
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

_QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
)  # fmt: skip


def find_browser() -> str:
    """Return the browser's program; without one the test is skipped, except where everything must run."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("there is no chromium here, and CI must run the browser tests")
        pytest.skip("there is no chromium here")
    return found


def page_after(page: pathlib.Path, profile: pathlib.Path, fragment: str = "", more: tuple[str, ...] = ()) -> str:
    """Return the page as it is in the browser after its scripts ran, opened at a fragment such as '#f3'.

    more: further options of the browser.
    """
    done = subprocess.run(
        [find_browser(), *_QUIET, f"--user-data-dir={profile}", "--virtual-time-budget=3000", *more, "--dump-dom",
         page.as_uri() + fragment],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    return done.stdout


def print_page(page: pathlib.Path, paper: pathlib.Path, profile: pathlib.Path) -> None:
    """Print a page, as it is after its scripts ran, into a PDF."""
    subprocess.run(
        [find_browser(), *_QUIET, f"--user-data-dir={profile}", "--virtual-time-budget=3000", "--no-pdf-header-footer",
         f"--print-to-pdf={paper}", page.as_uri()],
        capture_output=True, timeout=120, check=True,
    )  # fmt: skip


@contextmanager
def counting_server() -> Iterator[tuple[int, list[str]]]:
    """Serve nothing on a free port of this machine; gives the port and the list of the paths asked for."""
    asked: list[str] = []

    class Counter(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

        def log_message(self, *_arguments: object) -> None:
            return

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Counter)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield server.server_address[1], asked
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
