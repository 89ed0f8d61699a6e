"""Findings in German: what a check says of a kit with mistakes holds no English, and nothing is decided by words."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from kitforge.cli.main import main
from kitforge.model.messages import Message, Wording
from kitforge.model.plan import Plan
from kitforge.pipeline import check_kit
from kitforge.plugins import load_plugins
from kitforge.testing import SmallKit

ENGLISH = re.compile(r"\b(the|and|with|from|your|each|until|cutter|is|are|of|stock|tabs?|before|which|Use|Give)\b")
MISTAKES = (
    ("depth: 2 mm", "depth: 30 mm"),
    ("long: 150 mm", "long: 350 mm"),
    ("title: Cherry board", "titel: [Cherry board]"),
    ("depth: 2 mm", "depth: = 2 mm + nothing"),
)


@pytest.fixture(params=MISTAKES, ids=[new for _old, new in MISTAKES])
def broken(request: pytest.FixtureRequest, tmp_path: Path) -> SmallKit:
    return SmallKit(tmp_path / "kit").change(*request.param)


def _rows(told: dict[str, Any]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = told["findings"]
    return rows


def test_findings_are_told_in_german(broken: SmallKit, capsys: pytest.CaptureFixture[str]) -> None:
    """No English is left but what an author or a file says, in quotes of one kind or another."""
    main(["check", str(broken.folder), "--language", "de", "--format", "json"])
    told = json.loads(capsys.readouterr().out)
    rows = _rows(told)
    assert rows
    for row in rows:
        words = re.sub(r"'[^']*'|`[^`]*`|parts / [^:]*:|Recess for the label", "", f"{row['message']} {row['advice']}")
        assert ENGLISH.search(words) is None, words


def test_codes_places_and_order_are_the_same_in_every_language(
    broken: SmallKit, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only message and advice differ."""
    seen = []
    for code in ("en", "de"):
        main(["check", str(broken.folder), "--language", code, "--format", "json"])
        rows = _rows(json.loads(capsys.readouterr().out))
        seen.append([{**row, "message": "", "advice": ""} for row in rows])
    assert seen[0] == seen[1]


def _scrambled(text: str) -> str:
    """Return a template with its words turned round and its places kept."""
    return "".join(part if part.startswith("{") else part[::-1] for part in re.split(r"(\{[^{}]*\})", text))


def _many_scrambled(_one: str, many: str, _count: int) -> str:
    return _scrambled(many)


def _figures(plan: Plan) -> list[tuple[float, ...]]:
    """Return the figures of all settings, machine by machine."""
    return [
        (window.low, window.start, window.high, settings.passes, settings.force, *settings.seconds)
        for machine in plan.machines
        for settings in machine.settings.values()
        for window in (settings.speed, settings.feed, settings.plunge, settings.depth_per_pass)
    ]


def test_words_decide_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With every message scrambled a check finds the same, in the same order, with the same settings."""
    kit = SmallKit(tmp_path / "kit").change("depth: 2 mm", "depth: 17 mm")
    plain = check_kit(kit.folder, load_plugins())
    kept = Wording._message

    def scrambled(words: Wording, message: Message) -> str:
        return kept(replace(words, text=_scrambled, counted=_many_scrambled), message)

    monkeypatch.setattr(Wording, "_message", scrambled)
    other = check_kit(kit.folder, load_plugins())
    keys = [(one.code, one.severity, one.source, one.part, one.operation, one.at) for one in plain.findings]
    assert keys == [(one.code, one.severity, one.source, one.part, one.operation, one.at) for one in other.findings]
    assert plain.findings == other.findings
    assert _figures(plain.plan) == _figures(other.plan)
