"""Standard output that is full or closed, commands that are nearly right, and programs that are not to be run."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from calling import Call
from smaller import UNSET

from kitforge.model.characters import spreadsheet_safe
from kitforge.testing import SmallKit

RUN = "from kitforge.cli.main import entry; entry()"


def _into_full(before: str, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Run the command line with a standard output that takes nothing."""
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, "-c", before + RUN, *arguments]
        return subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
def test_a_full_output_is_no_bug(kit: SmallKit) -> None:
    kit.change("material: black_cherry", "material: cheese")  # there is less to do, and as much to tell
    done = _into_full("", "check", kit.folder)
    assert (done.returncode, "could not be written" in done.stderr, "Traceback" in done.stderr) == (74, True, False)


@pytest.mark.soak
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
def test_a_full_output_is_no_bug_and_the_zip_is_kept(kit: SmallKit, tmp_path: Path) -> None:
    done = _into_full(UNSET, "build", kit.folder, "-o", tmp_path / "out", "--paper", "a4")
    assert (done.returncode, "could not be written" in done.stderr, "Traceback" in done.stderr) == (74, True, False)
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["name-signs-0.1.0.zip"]


@pytest.mark.skipif(os.name != "posix", reason="shells of POSIX close streams so")
def test_closed_streams_are_no_bug(kit: SmallKit) -> None:
    line = f"exec '{sys.executable}' -c '{RUN}' check '{kit.folder}' <&- >&- 2>&-"
    assert subprocess.run(["sh", "-c", line], check=False).returncode == 0


def test_a_command_that_is_nearly_right_is_hinted_at(call: Call) -> None:
    for typed, meant in (("chek", "check"), ("biuld", "build"), ("lst", "list"), ("comapre", "compare")):
        code, _, err = call(typed)
        assert (code, f"Did you mean '{meant}'?" in err) == (2, True), typed
    assert "Did you mean" not in call("frobnicate")[2]


def test_no_other_program_is_started_to_load_the_typesetter() -> None:
    """The interpreter's own audit events tell every program that is started."""
    script = (
        "import sys\n"
        "def heard(event, given):\n"
        "    if event in ('subprocess.Popen', 'os.system', 'os.posix_spawn', 'os.exec', 'os.fork'):\n"
        "        raise SystemExit(f'{event} {given}')\n"
        "sys.addaudithook(heard)\n"
        "from kitforge.print.ready import require_printing\n"
        "require_printing()\n"
        "import ctypes.util\n"
        "assert ctypes.util.find_library.__module__ == 'ctypes.util'\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("=1+1", "'=1+1"), ("Tray;=cmd()", "Tray;'=cmd()"), ("a;b; @x", "a;b; '@x"), ("a\t+1", "a\t'+1"),
        ("plain - words; more", "plain - words; more"), ("", ""), ("-3 mm", "'-3 mm"), ("a\n=x", "a\n'=x"),
    ],
)  # fmt: skip
def test_no_text_opens_a_formula_in_any_cell(text: str, safe: str) -> None:
    assert spreadsheet_safe(text) == safe
    assert spreadsheet_safe(safe) == safe
