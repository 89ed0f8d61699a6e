"""Two of the walks in DEVELOPERS.md: a pocket's depth to the page, and a finding to terminal, JSON and report."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.cli.main import main
from kitforge.definition.operations import PocketEntry
from kitforge.definition.reader import read_definition
from kitforge.language import use_language
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import CheckedKit
from kitforge.print.render import Imprint, manuscript
from kitforge.print.themes import load_theme
from kitforge.report.gather import report_of
from kitforge.testing import SmallKit
from kitforge_booklet.build import booklet

ROOT = Path(__file__).parents[2]
DEPTH, OTHER = "2.3 mm", 2.3


@pytest.fixture(scope="module")
def kit(tmp_path_factory: pytest.TempPathFactory) -> SmallKit:
    return SmallKit(tmp_path_factory.mktemp("walk")).change("depth: 2 mm", f"depth: {DEPTH}")


@pytest.fixture(scope="module")
def checked(kit: SmallKit) -> CheckedKit:
    return kit.check()


def test_the_depth_of_a_pocket_reaches_the_page(kit: SmallKit, checked: CheckedKit) -> None:
    definition, where, _ = read_definition(kit.file.read_bytes(), "kit.yaml")
    assert definition is not None
    written = definition.parts["sign"].operations[0]
    assert isinstance(written, PocketEntry)
    line = where.of("parts", "sign", "operations", 0, "depth").line
    assert f"depth: {DEPTH}" in kit.file.read_text().splitlines()[line - 1]
    assert checked.kit.part("sign").operations[0].depth == pytest.approx(OTHER)
    step = checked.plan.step("sign/recess")
    assert step.depth == pytest.approx(OTHER)
    with use_language("en"):
        made = booklet(checked.kit, checked.plan, BuildOptions())
        page = next(one for one in made.steps if one.number == step.number)
        assert DEPTH in [str(fact.value) for fact in page.facts]
        html = manuscript(load_theme(), "booklet.html", made, "a4", Imprint("t", "a", "s")).html
    facts = re.sub(r"<[^>]+>|\s+", " ", html[html.index(page.title) :])
    assert re.search(r"Depth below the face\s+2\.3 mm", facts)


def test_a_finding_reaches_terminal_json_and_report(
    kit: SmallKit, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    large = SmallKit(tmp_path / "large").change("long: 150 mm", "long: 350 mm")
    (found,) = [one for one in large.findings() if one.code == "part-too-large"]
    assert main(["check", str(large.folder)]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert f"kit.yaml:{found.source.line}:{found.source.column}: error [part-too-large]" in shown
    assert " ".join(str(found.message).split()) in shown
    assert main(["check", str(large.folder), "--format", "json"]) == 1
    told = [one for one in json.loads(capsys.readouterr().out)["findings"] if one["code"] == "part-too-large"]
    assert [(one["source"]["line"], one["message"]) for one in told] == [(found.source.line, str(found.message))]
    entries = [one for section in report_of(large.check()).sections for one in section.entries]
    assert "part-too-large" in [one.finding.code for one in entries]


def test_every_module_of_the_walks_is_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    walks = text[text.index("## Five walks") : text.index("## Why it is so")]
    named = re.findall(r"`([\w/]+(?:\.py|\.yaml|\.po|\.html|/))`", walks)
    missing = [one for one in named if not any((ROOT / top / one).exists() for top in ("", "kitforge"))]
    assert (len(named) > 20, [one for one in missing if one != "leftovers.py"]) == (True, [])
