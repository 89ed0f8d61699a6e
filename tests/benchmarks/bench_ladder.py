"""What a ladder of six rungs adds to a cold build, as a ratio of processor seconds in one run.

    python tests/benchmarks/bench_ladder.py [RUNS]

The plant stand, whose every part but two follows its thickness, is built with and without a ladder, in turns, each in a
new process; first without trial pieces, then with its fit coupon and its proof strip, which every rung draws and checks
anew. The target is a ratio of at most 1.2 both times.
"""

from __future__ import annotations

import pathlib
import shutil
import statistics
import sys
import tempfile

from bench_build import spent

KIT = pathlib.Path(__file__).parents[2] / "kits" / "plant-stand"
LADDER = "    ladder: {of: ply, from: 11.6 mm, to: 12.6 mm, step: 0.2 mm}\n"


TRIALS = ("coupon:", "proof:")


def without(text: str, keys: tuple[str, ...]) -> str:
    """Return a kit.yaml without some of its topmost keys."""
    kept, leaving = [], False
    for line in text.splitlines(keepends=True):
        if line.strip() and not line.startswith((" ", "#")):
            leaving = line.startswith(keys)
        if not leaving:
            kept.append(line)
    return "".join(kept)


def two_kits(home: pathlib.Path, *, trials: bool) -> tuple[pathlib.Path, pathlib.Path]:
    """Return copies of the plant stand without a ladder and with one, both with its trial pieces or without."""
    text = "".join(
        line
        for line in (KIT / "kit.yaml").read_text(encoding="utf-8").splitlines(keepends=True)
        if not line.startswith("    ladder:")
    )
    text = text.replace("actual: 12 mm", "actual: ply")
    text = text if trials else without(text, TRIALS)
    assert all(f"\n{key}" in text for key in TRIALS) is trials
    with_ladder = text.replace("actual: ply}\n", "actual: ply}\n" + LADDER, 1)
    assert with_ladder != text
    for name, written in (("plain", text), ("ladder", with_ladder)):
        shutil.copytree(KIT, home / name)
        (home / name / "kit.yaml").write_text(written, encoding="utf-8")
    return home / "plain", home / "ladder"


def measured(runs: int, *, trials: bool) -> tuple[float, float]:
    """Return the median processor seconds of a build without a ladder and with six rungs."""
    with tempfile.TemporaryDirectory() as home:
        kits = two_kits(pathlib.Path(home), trials=trials)
        times: dict[str, list[float]] = {kit.name: [] for kit in kits}
        for number in range(runs):
            for kit in kits:
                output = pathlib.Path(home) / f"{kit.name}-{number}"
                command = [sys.executable, "-m", "kitforge", "build", str(kit), "--no-cache", "-o", str(output)]
                times[kit.name].append(spent(command).processor)
    return statistics.median(times["plain"]), statistics.median(times["ladder"])


def main(runs: int) -> None:
    """Print the medians and their ratio, without trial pieces and with them."""
    for trials in (False, True):
        plain, ladder = measured(runs, trials=trials)
        said = "with coupon and strip" if trials else "no trial pieces"
        print(f"{said}: plain {plain:.1f} s, six rungs {ladder:.1f} s of processor: ratio {ladder / plain:.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
