"""Findings at the command line: several forms at once, arguments that lead to kits, and what is never written over."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from calling import Call
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.testing import SmallKit

TOO_LONG = ("long: 150 mm", "long: 350 mm")


def test_every_form_is_written_at_once_and_again(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    kit.change(*TOO_LONG)
    forms = {"text": "f.txt", "json": "f.json", "sarif": "f.sarif", "junit": "f.xml", "code-quality": "q.json"}
    forms["annotations"] = "a.txt"
    saved = [word for form, name in forms.items() for word in ("--save", f"{form}={tmp_path / name}")]
    for _ in range(2):
        code, out, err = call("check", kit.folder, *saved)
        assert (code, err, "part-too-large" in out) == (1, "", True)
        assert [name for name in forms.values() if "part-too-large" not in (tmp_path / name).read_text()] == []
    assert [path.name for path in tmp_path.iterdir() if "part" in path.name] == []
    kit.change(*TOO_LONG[::-1])
    assert call("check", kit.folder, *saved)[0] == 0
    assert json.loads((tmp_path / "q.json").read_text()) == []


@pytest.mark.parametrize("form", ["sarif", "junit", "code-quality", "annotations"])
def test_a_form_can_be_printed(call: Call, kit: SmallKit, form: str) -> None:
    code, out, _ = call("check", kit.change(*TOO_LONG).folder, "--format", form)
    assert (code, "part-too-large" in out, "4 findings" in out) == (1, True, False)


@pytest.mark.parametrize("name", ["notes.txt", "signs/kit.yaml", "link.json"])
def test_a_file_of_others_is_left_as_it_is(call: Call, kit: SmallKit, tmp_path: Path, name: str) -> None:
    (tmp_path / "notes.txt").write_text("my own")
    (tmp_path / "link.json").symlink_to(tmp_path / "notes.txt")
    before = (tmp_path / name).read_bytes()
    code, _, err = call("check", kit.folder, "--save", f"json={tmp_path / name}")
    assert (code, (tmp_path / name).read_bytes(), "choose another name" in err) == (2, before, True)


def test_one_file_for_two_forms_and_unknown_forms_are_refused(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    twice = ("--save", f"json={tmp_path / 'a'}", "--save", f"text={tmp_path / 'a'}")
    assert call("check", kit.folder, *twice)[0] == 2
    code, _, err = call("check", kit.folder, "--save", "yaml=x")
    assert (code, "code-quality" in err) == (2, True)


def test_a_drawing_leads_to_its_kit_once(call: Call, kit: SmallKit, monkeypatch: pytest.MonkeyPatch) -> None:
    deep = kit.folder / "drawings" / "old"
    deep.mkdir(parents=True)
    (deep / "a.DXF").write_text("0\nEOF\n")
    (kit.folder / "b.svg").write_text("<svg/>")
    code, out, err = call("check", kit.folder, deep / "a.DXF", kit.folder / "b.svg", kit.file)
    assert (code, out.count("nothing to complain about"), err) == (0, 1, "")
    monkeypatch.chdir(deep)
    code, out, _ = call("check", "a.DXF")
    assert (code, "nothing to complain about" in out) == (0, True)


def test_a_drawing_of_no_kit_is_left_out(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    (tmp_path / "logo.svg").write_text("<svg/>")
    code, out, err = call("check", tmp_path / "logo.svg")
    assert (code, out, "belongs to no kit" in err) == (0, "", True)


def test_a_folder_of_kits_may_have_a_read_me(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    shutil.copytree(kit.folder, tmp_path / "other")
    (tmp_path / "README.md").write_text("# My kits\n")
    code, out, err = call("check", *sorted(tmp_path.iterdir()))
    assert (code, out.count("nothing to complain about"), err.count("is no kit; left out")) == (0, 2, 1)
    assert call("check", tmp_path / "README.md")[0] == 2, "alone it is a mistake"


def test_a_strict_build_writes_no_zip_when_there_is_a_warning(
    call: Call, kit: SmallKit, tmp_path: Path, quick: None, bare_packs: None
) -> None:
    kit.change("cutting_length: 18 mm", "cutting_length: 12 mm")
    code, out, _ = call("build", kit.folder, "-o", tmp_path / "out", "--paper", "a4", "--strict")
    assert (code, "no zip was written" in out, (tmp_path / "out").exists()) == (1, True, False)
    assert call("build", kit.folder, "-o", tmp_path / "out", "--paper", "a4")[0] == 0
    assert len(list((tmp_path / "out").iterdir())) == 1


def test_a_build_saves_its_findings_too(call: Call, kit: SmallKit, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    code, _, err = call("build", kit.folder, "-o", tmp_path / "file" / "out", "--save", f"sarif={tmp_path / 's.sarif'}")
    (run,) = json.loads((tmp_path / "s.sarif").read_text())["runs"]
    assert (code, [one["ruleId"] for one in run["results"]], "Choose another folder" in err) == (2, ["not-built"], True)


def test_findings_beyond_the_cap_are_counted(call: Call, kit: SmallKit) -> None:
    kit.change(*TOO_LONG)
    code, out, _ = call("check", kit.folder, "--most", "1", "--verbose")
    assert (code, out.count("["), "more" in out.splitlines()[-1]) == (1, 1, True)
