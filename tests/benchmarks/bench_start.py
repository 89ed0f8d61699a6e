"""What short commands cost beside importing the bare libraries, as ratios of processor seconds in one run.

    python tests/benchmarks/bench_start.py [RUNS]

All files are compiled beforehand, into a folder of this run. Bare is what a check of any kit may need: NumPy, SciPy's
image functions, Shapely, PyYAML, pluggy, rich and pydantic with a class of its own. The target is 1.5 for a check of
the starter kit. Such a check needs neither SciPy nor rich and does not load them; bare without the two is printed too.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

LEAST = (
    "import numpy, shapely, yaml, pluggy\nfrom pydantic import BaseModel\nclass Entry(BaseModel):\n    size: float\n"
)
BARE = f"{LEAST}import scipy.ndimage, rich.console\n"


def processor_seconds(command: Sequence[str], env: Mapping[str, str]) -> float:
    """Run a command in silence; return the processor seconds it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, env=env, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print a line for each command: the middle of the runs, and the ratio to the bare libraries."""
    from kitforge.testing import SmallKit

    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    with tempfile.TemporaryDirectory() as folder:
        top = Path(folder)
        kit = SmallKit(top / "kit").folder
        env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        env |= {"PYTHONPYCACHEPREFIX": str(top / "compiled"), "XDG_CACHE_HOME": str(top / "cache")}
        python, ours = [sys.executable, "-c"], [sys.executable, "-m", "kitforge"]
        commands = {
            "bare libraries": [*python, BARE],
            "bare, without SciPy and rich": [*python, LEAST],
            "check, starter kit": [*ours, "check", str(kit)],
            "--help": [*ours, "--help"],
            "build, nothing changed": [*ours, "build", str(kit), "-o", str(top / "dist"), "--paper", "a4"],
        }
        for command in commands.values():  # compiles, and builds once
            processor_seconds(command, env)
        costs: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(runs):
            for name, command in commands.items():  # in turns, so that a busy machine is busy for all
                costs[name].append(processor_seconds(command, env))
    base = statistics.median(costs["bare libraries"])
    for name, taken in costs.items():
        middle = statistics.median(taken)
        print(f"{name:30} {middle:.3f} s, {middle / base:.2f} of the bare libraries")


if __name__ == "__main__":
    main()
