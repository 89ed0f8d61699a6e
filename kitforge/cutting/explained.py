"""Writes EXPLAINED.md: three steps of each demo kit, as `kitforge explain` prints them.

Run `python -m kitforge.cutting.explained` in the project's folder to write it anew.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

SHOWN = (
    ("kits/morris-board", "board/lines", "belt_trim_router"),
    ("kits/morris-board", "board/tray/roughing", "screw_hobby"),
    ("kits/morris-board", "board/outline", "semi_pro"),
    ("kits/plant-stand", "top/recess", "belt_trim_router"),
    ("kits/plant-stand", "ring/cross", "screw_hobby"),
    ("kits/plant-stand", "leg-over/outline", "industrial"),
)
"""Kit, step and machine class."""

PAGE = Path(__file__).parent / "EXPLAINED.md"

_HEAD = """# Three steps of each demo kit, explained

Every number that is printed for a step, as `kitforge explain` writes it: formula, the formula with its numbers, result,
and where each number comes from. Each line can be followed with a pocket calculator; a test does that for all of them.
Written by `python -m kitforge.cutting.explained`.
"""

Say = Callable[[Sequence[str]], str]


def page(say: Say) -> str:
    """Return the page; `say` gives what the command line prints for some arguments."""
    blocks = [_HEAD]
    for kit, step, machine in SHOWN:
        command = ["explain", kit, step, "--machine", machine]
        blocks.append(f"## {Path(kit).name}: {step} on {machine}\n\n```text\n{say(command).rstrip()}\n```\n")
    return "\n".join(blocks)


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(_said), encoding="utf-8")


def _said(arguments: Sequence[str]) -> str:
    command = [sys.executable, "-m", "kitforge", *arguments]
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout


if __name__ == "__main__":
    main()
