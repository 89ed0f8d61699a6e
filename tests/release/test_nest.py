"""`kitforge nest` end to end: the file it writes, what a plan makes of it, what is told when it no longer holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitforge.cli.main import main
from kitforge.model.findings import Severity
from kitforge.pipeline import check_kit, plan_kit
from kitforge.plugins import load_plugins

KIT = """\
kitforge: 1
kit:
  {title: Shelf pins, slug: shelf-pins, version: 1.0.0, author: Invented Workshop, licence: CC-BY-4.0, summary: Wedges.,
   use: indoors}
stock:
  sheet: {material: birch_plywood, thickness: 6 mm, length: 600 mm, width: 300 mm}
cutters:
  em3: {kind: up-cut, diameter: 3 mm, cutting_length: 12 mm, shank: 3 mm, overall_length: 40 mm}
parts:
  wedge:
    stock: sheet
    count: 6
    outline: {polyline: {points: [[0 mm, 0 mm], [110 mm, 0 mm], [0 mm, 100 mm]], closed: true}}
    operations:
      - {name: outline, do: profile, cutter: em3, hold: {tabs: {}}}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    home = tmp_path / "shelf-pins"
    home.mkdir()
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    return home


def nest(folder: Path, *more: str) -> int:
    return main(["nest", str(folder), "--tries", "20", *more])


def layout_codes(folder: Path) -> list[str]:
    return [one.code for one in check_kit(folder, load_plugins()).findings if one.code.startswith("layout")]


def test_a_layout_is_written_and_a_plan_follows_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert nest(folder) == 0
    told = capsys.readouterr().out
    assert "wrote" in told and "as rectangles" in told
    _kit, plan = plan_kit(folder, load_plugins())
    assert {one.turn for one in plan.sheets[0].placements} == {0, 180}
    assert layout_codes(folder) == []
    assert not check_kit(folder, load_plugins()).fails()


def test_the_same_kit_gives_the_same_file(folder: Path) -> None:
    nest(folder)
    first = (folder / "layout.lock").read_bytes()
    nest(folder)
    assert (folder / "layout.lock").read_bytes() == first


def test_a_dry_run_writes_nothing(folder: Path) -> None:
    assert nest(folder, "--dry-run") == 0
    assert not (folder / "layout.lock").exists()


def test_an_edited_layout_is_an_error(folder: Path) -> None:
    nest(folder)
    lock = folder / "layout.lock"
    lock.write_text(lock.read_text(encoding="utf-8").replace(", 180]", ", 0]", 1), encoding="utf-8")
    checked = check_kit(folder, load_plugins())
    (found,) = [one for one in checked.findings if one.code == "layout-unreadable"]
    assert found.severity is Severity.ERROR and checked.fails()
    assert "est again" in str(found.advice) and found.source.file == "layout.lock"
    assert nest(folder) == 0
    assert layout_codes(folder) == []


@pytest.mark.parametrize(
    ("old", "new", "codes"),
    [
        ("count: 6", "count: 7", ["layout-unfit"]),
        ("[110 mm, 0 mm]", "[130 mm, 0 mm]", ["layout-unfit"]),
        ("[110 mm, 0 mm]", "[109.5 mm, 0 mm]", ["layout-older"]),
        ("width: 300 mm", "width: 150 mm", ["layout-unfit"]),
        ("diameter: 3 mm", "diameter: 6 mm", ["layout-unfit"]),
        ("summary: Wedges.", "summary: Pins.", []),
    ],
)
def test_a_changed_kit_is_measured_anew(folder: Path, old: str, new: str, codes: list[str]) -> None:
    """Only what no longer holds is an error; what still holds is used, with a note."""
    nest(folder)
    kit = folder / "kit.yaml"
    kit.write_text(KIT.replace(old, new), encoding="utf-8")
    assert sorted(set(layout_codes(folder))) == codes


def test_a_layout_that_leads_elsewhere_is_not_read(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "other").write_text("kitforge_layout = 1\n", encoding="utf-8")
    (folder / "layout.lock").symlink_to(tmp_path / "other")
    assert main(["check", str(folder)]) == 2
