"""Waivers: what they accept, what they must say, and that they end."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from calling import Call

from kitforge.testing import SmallKit

EPOCH = "1767225600"  # 2026-01-01


@pytest.fixture(autouse=True)
def _day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", EPOCH)


@pytest.fixture
def warned(kit: SmallKit) -> SmallKit:
    """A kit with a warning: the cutter is as long as the wood is thick."""
    return kit.change("cutting_length: 18 mm", "cutting_length: 12 mm")


def _findings(call: Call, kit: SmallKit, *more: str) -> tuple[int, dict[str, dict[str, Any]]]:
    code, out, err = call("check", kit.folder, "--format", "json", *more)
    assert err == ""
    return code, {finding["code"]: finding for finding in json.loads(out)["findings"]}


def _waiver(kit: SmallKit, **changed: object) -> None:
    fields = {"code": '"wall-thin"', "reason": '"the felt carries it"', "by": '"A. Maker"', "until": "2026-06-30"}
    lines = [f"{key} = {value}" for key, value in {**fields, **changed}.items() if value is not None]
    (kit.folder / "waivers.toml").write_text("[[waiver]]\n" + "\n".join(lines) + "\n")


def _warning(call: Call, kit: SmallKit) -> str:
    found = [code for code, one in _findings(call, kit)[1].items() if one["severity"] == "warning"]
    assert found, "the kit of this test has a warning"
    return found[0]


def test_a_waived_warning_passes_a_strict_check_and_says_why(call: Call, warned: SmallKit) -> None:
    code = _warning(call, warned)
    assert _findings(call, warned, "--strict")[0] == 1
    _waiver(warned, code=f'"{code}"')
    exit_code, found = _findings(call, warned, "--strict")
    assert (exit_code, found[code]["waived"]) == (0, "the felt carries it (A. Maker, until 2026-06-30)")
    assert "1 waived" in call("check", warned.folder)[1]
    _waiver(warned, code=None, fingerprint=f'"{found[code]["fingerprint"]}"')
    assert _findings(call, warned, "--strict")[0] == 0


def test_an_expired_waiver_counts_no_more_and_is_told(call: Call, warned: SmallKit) -> None:
    code = _warning(call, warned)
    _waiver(warned, code=f'"{code}"', until="2025-12-31")
    exit_code, found = _findings(call, warned, "--strict")
    assert (exit_code, found[code]["waived"], found["waiver-expired"]["source"]["line"]) == (1, None, 1)
    _waiver(warned, code=f'"{code}"', until="2026-01-01")
    assert _findings(call, warned, "--strict")[0] == 0, "the last day counts"


@pytest.mark.parametrize("narrow", [{"part": '"nobody"'}, {"operation": '"none"'}, {"code": '"no-such"'}])
def test_an_unused_waiver_is_told(call: Call, warned: SmallKit, narrow: dict[str, object]) -> None:
    _waiver(warned, **{"code": f'"{_warning(call, warned)}"', **narrow})
    assert "waiver-unused" in _findings(call, warned)[1]


def test_an_error_cannot_be_waived(call: Call, kit: SmallKit) -> None:
    kit.change("long: 150 mm", "long: 350 mm")
    _waiver(kit, code='"part-too-large"')
    code, found = _findings(call, kit)
    assert (code, found["part-too-large"]["waived"], "waiver-of-error" in found) == (1, None, True)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[waiver]]\ncode = 3\n", "needs 'reason'"),
        ("waiver = 5\n", "something else"),
        ("[[waiver\n", "cannot be read"),
        ("a = " + "[" * 5000 + "]" * 5000, "cannot be read"),
        ("\udcff", "UTF-8"),
        ("[[waiver]]\ncode = ''\nreason = 'x'\nby = 'y'\nuntil = 2026-02-01\n", "not empty"),
        ("[[waiver]]\ncode = 'a'\nreason = 'x'\nby = 'y'\nuntil = '2026-02-01'\n", "is a date"),
        ("[[waiver]]\ncode = 'a'\nreason = 'x'\nby = 'y'\nuntil = 2027-02-01\n", "within a year"),
        ("[[waiver]]\ncode = 'a'\nfingerprint = 'b'\nreason = 'x'\nby = 'y'\nuntil = 2026-02-01\n", "either"),
        ("[[waiver]]\ncode = 'a'\nwhy = 'b'\nreason = 'x'\nby = 'y'\nuntil = 2026-02-01\n", "no key 'why'"),
        ("#" * (300 << 10), "larger than"),
    ],
)
def test_a_file_that_is_not_as_it_must_be_fails(call: Call, kit: SmallKit, text: str, said: str) -> None:
    (kit.folder / "waivers.toml").write_bytes(text.encode("utf-8", "surrogateescape"))
    code, out, _err = call("check", kit.folder)
    assert (code, "waivers-unreadable" in out, said in " ".join(out.split())) == (1, True, True), out


def test_a_link_or_a_pipe_is_no_waivers_file(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    import os

    (kit.folder / "waivers.toml").symlink_to("/etc/passwd")
    code, out, _err = call("check", kit.folder)
    assert (code, "root:" in out, "is a link" in out) == (1, False, True)
    (kit.folder / "waivers.toml").unlink()
    os.mkfifo(kit.folder / "waivers.toml")
    assert call("check", kit.folder)[0] == 1


def test_without_an_epoch_the_day_is_today(monkeypatch: pytest.MonkeyPatch) -> None:
    from kitforge.release.findings.waivers import today

    assert today() == datetime.date(2026, 1, 1)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "")
    assert abs((today() - datetime.datetime.now(datetime.UTC).date()).days) <= 1
