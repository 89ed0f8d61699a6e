"""A kit that cannot be read gets a report too: its problems with the lines of the files they are in."""

from __future__ import annotations

import io
import pathlib
from dataclasses import replace

import pytest
from pypdf import PdfReader

from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Severity, Source
from kitforge.report.excerpts import LARGEST, readable_files
from kitforge.report.gather import report_of_problems
from kitforge.report.rows import excerpt_lines
from kitforge.report.write import unreadable_bytes, write_unreadable
from kitforge.stages.read import read

from broken_kits import finding  # isort: skip

TEXT = "kit:\n  title: Clock\n  colour: <b>blue</b>\n  colour: red\nparts: []\n"


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    """The folder of a kit that cannot be read."""
    kit = tmp_path / "clock"
    kit.mkdir()
    (kit / "kit.yaml").write_text(TEXT)
    return kit


def _problem() -> UnreadableKitError:
    twice = finding(part=None, source=Source("kit.yaml", 4, 3), message="'colour' is written twice.")
    missing = finding(part=None, source=Source("board.dxf"), message="There is no such drawing.")
    return UnreadableKitError([replace(problem, severity=Severity.ERROR) for problem in (twice, missing)])


def test_the_line_is_shown_with_two_lines_round_it_and_its_column_marked(folder: pathlib.Path) -> None:
    report = report_of_problems("clock", _problem().problems, readable_files(folder, ["kit.yaml"]))
    shown = excerpt_lines(report.excerpts[1])
    assert [(line.number, line.text) for line in shown] == [
        (2, "  title: Clock"),
        (3, "  colour: <b>blue</b>"),
        (4, "  colour: red"),
        (5, "parts: []"),
        (6, ""),
    ]
    assert [(line.before, line.wrong, line.after) for line in shown if line.wrong] == [("  ", "colour", ": red")]
    assert shown[2].pointer == "  ^^^^^^"
    assert 2 not in report.excerpts


@pytest.mark.parametrize("kind", ["html", "svg", "pdf"])
def test_every_problem_and_its_line_are_in_the_file(folder: pathlib.Path, kind: str) -> None:
    data = unreadable_bytes("clock", _problem().problems, {"kit.yaml": TEXT.encode()}, kind)
    text = data.decode("utf-8") if kind != "pdf" else PdfReader(io.BytesIO(data)).pages[0].extract_text()
    plain = text.replace("&#39;", "'").replace("&lt;", "<").replace("&gt;", ">")
    assert "'colour' is written twice." in plain
    assert "There is no such drawing." in plain
    assert "colour: <b>blue</b>" in plain
    assert "<b>" not in text or kind == "pdf"
    assert "^^^^^^" in plain or kind == "pdf"


def test_what_reading_a_kit_really_complains_about_is_shown(folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        read(folder)
    path = tmp_path / "report.html"
    write_unreadable(folder, caught.value.problems, path)
    text = path.read_text()
    assert text.count('id="f') == len(caught.value.problems)
    assert text.count("<mark>") == text.count('class="pointer"') >= 1


def test_a_folder_that_is_not_there_still_gets_a_report(tmp_path: pathlib.Path) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        read(tmp_path / "nothing")
    write_unreadable(tmp_path / "nothing", caught.value.problems, tmp_path / "report.svg")
    assert (tmp_path / "report.svg").stat().st_size > 500


def test_excerpts_never_leave_the_folder(folder: pathlib.Path) -> None:
    (folder.parent / "secret").write_text("secret")
    (folder / "link").symlink_to(folder.parent / "secret")
    names = ["../secret", "link", str(folder.parent / "secret"), "a\x00b", ".", "no/such"]
    assert readable_files(folder, names) == {}


def test_excerpts_are_not_taken_from_huge_files(folder: pathlib.Path) -> None:
    (folder / "kit.yaml").write_bytes(b"#" * (LARGEST + 1))
    assert readable_files(folder, ["kit.yaml"]) == {}


def test_a_column_beyond_the_line_is_not_marked(folder: pathlib.Path) -> None:
    far = finding(part=None, source=Source("kit.yaml", 5, 99))
    report = report_of_problems("clock", [far], readable_files(folder, ["kit.yaml"]))
    assert [line for line in excerpt_lines(report.excerpts[1]) if line.wrong] == []
