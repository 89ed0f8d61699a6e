"""What cannot be packed is told by the check, with its line, before anything is built."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
import yaml
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.model.errors import KitforgeError
from kitforge.model.findings import Finding, Severity
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import build_kit, check_kit
from kitforge.plugins import load_plugins
from kitforge.print import parallel
from kitforge.print.fonts import shipped_characters
from kitforge.stages.printable import _USUAL, unprintable

# Every text that a kit can hold and that is printed, each once; the mark says which. An invented hook board.
KIT = """\
kitforge: 1
kit:
  title: T01 board
  slug: hook-board
  version: 1.0.0
  author: T02 shop
  licence: LicenseRef-Own
  licence_file: terms.txt
  summary: T03 summary.
  contact: T04 contact
  changes:
    - {version: 1.0.0, text: T05 change}
    - {version: 0.9.0, text: [T06 change, T07 change]}
stock:
  plank:
    material: sugar_maple
    thickness: 12 mm
    width: 200 mm
    length: 300 mm
    title: T08 plank
    prepare: [T09 prepare]
cutters:
  em6: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6, overall_length: 50, name: T10 mill, note: T11}
own_machines:
  bench: {like: medium_router, name: T12 machine, about: T13 about, dial: {T14: 9000, b: 20000}}
machines: [bench]
hold_down: [screws]
setups: {plank: {top: {note: T15 note}}}
parts:
  board:
    stock: plank
    title: T16 board
    note: T17 note
    outline: {rectangle: {size: [120, 60]}}
    operations:
      - {name: outline, do: profile, cutter: em6, title: T18 outline, note: T19 note}
finishing:
  surfaces: T20 all
  steps: [T21 step, {text: T32 step, when: after, uses: [{item: mallet, detail: T33 one}]}]
tried: [{machine: bench, wood: sugar_maple, date: "2026-01-02", seen: T31 seen}]
hardware:
  - {item: T22 hook, count: T23 some, use: T24 use, note: T25 note}
assembly:
  - {text: T26 text, caution: T27 caution, parts: [board]}
