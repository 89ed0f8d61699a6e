"""`kitforge check --report FILE` writes the report, and changes nothing else about the check."""

from __future__ import annotations

import pathlib

import pytest

from kitforge.cli.main import main
from kitforge.cli.new import write_starter


@pytest.fixture
def starter(tmp_path: pathlib.Path) -> pathlib.Path:
    """A starter kit."""
    folder = tmp_path / "signs"
    write_starter(folder)
    return folder


def _call(capsys: pytest.CaptureFixture[str], *arguments: str | pathlib.Path) -> tuple[int, str, str]:
    code = main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def _names(folder: pathlib.Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize(("name", "start"), [("r.html", b"<!DOCTYPE html>"), ("r.svg", b"<?xml"), ("r.pdf", b"%PDF-")])
def test_the_report_is_written_where_asked(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str], name: str, start: bytes
) -> None:
    plain = _call(capsys, "check", starter)
    assert _call(capsys, "check", starter, "--report", starter.parent / name) == plain
    assert (starter.parent / name).read_bytes().startswith(start)
    assert _names(starter.parent) == sorted(["signs", name])


@pytest.mark.parametrize("change", ["", "nonsense: 2\n"])
def test_a_report_is_in_the_language_asked_for(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str], change: str
) -> None:
    """Headings, words around the findings, alternative texts: of a kit that can be read and of one that cannot."""
    kit, report = starter / "kit.yaml", starter.parent / "r.html"
    kit.write_text(f"{kit.read_text(encoding='utf-8')}{change}", encoding="utf-8")
    _call(capsys, "check", starter, "--report", report, "--language", "de")
    page = report.read_text(encoding="utf-8")
    assert '<html lang="de">' in page
    assert "Prüfbericht" in page
    assert ("Dieser Bauplan lässt sich nicht lesen" if change else "Oberseite oben") in page
    english = ("Check report", "Nothing was found", "face up", "cannot be read", "findings are", ", column ")
    assert [one for one in english if one in page] == []


def test_json_stays_json_beside_a_report(starter: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain = _call(capsys, "check", starter, "--format", "json")
    path = starter.parent / "r.svg"
    assert _call(capsys, "check", starter, "--format", "json", "--report", path) == plain
    assert path.exists()


def test_a_kit_that_cannot_be_read_gets_a_report_with_the_line(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (starter / "kit.yaml").read_text()
    (starter / "kit.yaml").write_text(text.replace("title:", "titel:", 1))
    path = starter.parent / "r.html"
    code, _out, _err = _call(capsys, "check", starter, "--report", path)
    assert code == 2
    assert "<mark>titel</mark>" in path.read_text()


def test_a_report_of_two_kits_is_refused_in_plain_words(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = starter.parent / "r.html"
    code, out, err = _call(capsys, "check", starter, starter, "--report", path)
    assert (code, out) == (2, "")
    assert "--report draws one kit, but 2 were given" in err
    assert not path.exists()


def test_an_unknown_ending_is_refused_before_anything_is_checked(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = _call(capsys, "check", starter, "--report", starter.parent / "r.docx")
    assert (code, out) == (2, "")
    assert "end its name in .html, .pdf or .svg" in err


def test_a_folder_that_is_not_there_is_a_plain_mistake(
    starter: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _out, err = _call(capsys, "check", starter, "--report", starter.parent / "no" / "r.svg")
    assert code == 2
    assert "Cannot write" in err
