"""Writes EXPLAINED.md: three steps of each demo kit, as `kitforge explain` prints them.

Run this file in the project's folder to write it anew.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import kitforge.cutting

STEPS = 3
"""How many steps of each kit are shown: the first, the last, and those between at even distances."""

PAGE = Path(kitforge.cutting.__file__).parent / "EXPLAINED.md"

_HEAD = """# Three steps of each demo kit, explained

Every number that is printed for a step on the smallest class that fits, as `kitforge explain` writes it: formula, the
formula with its numbers, result, and where each number comes from. Each line can be followed with a pocket calculator;
a test does that for all of them.
Written by tests/tools/write_explained.py.
"""

Say = Callable[[Sequence[str]], str]


def page(kits: Sequence[str], say: Say) -> str:
    """Return the page for the kits in some folders; `say` gives what the command line prints for some arguments."""
    blocks = [_HEAD]
    for kit in kits:
        steps = [step["key"] for step in json.loads(say(["explain", kit, "--format", "json"]))]
        for step in chosen(steps):
            text = say(["explain", kit, step]).rstrip()
            blocks.append(f"## {Path(kit).name}: {step}\n\n```text\n{text}\n```\n")
    return "\n".join(blocks)


def chosen(steps: Sequence[str]) -> list[str]:
    """Return the steps that are shown."""
    last = len(steps) - 1
    return [steps[index] for index in sorted({round(last * part / (STEPS - 1)) for part in range(STEPS)})]


def demo_kits() -> list[str]:
    """Return the folders of the demo kits."""
    return sorted(path.parent.as_posix() for path in Path("kits").glob("*/kit.yaml"))


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(demo_kits(), _said), encoding="utf-8")


def _said(arguments: Sequence[str]) -> str:
    command = [sys.executable, "-m", "kitforge", *arguments]
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout


if __name__ == "__main__":
    main()
