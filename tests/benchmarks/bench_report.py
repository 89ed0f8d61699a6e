"""How long the three kinds of report take, against planning and checking the same kit. Run it as a script."""

from __future__ import annotations

import pathlib
import statistics
import sys
import time
from collections.abc import Callable

ROOT = pathlib.Path(__file__).parents[2]
KIT = ROOT / "kits" / "morris-board"
RUNS = 3


def main() -> None:
    """Print the middle of three runs and the ratio to the check itself."""
    from kitforge.pipeline import check_kit
    from kitforge.plugins import load_plugins
    from kitforge.report.write import report_bytes

    plugins = load_plugins()
    checked = check_kit(KIT, plugins)
    base = _seconds(lambda: check_kit(KIT, plugins))
    sys.stdout.write(f"check {base:.2f} s, {len(checked.findings)} findings\n")
    for kind in ("html", "svg", "pdf"):
        taken = _seconds(lambda kind=kind: report_bytes(checked, kind))  # type: ignore[misc]
        sys.stdout.write(f"{kind}: {taken:.2f} s, {taken / base:.2f} of the check\n")


def _seconds(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


if __name__ == "__main__":
    main()
