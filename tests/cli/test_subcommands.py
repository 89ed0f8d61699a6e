"""The other subcommands: settings, new, plugins, schema, and what they print for programs."""

from __future__ import annotations

import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys

import pytest
import yaml
from calling import Call
from starting import Kits

from kitforge.cli import terminal
from kitforge.cli.settings_report import _guarded
from kitforge.model.facts import Hazard, PieceUse
from kitforge.model.findings import FindingType, OnSheet, Severity, Source
from kitforge.model.messages import msg
from kitforge.release.findings.json_report import kit_report
from kitforge.release.findings.rows import result_of, rows_of
from kitforge.workshop.load import load_workshop

CLASSES = {"light_router", "medium_router", "heavy_router"}


def _rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_json_findings_have_the_agreed_keys(call: Call, kits: Kits) -> None:
    _, out, _ = call("check", kits.starter(("cutting_length: 18 mm", "cutting_length: 8 mm")), "--format", "json")
    report = json.loads(out)
    assert report.keys() == {"kit", "findings", "counts", "more", "size"}
    assert report["counts"].keys() == {"error", "warning", "note"}
    keys = {"code", "severity", "message", "advice", "part", "operation", "at", "on_sheet", "source"}
    keys |= {"fingerprint", "waived", "size"}
    assert [f for f in report["findings"] if f.keys() != keys or f["source"].keys() != {"file", "line", "column"}] == []


def test_a_place_on_a_sheet_reaches_the_json() -> None:
    kind = FindingType("odd", Severity.NOTE, "")
    finding = kind.new(msg(""), msg(""), source=Source("kit.yaml"), on_sheet=OnSheet("board", 2, "top", 3.0, 4.0))
    (found,) = kit_report(result_of(pathlib.Path("box"), rows_of([finding], "box", {})))["findings"]
    assert found["on_sheet"] == {"stock": "board", "number": 2, "face": "top", "at": [3.0, 4.0]}


def test_what_is_true_of_every_kit_is_told_when_asked(call: Call, kits: Kits) -> None:
    kit = kits.starter()
    short, long = call("check", kit)[1], call("check", kit, "--verbose")[1]
    assert ("settings-weak-input" in short, "settings-weak-input" in long) == (False, True)
    assert short.endswith("nothing to complain about\n")


def test_findings_come_in_their_order_and_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    note, error = (FindingType(str(severity), severity, "") for severity in (Severity.NOTE, Severity.ERROR))
    found = [
        error.new(msg("Bad."), msg("Mend it."), source=Source("kit.yaml", 9, 3)),
        note.new(msg("Mild."), msg("Look."), source=Source("kit.yaml", 2, 1)),
    ]
    terminal.print_result(result_of(pathlib.Path("box"), rows_of(found, "box", {})))
    assert capsys.readouterr().out.splitlines() == [
        "box/kit.yaml:9:3: error [error]", "    Bad.", "    Mend it.",
        "box/kit.yaml:2:1: note [note]", "    Mild.", "    Look.",
        "box: 1 error, 1 note",
    ]  # fmt: skip


@pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals are POSIX")
@pytest.mark.parametrize("changed", [{}, {"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_a_terminal_gets_colour_unless_it_asks_for_none(kits: Kits, changed: dict[str, str]) -> None:
    """Run on a pseudo-terminal. NO_COLOR as proposed at no-color.org: no escape code that sets a colour."""
    import pty

    kit = kits.starter(("material: black_cherry", "material: cheese"))
    code = f"import sys; from kitforge.cli.main import main; sys.exit(main(['check', {str(kit)!r}]))"
    reading, terminal_end = pty.openpty()
    env = {**{key: value for key, value in os.environ.items() if key != "NO_COLOR"}, "TERM": "xterm", **changed}
    with subprocess.Popen([sys.executable, "-c", code], stdout=terminal_end, env=env) as process:
        os.close(terminal_end)
        said = _read_all(reading)
    assert (process.returncode, "cheese" in said) == (2, True)
    assert bool(re.search(r"\x1b\[[0-9;]*3[1-7]m", said)) == (not changed)


def _read_all(descriptor: int) -> str:
    said = b""
    try:
        while more := os.read(descriptor, 4096):
            said += more
    except OSError:  # Linux tells the end of a pseudo-terminal as an error
        pass
    os.close(descriptor)
    return said.decode()


def test_settings_of_every_class_come_as_a_table_in_the_kits_units(call: Call, kits: Kits) -> None:
    code, out, _ = call("settings", kits.starter())
    assert (code, [key for key in CLASSES if key not in out], "mm/min" in out) == (0, [], True)


@pytest.mark.parametrize("width", [40, 72, 99, 100, 120])
def test_no_figure_is_cut_off_or_broken_on_a_narrow_terminal(
    call: Call, kits: Kits, monkeypatch: pytest.MonkeyPatch, width: int
) -> None:
    """Every range that the spreadsheet has is printed whole, whatever the width."""
    kit = kits.starter()
    monkeypatch.setattr(terminal, "PLAIN_WIDTH", width)
    shown = call("settings", kit)[1]
    rows = _rows(call("settings", kit, "--format", "csv")[1])
    ranges = {f"{float(row['feed_low']):.0f}-{float(row['feed_high']):.0f}" for row in rows}
    assert ([span for span in ranges if span not in shown], "…" in shown) == ([], False)


def test_settings_as_csv_keep_low_start_high_in_order(call: Call, kits: Kits) -> None:
    code, out, _ = call("settings", kits.starter(), "--format", "csv")
    rows = _rows(out)
    assert (code, {row["machine"] for row in rows}) == (0, CLASSES)
    for name in ("speed", "feed", "plunge", "depth_per_pass"):
        windows = [tuple(float(row[f"{name}_{end}"]) for end in ("low", "start", "high")) for row in rows]
        assert [window for window in windows if not 0 <= window[0] <= window[1] <= window[2]] == []


def test_settings_as_json_and_csv_agree(call: Call, kits: Kits) -> None:
    kit = kits.starter()
    from_json = json.loads(call("settings", kit, "--format", "json")[1])["rows"]
    from_csv = _rows(call("settings", kit, "--format", "csv")[1])
    assert [(row["machine"], row["step"], row["feed"]["start"]) for row in from_json] == [
        (row["machine"], row["step"], float(row["feed_start"])) for row in from_csv
    ]


def test_inches_are_the_same_settings_in_inches(call: Call, kits: Kits) -> None:
    """25.4 mm to the inch, exactly (international yard and pound agreement, 1959)."""
    kit = kits.starter()
    metric, inch = (_rows(call("settings", kit, "--format", "csv", "--units", units)[1]) for units in ("mm", "in"))
    assert {row["feed_unit"] for row in inch} == {"in/min"}
    for one, other in zip(metric, inch, strict=True):
        assert float(other["feed_start"]) * 25.4 == pytest.approx(float(one["feed_start"]), abs=0.002)
        assert other["speed_start"] == one["speed_start"]


def test_one_machine_class_can_be_picked(call: Call, kits: Kits) -> None:
    out = call("settings", kits.starter(), "--machine", "heavy_router", "--format", "csv")[1]
    assert {row["machine"] for row in _rows(out)} == {"heavy_router"}


def test_settings_of_a_kit_with_errors_give_1(call: Call, kits: Kits) -> None:
    code, _, err = call("settings", kits.starter(("cutting_length: 18 mm", "cutting_length: 8 mm")))
    assert (code, "kitforge check" in err) == (1, True)


def test_settings_of_a_kit_that_cannot_be_read_give_2(call: Call, kits: Kits) -> None:
    assert call("settings", kits.starter(("material: black_cherry", "material: cheese")))[0] == 2


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@x", "\tx"])
def test_text_that_a_spreadsheet_would_run_is_made_harmless(cell: str) -> None:
    assert (_guarded(cell), _guarded("1-2"), _guarded(-1.5)) == (f"'{cell}", "1-2", -1.5)


def test_new_writes_a_short_commented_kit_and_its_schema(call: Call, tmp_path: pathlib.Path) -> None:
    code, out, _ = call("new", tmp_path / "mine")
    lines = (tmp_path / "mine" / "kit.yaml").read_text().splitlines()
    assert (code, sorted(path.name for path in (tmp_path / "mine").iterdir())) == (0, ["kit.schema.json", "kit.yaml"])
    assert (len(lines) <= 80, sum("#" in line for line in lines) > 15, str(tmp_path / "mine") in out) == (
        True,
        True,
        True,
    )


def test_new_never_writes_into_a_folder_that_holds_something(call: Call, tmp_path: pathlib.Path) -> None:
    (tmp_path / "kit.yaml").write_text("mine")
    code, _, err = call("new", tmp_path)
    assert (code, "not empty" in err, (tmp_path / "kit.yaml").read_text()) == (2, True, "mine")


def test_new_says_plainly_when_it_cannot_write(call: Call, tmp_path: pathlib.Path) -> None:
    (tmp_path / "file").write_text("")
    code, _, err = call("new", tmp_path / "file" / "kit")
    assert (code, "Cannot write" in err) == (2, True)


@pytest.mark.parametrize(
    ("table", "key", "words"),
    [
        ("materials", "sugar_maple", ("Sugar (hard) maple", "hard maple", "hardwood")),
        ("machines", "light_router", ("Light router", "belt_trim_router", "Frame on belts")),
        ("hold-downs", "brads", ("Brads in the waste",)),
        ("finishes", "hardwax_oil", ("Hardwax oil",)),
        ("hazards", "button cell", ("coin cells",)),
    ],
)
def test_list_shows_what_can_be_written_with_its_other_names(
    call: Call, table: str, key: str, words: tuple[str, ...]
) -> None:
    code, out, _ = call("list", table)
    start = next(index for index, line in enumerate(out.splitlines()) if line.startswith(f"{key} "))
    row = "\n".join(out.splitlines()[start : start + 3])
    assert (code, [word for word in words if word not in row]) == (0, [])


def test_list_for_programs_holds_every_entry(call: Call) -> None:
    for table, entries in (("materials", load_workshop().materials), ("machines", load_workshop().machines)):
        found = json.loads(call("list", table, "--format", "json")[1])
        assert {entry["key"] for entry in found} == set(entries)
    assert {entry["key"] for entry in json.loads(call("list", "hazards", "--format", "json")[1])} == {
        *(hazard.value for hazard in Hazard),
        *(use.value for use in PieceUse),
    }


def test_list_of_something_else_is_refused_naming_what_there_is(call: Call) -> None:
    code, _, err = call("list", "woods")
    assert (code, "materials" in err) == (2, True)


def test_plugins_lists_name_distribution_and_hooks(call: Call) -> None:
    code, out, _ = call("plugins")
    row = next(line for line in out.splitlines() if line.startswith("manifest"))
    assert (code, "kitforge 0." in row, "kitforge_seal" in row) == (0, True, True)


def test_the_schema_is_json_schema_2020_12_and_knows_every_key_of_the_starter(
    call: Call, tmp_path: pathlib.Path
) -> None:
    code, out, _ = call("schema")
    schema = json.loads(out)
    call("new", tmp_path / "mine")
    starter = yaml.safe_load((tmp_path / "mine" / "kit.yaml").read_text())
    assert (code, schema["$schema"]) == (0, "https://json-schema.org/draft/2020-12/schema")
    assert sorted(starter.keys() - schema["properties"].keys()) == []
    assert (tmp_path / "mine" / "kit.schema.json").read_text() == out


@pytest.mark.parametrize("command", ["check", "settings", "build", "new", "list", "plugins", "schema"])
def test_every_subcommand_explains_itself(call: Call, command: str) -> None:
    code, out, _ = call(command, "--help")
    assert (code, f"usage: kitforge {command}" in out) == (0, True)
