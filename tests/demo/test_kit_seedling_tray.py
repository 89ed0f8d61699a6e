"""The seedling tray, a family: three sizes from one file, whose plates are one part and fit into every size."""

from __future__ import annotations

import pathlib
import shutil
from dataclasses import replace

import pytest
import yaml
from demo_kits import KITS, demo

from kitforge.cli.main import main
from kitforge.model.family import KitChoice
from kitforge.model.kit import Kit
from kitforge.pipeline import load_kit
from kitforge.plugins import load_plugins

TRAY = KITS / "seedling-tray"
SIZES = {"four": 4, "five": 5, "six": 6}


@pytest.fixture(scope="module")
def kits() -> dict[str, Kit]:
    return {size: load_kit(TRAY, load_plugins(), choice=KitChoice(size)) for size in SIZES}


@pytest.mark.parametrize("size", SIZES)
def test_every_size_has_its_modules_between_the_ends(size: str, kits: dict[str, Kit]) -> None:
    """The faces of the ends are as many modules of 90 mm apart; the plates with their gaps fill that."""
    kit = kits[size]
    ends = [pose.at[0] for pose in kit.together if pose.part == "end"]  # where the face of each lies
    assert max(ends) - min(ends) == pytest.approx(SIZES[size] * 90)
    plates = {part.key: part for part in kit.parts if part.piece_of}
    length = sum(part.count * (part.outline.bounds.width + 0.6) for part in plates.values())
    assert length == pytest.approx(SIZES[size] * 90)
    holes = sum(part.count * len(part.operation("pots").shapes) for part in plates.values())
    assert holes == 2 * SIZES[size]


def test_a_plate_of_one_size_is_that_of_every_other(kits: dict[str, Kit]) -> None:
    for key in ("plate-single", "end"):
        first, *rest = (replace(kit.part(key), stock=kits["four"].stock["sheet"]) for kit in kits.values())
        assert [one.outline for one in rest] == [first.outline] * 2
        assert [one.operations for one in rest] == [first.operations] * 2


def test_every_size_has_a_layout_that_is_kept(kits: dict[str, Kit]) -> None:
    for size, kit in kits.items():
        assert (TRAY / f"layout-{size}.lock").is_file()
        assert [sheet.stock for sheet in kit.layout] == ["sheet"], size
        assert len(kit.layout[0].placements) == 7


def test_the_short_one_fits_on_the_two_offcuts(capsys: pytest.CaptureFixture[str]) -> None:
    call = ["nest", str(TRAY), "--size", "four", "--offcuts", str(TRAY / "offcuts.yaml"), "--tries", "20"]
    assert main(call) == 0
    out = capsys.readouterr().out
    assert "7 of 7 copies fit on offcuts" in out
    assert out.count("plate-single") == 2
    assert yaml.safe_load((TRAY / "offcuts.yaml").read_text(encoding="utf-8"))["offcuts"].keys() == {
        "shelf-rest",
        "corner",
    }


def test_every_piece_has_a_drawing_of_its_own() -> None:
    names = set(demo("seedling-tray").files)
    assert {"drawings/plate-single.dxf", "drawings/plate-long.dxf"} <= names
    assert "drawings/plate.dxf" not in names


@pytest.mark.soak
def test_three_packs_and_one_joint_pack(tmp_path: pathlib.Path) -> None:
    """An error in one size names it, the other two are packed; without it all three and the joint one."""
    folder = tmp_path / "seedling-tray"
    shutil.copytree(TRAY, folder)
    assert main(["build", str(folder), "-o", str(tmp_path / "out"), "--paper", "a4", "--no-cache"]) == 0
    made = sorted(path.name for path in (tmp_path / "out").glob("*.zip"))
    stem = "seedling-tray-1.0.0"
    assert made == [f"{stem}-five.zip", f"{stem}-four.zip", f"{stem}-six.zip", f"{stem}.zip"]
