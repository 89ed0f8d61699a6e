"""A browser without a window that a test drives: the protocol of its developer tools through a pair of pipes.

`--remote-debugging-pipe`: messages in JSON, each ended by a zero byte, on descriptors 3 and 4; it needs no library and
opens no port. https://chromedevtools.github.io/devtools-protocol/
"""

from __future__ import annotations

import base64
import fcntl
import json
import os
import select
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from browser import find_browser

_OPTIONS = (
    "--headless", "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader", "--remote-debugging-pipe",
)  # fmt: skip
_PATIENCE = 120.0


class Page:
    """A tab."""

    def __init__(self, browser: Chrome, session: str, target: str) -> None:
        self._browser, self._session, self.target = browser, session, target

    def call(self, method: str, **values: Any) -> Any:
        """Return what the browser answers to a message about the tab."""
        return self._browser.call(method, self._session, **values)

    def open(self, address: str) -> None:
        """Open an address and wait until it is loaded."""
        self.call("Page.enable")
        self.call("Page.navigate", url=address)
        self.wait_for("document.readyState === 'complete' && location.href !== 'about:blank'")

    def run(self, script: str) -> Any:
        """Return the value of an expression, a promise awaited. Raises AssertionError for what the page throws."""
        found = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def wait_for(self, condition: str) -> None:
        """Wait until an expression is true."""
        until = time.monotonic() + _PATIENCE
        while not self.run(f"Boolean({condition})"):
            if time.monotonic() > until:
                raise TimeoutError(condition)
            time.sleep(0.03)

    def size(self, width: int, height: int) -> None:
        """Give the tab a size."""
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def dark(self, on: bool) -> None:
        """Let the reader prefer dark, or light."""
        features = [{"name": "prefers-color-scheme", "value": "dark" if on else "light"}]
        self.call("Emulation.setEmulatedMedia", features=features)

    def shot(self, path: Path, *, whole: bool = False) -> None:
        """Write a picture of what is seen, or of the whole page."""
        found = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        path.write_bytes(base64.b64decode(found["data"]))

    def to_front(self) -> None:
        """Make it the tab that is seen; those behind it are hidden."""
        self._browser.call("Target.activateTarget", targetId=self.target)

    def close(self) -> None:
        """Close the tab."""
        self._browser.call("Target.closeTarget", targetId=self.target)


class Chrome:
    """A browser; each context has cookies of its own."""

    def __init__(self, orders: int, answers: int) -> None:
        self._orders, self._answers = orders, answers
        self._number, self._rest = 0, b""

    def call(self, method: str, session: str | None = None, **values: Any) -> Any:
        """Return the answer to a message; events in between are passed over."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": values}
        message |= {"sessionId": session} if session else {}
        os.write(self._orders, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, (method, answer["error"])
                return answer["result"]

    def page(self) -> Page:
        """Return a new tab of a new context, as in another browser."""
        return self.tab(self.context())

    def context(self) -> str:
        """Return a new context."""
        found: str = self.call("Target.createBrowserContext")["browserContextId"]
        return found

    def tab(self, context: str | None = None) -> Page:
        """Return a new tab."""
        more = {"browserContextId": context} if context else {}
        target = self.call("Target.createTarget", url="about:blank", **more)["targetId"]
        return Page(self, self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"], target)

    def _next(self) -> Any:
        while b"\0" not in self._rest:
            ready, _none, _no = select.select([self._answers], [], [], _PATIENCE)
            if not ready:
                raise TimeoutError("the browser says nothing")
            data = os.read(self._answers, 1 << 20)
            assert data, "the browser has gone"
            self._rest += data
        first, _zero, self._rest = self._rest.partition(b"\0")
        return json.loads(first)


@contextmanager
def chrome(folder: Path) -> Iterator[Chrome]:
    """Run a browser for a block; folder: for its profile."""
    program = find_browser()
    theirs_in, ours_out = os.pipe()
    ours_in, theirs_out = os.pipe()
    far_in, far_out = (fcntl.fcntl(one, fcntl.F_DUPFD, 20) for one in (theirs_in, theirs_out))

    def placed() -> None:
        os.dup2(far_in, 3)
        os.dup2(far_out, 4)

    process = subprocess.Popen(
        [program, *_OPTIONS, f"--user-data-dir={folder}"],
        pass_fds=(3, 4), preexec_fn=placed,  # noqa: PLW1509
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    for one in (theirs_in, theirs_out, far_in, far_out):
        os.close(one)
    browser = Chrome(ours_out, ours_in)
    try:
        yield browser
    finally:
        try:
            browser.call("Browser.close")
            process.wait(timeout=20)
        except (AssertionError, OSError, TimeoutError, subprocess.TimeoutExpired):
            process.kill()
            process.wait()
        os.close(ours_in)
        os.close(ours_out)
