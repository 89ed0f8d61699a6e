"""kitforge explain, and --machine-file of explain, settings and build."""

from __future__ import annotations

import json
import pathlib
import zipfile

import pytest
from calling import Call
from starting import Kits

from kitforge.model.errors import UnreadableKitError
from kitforge.stages.read_machine import read_machine

OWN = """\
like: medium_router
name: Router in the cellar
area: [700, 600]
dial: {"1": 10000, "2": 14000, "3": 18000, "4": 22000}
power: 500
feed_limit: 120 in/min
collets: [6.35, ER11]
"""


@pytest.fixture
def own(tmp_path: pathlib.Path) -> pathlib.Path:
    path = tmp_path / "My Router.yaml"
    path.write_text(OWN)
    return path


def test_without_a_step_the_steps_are_listed(call: Call, kits: Kits) -> None:
    """As numbers, keys and titles; the same as JSON."""
    kit = kits.starter()
    code, out, _ = call("explain", kit)
    listed = json.loads(call("explain", kit, "--format", "json")[1])
    assert (code, len(out.splitlines())) == (0, len(listed))
    assert [line.split()[1] for line in out.splitlines()] == [step["key"] for step in listed]


def test_a_step_by_key_and_by_number_is_the_same(call: Call, kits: Kits) -> None:
    kit = kits.starter()
    steps = json.loads(call("explain", kit, "--format", "json")[1])
    key, number = steps[0]["key"], steps[0]["number"]
    by_key, by_number = call("explain", kit, key), call("explain", kit, str(number))
    assert by_key == by_number
    assert by_key[0] == 0
    for part in ("The settings, and what ruled them", "The calculation", "What holds the stock", "Sources"):
        assert part in by_key[1]


def test_an_unknown_step_names_the_nearest_one(call: Call, kits: Kits) -> None:
    kit = kits.starter()
    key = json.loads(call("explain", kit, "--format", "json")[1])[0]["key"]
    code, _, err = call("explain", kit, key[:-1])
    assert (code, f"Did you mean '{key}'?" in err) == (2, True)


def test_without_a_class_the_smallest_that_fits_is_explained(call: Call, kits: Kits) -> None:
    report = json.loads(call("explain", kits.starter(), "1", "--format", "json")[1])
    assert report["machine"] == "light_router"
    other = json.loads(call("explain", kits.starter(name="x"), "1", "--machine", "heavy_router", "--format", "json")[1])
    assert other["machine"] == "heavy_router"


def test_the_report_for_programs_holds_numbers_and_sources(call: Call, kits: Kits) -> None:
    report = json.loads(call("explain", kits.starter(), "1", "--format", "json")[1])
    assert {"kit", "step", "lines", "windows", "holding", "sources", "problems"} <= report.keys()
    for line in report["lines"]:
        assert isinstance(line["line"]["result"], int | float)
        assert line["line"]["source"]
    assert [window["quantity"] for window in report["windows"]][:2] == ["speed", "feed"]
    assert all(held["holds"] for held in report["holding"])


def test_a_step_without_settings_is_explained_up_to_what_blocks_it(call: Call, kits: Kits) -> None:
    """A mark of 5000 min-1 on the cutter, under the lowest speed of the class."""
    kit = kits.starter(("cutting_length: 18 mm", "cutting_length: 18 mm\n    max_speed: 5000"))
    last = json.loads(call("explain", kit, "--format", "json")[1])[-1]["key"]
    code, out, _ = call("explain", kit, last, "--machine", "light_router")
    assert code == 0
    assert "cutter maximum" in out.partition("The calculation")[0]
    assert "n_mark = 5000 min-1" in out
    assert "The settings, and what ruled them" not in out


def test_a_kit_that_cannot_be_read_is_said(call: Call, kits: Kits) -> None:
    assert call("explain", kits.starter(("material: black_cherry", "material: cheese")), "1")[0] == 2


def test_settings_for_a_machine_of_ones_own(call: Call, kits: Kits, own: pathlib.Path) -> None:
    """Only that machine, with its own dial and feed; what the file leaves out is the class's."""
    code, out, _ = call("settings", kits.starter(), "--machine-file", own, "--format", "json")
    rows = json.loads(out)["rows"]
    assert (code, {row["machine"] for row in rows}) == (0, {"my-router"})
    assert {row["dial"] for row in rows} <= {"1", "2", "3", "4"}
    assert max(row["feed"]["high"] for row in rows) <= 120 * 25.4 + 1e-6
    text = call("settings", kits.starter(name="x"), "--machine-file", own)[1]
    assert "my-router" in text


def test_a_class_and_a_machine_of_ones_own_exclude_each_other(call: Call, kits: Kits, own: pathlib.Path) -> None:
    assert call("settings", kits.starter(), "--machine-file", own, "--machine", "heavy_router")[0] == 2


def test_a_pack_for_a_machine_of_ones_own(
    call: Call, kits: Kits, own: pathlib.Path, tmp_path: pathlib.Path, quick: None
) -> None:
    """The zip has its own name, so that it never replaces the release, and a settings sheet for that machine."""
    code, out, err = call("build", kits.starter(), "-o", tmp_path / "dist", "--machine-file", own, "--paper", "a4")
    assert code == 0, out + err
    (archive,) = (tmp_path / "dist").iterdir()
    assert archive.name == "name-signs-0.1.0-my-router.zip"
    with zipfile.ZipFile(archive) as packed:
        table = next(name for name in packed.namelist() if name.endswith("settings.csv"))
        assert b"my-router" in packed.read(table)
        assert any("settings" in name and name.endswith(".pdf") for name in packed.namelist())


def test_every_mistake_of_a_machine_file_is_said_with_its_line(call: Call, kits: Kits, tmp_path: pathlib.Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text(
        "like: screw_hobb\nfeed_limit: fast\nrpm: [24000, 8000]\nforce_class: heavy_router\nforce_limit: 30\n"
    )
    code, out, err = call("settings", kits.starter(), "--machine-file", path)
    assert (code, "cannot be used" in err) == (2, True)
    assert [line for line in range(1, 5) if f"bad.yaml:{line}:" not in out] == []


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("feedlimit: 3000\n", "unknown-key", 1),
        ("name: x\narea: [1]\n", "wrong-value", 2),
        ("name: x\nname: y\nfeedlimit: 1\n", "yaml-duplicate-key", 2),
        ("- a list\n", "yaml-root", 1),
        ("name: [\n", "yaml-syntax", 2),
        ("area: [5000000, 3]\n", "wrong-value", 1),
    ],
)
def test_mistakes_in_a_machine_file(tmp_path: pathlib.Path, text: str, code: str, line: int) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text(text)
    with pytest.raises(UnreadableKitError) as raised:
        read_machine(path)
    assert (code, line) in [(problem.code, problem.source.line) for problem in raised.value.problems]


def test_a_missing_machine_file_is_said(call: Call, kits: Kits, tmp_path: pathlib.Path) -> None:
    code, out, _ = call("settings", kits.starter(), "--machine-file", tmp_path / "none.yaml")
    assert (code, "There is no file 'none.yaml'" in out) == (2, True)


def test_an_empty_machine_file_is_refused(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "empty.yaml"
    path.write_text("")
    with pytest.raises(UnreadableKitError):
        read_machine(path)
