"""What a check may cost: 10 processor seconds and 1 GiB is the wish, three times that the bound."""

from __future__ import annotations

import math
import pathlib
import resource
import subprocess
import sys

import pytest
from dense import IN_EVERY_TEST, KINDS, write_kit

SECONDS, BYTES = 3 * 10, 3 << 30
# the outline of 60 000 teeth takes some 20 s, more than the wish: offsets of it, which the geometry library makes
KITS = sorted(path.parent for path in (pathlib.Path(__file__).parents[2] / "kits").glob("*/kit.yaml"))


def limited_check(folder: pathlib.Path, share: float = 1) -> subprocess.CompletedProcess[str]:
    """Check a kit in a process of its own that is stopped beyond the bounds. share: which part of the time it has."""
    seconds = math.ceil(SECONDS * share)

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))

    words = [sys.executable, "-m", "kitforge", "check", str(folder)]
    return subprocess.run(words, capture_output=True, text=True, check=False, preexec_fn=limit)


def _kinds() -> list[object]:
    often = set(IN_EVERY_TEST)
    return [pytest.param(kind, marks=() if kind in often else pytest.mark.soak) for kind in KINDS]


@pytest.mark.parametrize("kind", _kinds())
def test_a_dense_drawing_is_checked_within_bounds(kind: str, tmp_path: pathlib.Path) -> None:
    write_kit(kind, tmp_path)
    done = limited_check(tmp_path, IN_EVERY_TEST.get(kind, 1))
    assert done.returncode in (0, 1), done.stderr[-2000:]
    assert " note" in done.stdout


@pytest.mark.soak
@pytest.mark.parametrize("tabs", ["", "count: 60, "])
def test_tabs_of_a_comb_are_sought_within_bounds(tabs: str, tmp_path: pathlib.Path) -> None:
    """The edge is 200 m long: where the plan counts them there are a thousand; 60 are too far from each other."""
    write_kit("comb, 10 000 points, 20 mm deep", tmp_path)
    text = (tmp_path / "kit.yaml").read_text()
    assert "count: 6, " in text
    (tmp_path / "kit.yaml").write_text(text.replace("count: 6, ", tabs))
    done = limited_check(tmp_path)
    assert done.returncode in (0, 1), done.stderr[-2000:]


@pytest.mark.soak
@pytest.mark.parametrize("kit", KITS, ids=lambda path: path.name)
def test_a_demo_kit_is_checked_within_bounds(kit: pathlib.Path) -> None:
    assert limited_check(kit).returncode == 0