notes: [T28 note]
needs: [{count: {part: board, feature: outline, count: 1, for: N1 purpose}}]
"""
TERMS = "T29 first line\nT30 second line\n"
MARKS = [f"T{number:02}" for number in range(1, 34)]


def _written(folder: Path, mark: str = "", sign: str = "") -> Path:
    put = f"{mark}{sign}" if mark else ""
    (folder / "kit.yaml").write_text(KIT.replace(mark, put) if mark else KIT, encoding="utf-8")
    (folder / "terms.txt").write_text(TERMS.replace(mark, put) if mark else TERMS, encoding="utf-8")
    return folder


def _errors(folder: Path) -> list[Finding]:
    found = check_kit(folder, load_plugins()).findings
    return [one for one in found if one.severity is Severity.ERROR]


def _line_of(mark: str) -> tuple[str, int]:
    for name, text in (("kit.yaml", KIT), ("terms.txt", TERMS)):
        for number, line in enumerate(text.splitlines(), 1):
            if mark in line:
                return name, number
    raise KeyError(mark)


def test_the_kit_is_sound_and_holds_every_text(tmp_path: Path) -> None:
    """Every text of the schema that is no name of something stands in it."""
    assert _errors(_written(tmp_path)) == []
    assert [mark for mark in MARKS if (KIT + TERMS).count(mark) != 1] == []


@pytest.mark.parametrize("mark", MARKS)
def test_a_character_without_a_glyph_is_told_with_its_line(tmp_path: Path, mark: str) -> None:
    errors = _errors(_written(tmp_path, mark, "⌀"))
    assert [(e.code, e.source.file, e.source.line) for e in errors] == [("character-missing", *_line_of(mark))]
    assert "U+2300 DIAMETER SIGN" in str(errors[0].message) and "Ø" in str(errors[0].advice)


@pytest.mark.parametrize("sign", ["\u202e", "\u2066", "\u200e", "\ufeff", "\u2028", "語", "\U0001f600"])
def test_what_turns_the_text_or_is_in_no_font_is_told(tmp_path: Path, sign: str) -> None:
    assert [one.code for one in _errors(_written(tmp_path, "T26", sign))] == ["character-missing"]


@pytest.mark.parametrize("mark", ["N1"])
def test_what_is_printed_nowhere_may_hold_any_character(tmp_path: Path, mark: str) -> None:
    assert _errors(_written(tmp_path, mark, "語")) == []


def test_all_texts_are_told_at_once(tmp_path: Path) -> None:
    folder = _written(tmp_path)
    text = KIT
    for mark in MARKS:
        text = text.replace(mark, f"{mark}→⇒")
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    assert len(_errors(folder)) == len(MARKS) - 2  # two of them stand in the licence text


def test_the_usual_characters_are_in_the_typeface() -> None:
    assert {one for one in _USUAL if ord(one) not in shipped_characters() and one != "\n"} == set()
    assert unprintable("Größe 10 × 20 mm, 3 °C, ‘a’ – “b”…") == ""
    assert unprintable("a⌀b⌀c") == "⌀"


# --------------------------------------------------------------------------------------------------------- the names


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("version: 1.0.0\n  author", "version: 1.0.0-a.\n  author", "version: 1.0.0"),
        ("version: 1.0.0\n  author", "version: 1.0.0-..\n  author", "version: 1.0.0"),
        ("slug: hook-board", f"slug: {'a' * 50}\n  skill: beginner", "slug:"),
        ("  board:", "  con:", "  board:"),
        ("  board:", "  lpt1:", "  board:"),
    ],
)
def test_a_name_that_cannot_be_packed_is_told_with_its_line(tmp_path: Path, old: str, new: str, line: str) -> None:
    folder = _written(tmp_path)
    text = KIT.replace(old, new).replace(
        "parts: [board]", f"parts: [{new.strip(' :')}]" if ":" in new[-1] else "parts: []"
    )
    text = text.replace("part: board", f"part: {new.strip(' :')}") if new.endswith(":") else text
    if "skill" in new:
        text = text.replace("version: 1.0.0\n  author", "version: 1000.1000.1000\n  author")
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    errors = _errors(folder)
    number = next(n for n, one in enumerate(KIT.splitlines(), 1) if line in one)
    assert [(one.code, one.source.line) for one in errors] == [("name-unfit", number)]


def test_two_parts_whose_drawings_would_have_one_name_are_told(tmp_path: Path) -> None:
    folder = _written(tmp_path)
    definition = yaml.safe_load(KIT)
    definition["kit"] |= {"licence": "MIT", "licence_file": "terms.txt"}
    definition["stock"]["plank"]["length"] = "400 mm"
    part = definition["parts"].pop("board")
    definition["parts"] = {"back-rail": part, "back_rail": part}
    del definition["needs"], definition["assembly"]
    (folder / "kit.yaml").write_text(yaml.dump(definition, Dumper=_Plain, sort_keys=False), encoding="utf-8")
    errors = _errors(folder)
    assert [(one.code, str(one.message).partition(":")[0]) for one in errors] == [
        ("name-unfit", "'back_rail' gives a drawing a name that will not do")
    ]


class _Plain(yaml.SafeDumper):
    def ignore_aliases(self, _data: object) -> bool:
        return True


# ------------------------------------------------------------------------------------------ the check and the build


ALWAYS = ["N1", "T29"]
CASES = [*ALWAYS, *(pytest.param(mark, marks=pytest.mark.soak) for mark in MARKS if mark not in ALWAYS)]


@pytest.mark.parametrize("mark", CASES)
def test_the_check_has_told_whatever_the_build_refuses(
    tmp_path: Path, mark: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the check's finding the build comes to the same end, at the typesetter's door; type itself is not set."""
    from kitforge import pipeline

    folder = _written(tmp_path, mark, "⌀")
    refused = bool(_errors(folder))
    monkeypatch.setattr(parallel, "render_pdf", lambda _manuscript: b"%PDF-")
    monkeypatch.setattr(parallel, "_cores", lambda: 1)
    monkeypatch.setattr(pipeline.CheckedKit, "fails", lambda _self: False)
    with tempfile.TemporaryDirectory() as out:
        try:
            built = build_kit(folder, Path(out), load_plugins(), BuildOptions(papers=("a4",))).archive is not None
        except KitforgeError:
            built = False
    assert built or refused
    assert built or mark not in ("", "N1")
