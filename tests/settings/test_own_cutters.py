"""Cutters of the reader's own: they stand in where the drawing stays true and settings are had, else that is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from seed_dishes import DISHES

from kitforge.cli.main import main
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.pipeline import build_kit, plan_kit
from kitforge.plugins import load_plugins
from kitforge.release.jobs import BuildJob
from kitforge.release.record import _key
from kitforge.stages.read_cutters import read_cutters

MILL = "{kind: up-cut, diameter: 5.5 mm, cutting_length: 20 mm, shank: 6 mm, overall_length: 60 mm}"
BOWL = (
    "{kind: bowl, diameter: 16 mm, corner_radius: 5 mm, cutting_length: 14 mm, shank: 6 mm, overall_length: 52 mm, "
    "flutes: 2, centre_cutting: false, substrate: carbide tipped}"
)


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    folder = tmp_path / "kit"
    folder.mkdir()
    (folder / "kit.yaml").write_text(DISHES)
    return folder


def _file(kit: Path, text: str, name: str = "mine.yaml") -> Path:
    path = kit.parent / name
    path.write_text(text)
    return path


def _refused(kit: Path, entry: str) -> str:
    own = read_cutters(_file(kit, f"cutters:\n  {entry}\n"))
    with pytest.raises(KitforgeError) as caught:
        plan_kit(kit, load_plugins(), cutters=own)
    return str(caught.value)


def test_a_narrower_mill_cuts_the_outlines_with_settings_of_its_own(kit: Path) -> None:
    plugins = load_plugins()
    before = plan_kit(kit, plugins)[1]
    changed, after = plan_kit(kit, plugins, cutters=read_cutters(_file(kit, f"cutters:\n  mill: {MILL}\n")))
    outlines = [step for step in after.steps if step.cutter.key == "mill"]
    assert outlines and {step.cutter.diameter for step in outlines} == {5.5}
    assert changed.cutters["mill"].diameter == 5.5 and changed.cutters["bowl"].diameter == 16
    assert [step.operation.shapes for step in after.steps] == [step.operation.shapes for step in before.steps]
    one, other = (plan.machines[-1].settings[outlines[0].key] for plan in (before, after))
    assert one.feed != other.feed


UNFIT = [
    (f"drill: {MILL}", "mine.yaml:2: drill: the kit has no cutter of this key; it has bowl, mill."),
    (f"mill: {MILL.replace('up-cut', 'straight')}", "of the kind straight; the kit is made for one of the kind up-cut"),
    (f"mill: {MILL.replace('5.5', '6.5')}", "6.5 mm (0.256 in) is wider than 6 mm (0.236 in)"),
    (f"mill: {MILL.replace('20 mm', '17 mm')}", "edge of 17 mm (0.669 in) is shorter than the deepest cut, 18.5 mm"),
    (f"bowl: {BOWL.replace('diameter: 16', 'diameter: 15')}", "15 mm (0.591 in) is narrower than 15.95 mm"),
    (f"bowl: {BOWL.replace('radius: 5', 'radius: 6')}", "corner radius is 6 mm (0.236 in); the kit is drawn for 5 mm"),
]


@pytest.mark.parametrize(("entry", "told"), UNFIT)
def test_what_does_not_cut_the_drawing_is_told_with_its_line(kit: Path, entry: str, told: str) -> None:
    said = _refused(kit, entry)
    assert told in said and "mine.yaml:2: " in said


def test_every_class_keeps_its_settings(kit: Path) -> None:
    """A mill of 1 mm cuts any outline, but not at the speed that is marked on it."""
    small = MILL.replace("5.5 mm", "1 mm, max_speed: 5000")
    assert "step round/outline on medium_router: " in _refused(kit, f"mill: {small}")


def test_an_angle_is_the_form_of_what_is_cut(kit: Path) -> None:
    sizes = "diameter: 12.7 mm, cutting_length: 11 mm, shank: 6 mm, overall_length: 45 mm}"
    line = (
        "{name: line, do: groove, cutter: vee, depth: 1 mm, shapes: [{polyline: {points: [[-20 mm, 0], [20 mm, 0]]}}]}"
    )
    text = DISHES.replace("  mill: {kind", f"  vee: {{kind: v-bit, angle: 60, {sizes}\n  mill: {{kind", 1)
    text = text.replace("      - {name: hollow", f"      - {line}\n      - {{name: hollow", 1)
    (kit / "kit.yaml").write_text(text)
    assert "its angle is 90 degrees; the kit is drawn for 60" in _refused(
        kit, f"vee: {{kind: v-bit, angle: 90, {sizes}"
    )


@pytest.mark.parametrize(
    ("text", "code"),
    [("cutters: {}", ""), ("cutter: {}", "unknown"), ("cutters: {mill: {kind: up-cut}}", "missing"), ("[1]", "")],
)
def test_a_file_that_is_none_says_where(kit: Path, text: str, code: str) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        read_cutters(_file(kit, text))
    problems = caught.value.problems
    assert problems and all(one.source.file == "mine.yaml" for one in problems)
    assert any(code in one.code for one in problems)


def test_the_commands_take_the_file(kit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = _file(kit, f"units: in\ncutters:\n  mill: {MILL.replace('5.5 mm', '0.2')}\n")
    assert main(["settings", str(kit), "--cutter-file", str(path), "--format", "csv"]) == 0
    with_own = capsys.readouterr().out
    assert main(["settings", str(kit), "--format", "csv"]) == 0
    assert capsys.readouterr().out != with_own
    wide = _file(kit, f"cutters:\n  mill: {MILL.replace('5.5', '6.5')}\n", "wide.yaml")
    for command in (["settings"], ["explain"], ["build", "--no-cache", "-o", str(kit.parent / "out")]):
        code = main([*command, str(kit), "--cutter-file", str(wide)])
        said = capsys.readouterr()
        assert code == 2 and "wide.yaml:2: mill: 6.5 mm" in said.err and "Traceback" not in said.err
    assert not list(kit.parent.glob("out/*.zip"))
    assert main(["settings", str(kit), "--cutter-file", str(kit / "none.yaml")]) == 2


def test_a_pack_with_own_cutters_has_a_name_and_a_record_of_its_own(kit: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitforge.pipeline.render_files", lambda *_all: [])
    monkeypatch.setattr("kitforge.pack.archive.write_zip", lambda *_all: "0" * 64)
    own = read_cutters(_file(kit, f"cutters:\n  mill: {MILL}\n", "My mills.yaml"))
    built = build_kit(kit, kit.parent / "out", load_plugins(), cutters=own)
    assert built.archive is not None and built.archive.name == "seed-dishes-0.1.0-my-mills.zip"
    from kitforge.model.pack import BuildOptions

    jobs = [BuildJob(kit, kit.parent / "out", BuildOptions(), cutters=cutters) for cutters in ((), own)]
    assert _key(jobs[0]) != _key(jobs[1])
