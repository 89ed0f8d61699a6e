"""kit.lock: noise moves nothing, what is read is checked, two branches merge, and a change is told with its reason."""

from __future__ import annotations

import random
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest
from calling import Call
from hypothesis import given
from hypothesis import strategies as st

from kitforge.release.lock import LOCK, Lock, changes, reason, sticky, stuck, text_of
from kitforge.testing import SmallKit

MADE = {"kitforge": "0.1.0", "tables": "00", "libraries": "numpy 2"}


def test_noise_in_the_last_digits_moves_no_number() -> None:
    """10 000 values on a half of the fourth digit, the worst case of rounding, with noise of 1e-12: without the old
    lock about half of them flip, with it none does."""
    draw = random.Random(20261129)
    values = [(draw.randint(1000, 9999) + 0.5) * 10.0 ** draw.randint(-6, 3) for _ in range(10_000)]
    first = [sticky(value, None) for value in values]
    noisy = [value * (1 + draw.uniform(-1e-12, 1e-12)) for value in values]
    assert sum(sticky(new, None) != old for new, old in zip(noisy, first, strict=True)) > 1000
    assert sum(sticky(new, old) != old for new, old in zip(noisy, first, strict=True)) == 0


@given(st.floats(1e-9, 1e9), st.floats(1e-9, 1e9))
def test_a_figure_is_within_its_rounding(new: float, old: float) -> None:
    before = sticky(old, None)
    assert sticky(new, before) == pytest.approx(new, rel=0.51e-3)
    assert sticky(sticky(new, before), sticky(new, before)) == sticky(new, before)


def _lock(feed: float = 500.0, **made: str) -> Lock:
    steps = {step: {"feed": (feed, 770.0, 969.1), "passes": (3.0,)} for step in ("tray/finishing", "tray/outline")}
    return Lock({"light_router": steps, "heavy_router": steps}, {**MADE, **made})


def test_the_text_is_toml_that_gives_back_the_lock() -> None:
    """Read with tomllib, an independent reader (TOML 1.0)."""
    document = tomllib.loads(text_of({"": _lock()}))
    assert document["settings"]["light_router"]["tray/finishing"] == {"feed": [500, 770, 969.1], "passes": 3}
    assert text_of({"": _lock()}) == text_of({"": stuck(_lock(), _lock())})


def test_a_change_is_told_by_class_step_and_setting_with_its_reason() -> None:
    found = [str(one) for one in changes(_lock(), _lock(510.0))]
    assert found[0] == "heavy_router, tray/finishing, feed: [500, 770, 969.1] -> [510, 770, 969.1]"
    assert len(found) == 4
    assert reason(_lock(), _lock()) == "the kit"
    assert reason(_lock(), _lock(tables="11", libraries="numpy 3")) == (
        "other the workshop's tables, other libraries that compute, or the kit"
    )


def test_two_branches_that_move_different_steps_merge(tmp_path: Path) -> None:
    """git merge, with its ordinary driver."""
    if shutil.which("git") is None:
        pytest.skip("git is not installed")

    def git(*words: str) -> subprocess.CompletedProcess[str]:
        who = ("-c", "user.name=A. Maker", "-c", "user.email=maker@kit.invalid")
        return subprocess.run(["git", *who, *words], cwd=tmp_path, capture_output=True, text=True, check=False)

    base = text_of({"": _lock()})
    one = base.replace("feed = [500, 770, 969.1]", "feed = [510, 770, 969.1]", 1)
    last = base.rindex("passes = 3")
    other = f"{base[:last]}passes = 4{base[last + 10 :]}"
    git("init", "-q", "-b", "main")
    for branch, text in (("main", base), ("one", one), ("other", other)):
        git("checkout", "-q", "-B", branch, *(["main"] if branch != "main" else []))
        (tmp_path / LOCK).write_text(text)
        git("add", LOCK)
        assert git("commit", "-q", "-m", branch).returncode == 0
    assert git("merge", "-q", "one", "-m", "merged").returncode == 0
    merged = (tmp_path / LOCK).read_text()
    assert ("[510, 770, 969.1]" in merged, "passes = 4" in merged) == (True, True)


def test_a_kit_is_locked_checked_and_told_when_its_numbers_move(call: Call, kit: SmallKit) -> None:
    assert call("lock", "--check", kit.folder)[0] == 1, "there is none yet"
    assert call("lock", kit.folder)[0] == 0
    text = (kit.folder / LOCK).read_text()
    assert call("lock", "--check", kit.folder)[0] == 0
    assert call("lock", kit.folder)[0] == 0
    assert (kit.folder / LOCK).read_text() == text
    assert "lock-differs" not in call("check", kit.folder)[1]
    kit.change("depth: 2 mm", "depth: 2.5 mm")
    code, out, _ = call("lock", "--check", kit.folder)
    assert (code, "sign/recess, depth: 2 -> 2.5" in out, "because of the kit" in out) == (1, True, True)
    code, out, _ = call("check", kit.folder)
    assert (code, "warning [lock-differs]" in out) == (0, True)
    assert call("check", kit.folder, "--strict")[0] == 1


@pytest.mark.parametrize(
    "text",
    [
        "kitforge_lock = 2\n", "", "kitforge_lock = 1\nsettings = 3\n", "a = " + "[" * 3000,
        "kitforge_lock = 1\n[settings.light_router.sign]\nfeed = [1, nan, 3]\n",
        "kitforge_lock = 1\n[settings.light_router.sign]\nfeed = [1, inf, 3]\n",
        f"kitforge_lock = 1\n[settings.light_router.sign]\nfeed = {'9' * 4000}\n",
        "kitforge_lock = 1\n[settings.light_router.sign]\nfeed = [1, 2]\n",
        "kitforge_lock = 1\n[settings.light_router.sign]\nfeed = 'fast'\n", "kitforge_lock = 1\nmade_with = {a = 1}\n",
    ],
)  # fmt: skip
def test_a_strangers_lock_is_one_finding(kit: SmallKit, text: str) -> None:
    from kitforge.release.lock import lock_findings

    (kit.folder / LOCK).write_text(text)
    (found,) = lock_findings(kit.folder, None, None)  # type: ignore[arg-type]  # it is not looked at
    assert (found.code, len(str(found.message)) < 5000) == ("lock-unreadable", True)


def test_a_lock_that_is_a_link_is_not_followed(call: Call, kit: SmallKit) -> None:
    (kit.folder / LOCK).symlink_to("/etc/passwd")
    code, out, _ = call("check", kit.folder)
    assert (code, "is a link" in out, "root:" in out) == (1, True, False)
