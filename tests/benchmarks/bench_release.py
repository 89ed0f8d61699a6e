"""What rebuilding costs, as ratios in one run: to bare typesetting of the same documents, and many kits to one by one.

    python tests/benchmarks/bench_release.py [KIT] [--many]

Every build is a new process with a cache of its own. Processor seconds of the process and its helpers, and wall time;
on a machine that is busy with other things trust the ratios of processor seconds. `--many`: seven demo kits, and 16
(demo kits under other slugs), in one process and in two.
"""

from __future__ import annotations

import os
import pathlib
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from typing import NamedTuple

sys.path.insert(0, str(pathlib.Path(__file__).parent))

from bench_build import BARE, KITS, kept_documents

ENTRY = "from kitforge.cli.main import entry; entry()"


class Cost(NamedTuple):
    """Wall seconds, processor seconds of a process and its children."""

    wall: float
    processor: float


def cost_of(command: Sequence[str], home: pathlib.Path) -> Cost:
    """Run a command with a cache of its own; return what it cost."""
    env = {key: value for key, value in os.environ.items() if key != "KITFORGE_NO_CACHE"} | {
        "XDG_CACHE_HOME": str(home)
    }
    before, begun = os.times(), time.perf_counter()
    subprocess.run([sys.executable, "-c", *command], env=env, stdout=subprocess.DEVNULL, check=True)
    after = os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return Cost(time.perf_counter() - begun, used)


def edited(kit: pathlib.Path, pattern: str, by: str) -> Callable[[], None]:
    """Return what replaces the first text that fits a pattern in kit.yaml."""

    def edit() -> None:
        path = kit / "kit.yaml"
        text, count = re.subn(pattern, by, path.read_text(encoding="utf-8"), count=1)
        assert count, f"nothing in {path} fits {pattern}"
        path.write_text(text, encoding="utf-8")

    return edit


def one_kit(source: pathlib.Path, scratch: pathlib.Path) -> None:
    """Print the costs of builds of one kit after each kind of edit, as ratios to its bare typesetting."""
    kit = pathlib.Path(shutil.copytree(source, scratch / source.name))
    out, home = scratch / "out", scratch / "home"
    home.mkdir(mode=0o700)
    documents = scratch / "documents"
    documents.write_bytes(pickle.dumps(kept_documents(kit, scratch / "kept")))
    bare = cost_of([BARE, str(documents)], home)
    engine = cost_of(["import weasyprint"], home)
    build = [ENTRY, "build", str(kit), "-o", str(out)]

    def line(name: str, cost: Cost) -> None:
        wall, processor = cost.wall / bare.wall, cost.processor / bare.processor
        print(f"{name:34} {cost.wall:7.1f} s {cost.processor:7.2f} s  x {wall:5.2f} wall  x {processor:5.2f} processor")

    line("bare typesetting, one process", bare)
    line("import of the typesetter", engine)
    line("cold, no cache", cost_of([*build, "--no-cache"], home))
    line("cold, filling the cache", cost_of(build, home))
    line("nothing changed", cost_of(build, home))
    edited(kit, r"(?m)^(  title: [^\n#]*[a-z])$", r"\1 (new)")()
    line("a word", cost_of(build, home))
    edited(kit, r"flutes: 2", "flutes: 1")()
    line("settings", cost_of(build, home))
    line("settings, one paper", cost_of([*build[:-1], str(scratch / "one"), "--paper", "a4"], home))
    edited(kit, r"(?m)^(\s+depth: )(\d+)( mm)", lambda found: f"{found[1]}{found[2]}.5{found[3]}")()  # type: ignore[arg-type]
    line("one step's depth", cost_of(build, home))


def many_kits(scratch: pathlib.Path) -> None:
    """Print the costs of the demo kits, and of 16 kits, with one job and with two, each as a ratio to one job."""
    seven = sorted(path.parent for path in KITS.glob("*/kit.yaml"))
    sixteen = []
    for number in range(16):
        kit = pathlib.Path(shutil.copytree(seven[number % len(seven)], scratch / "many" / f"kit-{number}"))
        edited(kit, r"(?m)^  slug: .*$", f"  slug: kit-{number}")()
        sixteen.append(kit)
    for kits in (seven, sixteen):
        first = None
        for jobs in (1, 2):
            command = [
                ENTRY,
                "build",
                *map(str, kits),
                "-o",
                str(scratch / f"j{jobs}"),
                "--no-cache",
                "--jobs",
                str(jobs),
            ]
            cost = cost_of(command, scratch)
            first = first or cost
            print(f"{len(kits):2} kits, --jobs {jobs}: {cost.wall:6.0f} s wall, {cost.processor:6.0f} s processor, "
                  f"x {cost.wall / first.wall:.2f} wall")  # fmt: skip


def main() -> None:
    """Measure one kit; with --many many as well."""
    options = [word for word in sys.argv[1:] if word.startswith("--")]
    named = [word for word in sys.argv[1:] if not word.startswith("--")]
    with tempfile.TemporaryDirectory() as folder:
        one_kit(pathlib.Path(named[0]) if named else KITS / "morris-board", pathlib.Path(folder))
        if "--many" in options:
            many_kits(pathlib.Path(folder))


if __name__ == "__main__":
    main()
