"""Firefox without a window, as a reader has it: pages are opened by file://, clicked, typed into and printed.

Spoken over its own remote protocol (firefox-source-docs, "Marionette Protocol"): a message is its length, a colon and
JSON. A browser that is driven is set up for tests, with rules for file pages that no reader has: those are left as
Firefox ships them, the strict origin of files among them.
"""

from __future__ import annotations

import base64
import json
import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

_SETTINGS = {
    "marionette.port": 0,  # any free one, written into the profile
    "remote.prefs.recommended": False,
    "security.fileuri.strict_origin_policy": True,
    "browser.shell.checkDefaultBrowser": False,
    "browser.aboutwelcome.enabled": False,
    "browser.startup.page": 0,
    "browser.tabs.remote.separateFileUriProcess": True,
    "datareporting.policy.dataSubmissionEnabled": False,
    "app.normandy.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
}
_ELEMENT = "element-6066-11e4-a52e-4f735466cecf"
"""The name under which an element travels: W3C WebDriver, section "Elements"."""
_CONSOLE = """
  const scripts = Services.console.getMessageArray().filter((one) => one instanceof Ci.nsIScriptError);
  const bad = scripts.filter((one) => !(one.flags & one.warningFlag) || /^CSP_CSP/.test(one.category));
  const told = bad.map((one) => `${one.category}: ${one.errorMessage} (${one.sourceName}:${one.lineNumber})`);
  return told.filter((one) => one.includes("file:///"));
"""
_PATIENCE = 60.0
_CM_PER_MM = 0.1


def find_firefox() -> str:
    """Return the browser's program; without one the test is skipped and says so, except where everything must run."""
    found = shutil.which("firefox-esr") or shutil.which("firefox")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("there is no firefox here, and CI must run the browser tests")
        pytest.skip("there is no firefox here: what a reader does in Firefox was not tried")
    return found


class Firefox:
    """One open page. Every method waits until the browser has answered; a fault in the page is a RuntimeError."""

    def __init__(self, port: int) -> None:
        self._line = socket.create_connection(("127.0.0.1", port), _PATIENCE)
        self._number, self._held = 0, b""
        self._message()  # who speaks
        self._ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"acceptInsecureCerts": False}}})

    def open(self, page: Path) -> None:
        """Open a file, and wait until it is loaded."""
        self._ask("WebDriver:Navigate", {"url": page.as_uri()})

    def run(self, script: str) -> Any:
        """Return what the body of a function returns in the page; a promise is waited for."""
        wrapped = (
            "const [done] = [...arguments].slice(-1);"
            f"(async () => {{ {script} }})()"
            ".then((found) => done({found}), (error) => done({error: String(error)}));"
        )
        given = {"script": wrapped, "args": [], "newSandbox": True, "sandbox": "reader", "scriptTimeout": 60000}
        answer = self._ask("WebDriver:ExecuteAsyncScript", given)["value"]
        if "error" in answer:
            raise RuntimeError(answer["error"])
        return answer.get("found")

    def click(self, selector: str) -> None:
        """Click the one element in view, as a pointer does: what lies under another one cannot be clicked."""
        self._ask("WebDriver:ElementClick", {"id": self._element(selector)})

    def write(self, selector: str, text: str) -> None:
        """Type into a field."""
        self._ask("WebDriver:ElementSendKeys", {"id": self._element(selector), "text": text})

    def paper(self, width: float, height: float) -> bytes:
        """Return the page printed on paper of that size in mm, with the margins that the page asks for, as a PDF."""
        size = {"width": width * _CM_PER_MM, "height": height * _CM_PER_MM}
        margins = dict.fromkeys(("top", "bottom", "left", "right"), 1.0)
        given = {"page": size, "margin": margins, "background": False, "shrinkToFit": True}
        return base64.b64decode(self._ask("WebDriver:Print", given)["value"])

    def picture(self) -> bytes:
        """Return what is seen, as a PNG."""
        return base64.b64decode(self._ask("WebDriver:TakeScreenshot", {"full": False})["value"])

    def errors(self) -> list[str]:
        """Return what the browser's own console holds against files: faults of scripts, and what a policy forbade."""
        self._ask("Marionette:SetContext", {"value": "chrome"})
        given = {"script": _CONSOLE, "args": [], "newSandbox": True, "sandbox": "system"}
        lines: list[str] = self._ask("WebDriver:ExecuteScript", given)["value"]
        self._ask("Marionette:SetContext", {"value": "content"})
        return lines

    def close(self) -> None:
        """End the browser."""
        self._ask("Marionette:Quit", {"flags": ["eForceQuit"]})
        self._line.close()

    def _element(self, selector: str) -> str:
        found = self._ask("WebDriver:FindElement", {"using": "css selector", "value": selector})["value"]
        return str(found[_ELEMENT])

    def _ask(self, name: str, given: dict[str, Any]) -> Any:
        self._number += 1
        data = json.dumps([0, self._number, name, given]).encode()
        self._line.sendall(str(len(data)).encode() + b":" + data)
        _kind, _number, error, answer = self._message()
        if error:
            raise RuntimeError(f"{name}: {error['error']}: {error['message']}")
        return answer

    def _message(self) -> Any:
        while b":" not in self._held:
            self._more()
        size, _colon, self._held = self._held.partition(b":")
        while len(self._held) < int(size):
            self._more()
        data, self._held = self._held[: int(size)], self._held[int(size) :]
        return json.loads(data)

    def _more(self) -> None:
        got = self._line.recv(1 << 16)
        if not got:
            raise RuntimeError("Firefox closed the line")
        self._held += got


@contextmanager
def firefox(folder: Path) -> Iterator[Firefox]:
    """Start a browser whose profile lies in a folder, and end it."""
    program, profile = find_firefox(), folder / "firefox"
    profile.mkdir()
    lines = (f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in _SETTINGS.items())
    (profile / "user.js").write_text("".join(lines), encoding="utf-8")
    options = ("--headless", "--marionette", "--remote-allow-system-access", "--no-remote", "--profile", str(profile))
    command = [program, *options]
    with (folder / "firefox.log").open("wb") as log, subprocess.Popen(command, stdout=log, stderr=log) as process:
        try:
            browser = Firefox(_port(profile / "MarionetteActivePort", process))
            try:
                yield browser
            finally:
                browser.close()
            process.wait(_PATIENCE)
        finally:
            process.kill()


def _port(file: Path, process: subprocess.Popen[bytes]) -> int:
    end = time.monotonic() + _PATIENCE
    while time.monotonic() < end and process.poll() is None:
        text = file.read_text(encoding="utf-8") if file.exists() else ""
        if text.strip():
            return int(text)
        time.sleep(0.1)
    raise RuntimeError(f"Firefox does not listen: {file.parent.parent / 'firefox.log'} may say why")
