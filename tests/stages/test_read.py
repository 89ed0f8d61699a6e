"""Reading a kit: each mistake has its code, line and column and an advice; nothing outside the folder is read."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from sample_kits import SAMPLE, changed, definition_findings, place, refusals, write

from kitforge.definition.positions import Positions
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.stages.read import LARGEST_TEXT, read


def codes(findings: list[Finding]) -> list[str]:
    """The codes of findings, in order."""
    return [finding.code for finding in findings]


def failure(folder: Path) -> Finding:
    """The one problem of a folder that is no kit."""
    with pytest.raises(UnreadableKitError) as caught:
        read(folder)
    (found,) = caught.value.problems
    return found


def test_a_sound_kit_is_handed_on_with_positions_and_files(tmp_path: Path) -> None:
    found = read(write(tmp_path))
    assert (found.definition.kit.slug, found.folder, set(found.files)) == (
        "nest-box-front",
        tmp_path.name,
        {"kit.yaml"},
    )
    assert isinstance(found.where, Positions)
    source = found.where.of("parts", "front", "operations", 1, "width")
    assert (source.line, source.column) == place(SAMPLE, "4 mm\n        shapes: [{polyline")
    assert found.text == SAMPLE


WRONG = [
    # (what is replaced, by what, code, where the finding points to (after the change, or '@' anywhere), words of it)
    ("title: Nest box front", "title: 12", "wrong-value", "12\n", "put it in quotes: '12'"),
    ("title: Nest box front", "title:", "wrong-value", "\n  slug", "a text is wanted, not nothing"),
    ("summary:", "sumary:", "unknown-key", "sumary", "Did you mean 'summary'?"),
    ("version: 1.0.0", "version: 1.0", "wrong-value", "1.0\n", "a version such as 1.0.0 is wanted"),
    ("slug: nest-box-front", "slug: Nest Box", "wrong-value", "Nest Box\n", "small letters and digits"),
    ("released: 2025-03-31", "released: 31.3.2025", "wrong-value", "31.3.2025", "a date such as"),
    ("kitforge: 1", "kitforge: 2", "wrong-value", "2", "Write `kitforge: 1`."),
    ("width: 300 mm", "width: wide load", "wrong-value", "wide load", "'wide load' is not a length"),
    ("width: 300 mm", "width: true", "wrong-value", "true", "a length such as '18 mm' is wanted, not true"),
    ("width: 300 mm", "width: [1, 2]", "wrong-value", "[1, 2]", "not a list"),
    ("width: 300 mm", "width: = 2 +", "bad-expression", "= 2 +", "something is missing after '+'"),
    ("kind: up-cut", "kind: upcut", "wrong-value", "upcut", "Did you mean 'up-cut'?"),
    (
        "overall_length: 50 mm}\n  vee",
        "overal_length: 50 mm}\n  vee",
        "unknown-key",
        "overal_length",
        "'overall_length'?",
    ),
    ("do: groove", "do: grove", "wrong-value", "grove", "Did you mean 'groove'?"),
    ("do: groove", "does: groove", "missing-key", "does: groove", "Add `do:` with one of: face, pocket"),
    ("cutter: vee", "cuter: vee", "unknown-key", "cuter: vee", "Did you mean 'cutter'?"),
    ("width: 4 mm", "depth: 4 mm\n        width: 4 mm", "wrong-value", "@do: groove", "give either depth or width"),
    ("count: 2", "count: 2.5", "wrong-value", "2.5", "a whole number is wanted, not the number 2.5"),
    ("count: 2", "count: 0", "wrong-value", "0\n    outline", "at least 1 is wanted"),
    ("columns: 2", "columns: two ways", "wrong-value", "two ways", "a whole number is wanted"),
    ("[[10, 10]]", "[[10, 10, 10]]", "wrong-value", "[10, 10, 10]", "at most 2 entries are wanted, and there are 3"),
    ("[[10, 10]]", "[]", "wrong-value", "[]", "at least 1 entries are wanted"),
    ("circle:", "cirlce:", "unknown-key", "cirlce", "Did you mean 'circle'?"),
    (
        "{rectangle: {size",
        "{circle: {centre: [0, 0], diameter: 3}, rectangle: {size",
        "wrong-value",
        "{circle: {centre: [0",
        "found rectangle and circle",
    ),
    ("  front:\n    stock", "  Front:\n    stock", "wrong-value", "Front:", "small letters"),
    ("  hole: 32 mm", "  sin: 32 mm", "wrong-value", "sin: 32", "has a meaning already"),
    ("actual: 17.6 mm", "actul: 17.6 mm", "unknown-key", "actul", "Did you mean 'actual'?"),
    ("operations:", "operation:", "unknown-key", "operation:", "Did you mean 'operations'?"),
]


@pytest.mark.parametrize(("old", "new", "code", "at", "said"), WRONG)
def test_a_mistake_has_its_code_place_and_advice(old: str, new: str, code: str, at: str, said: str) -> None:
    text = changed((old, new))
    found = [one for one in definition_findings(text) if one.code == code]
    expected = place(text, at[1:]) if at.startswith("@") else place(text, at, after=new)
    assert [(one.source.line, one.source.column) for one in found] == [expected]
    assert said in f"{found[0].message!s} {found[0].advice!s}"


def test_one_wrong_value_makes_one_finding() -> None:
    """Whatever unions stand behind a value, there is one message for one place."""
    for old, new, *_ in WRONG:
        findings = definition_findings(changed((old, new)))
        places = [(one.code, one.source) for one in findings]
        assert len(places) == len(set(places))
        assert len([one for one in findings if one.code != "missing-key"]) <= 1


def test_several_mistakes_are_reported_together() -> None:
    text = changed(
        ("title: Nest", "titel: Nest"),
        ("slug:", "slug: x\n  slug:"),
        ("kind: up-cut", "kind: upcut"),
        ("do: groove", "do: grove"),
    )
    assert sorted(codes(definition_findings(text))) == [
        "missing-key",
        "unknown-key",
        "wrong-value",
        "wrong-value",
        "yaml-duplicate-key",
    ]


JARGON = ("pydantic", "input should", "extra inputs", "valid string", "~", "function-", "union", "nonetype")


def test_no_finding_speaks_of_the_library_that_checks() -> None:
    for old, new, *_ in WRONG:
        for one in definition_findings(changed((old, new))):
            words = f"{one.message!s} {one.advice!s}".lower()
            assert [jargon for jargon in JARGON if jargon in words] == []


def test_a_missing_folder_and_a_missing_kit_file(tmp_path: Path) -> None:
    assert failure(tmp_path / "nowhere").code == "kit-missing"
    found = failure(tmp_path)
    assert (found.code, str(found.source)) == ("kit-missing", "kit.yaml")
    (tmp_path / "kit.yml").write_text("kitforge: 1\n")
    assert "Did you mean 'kit.yml'?" in str(failure(tmp_path).advice)
    assert "is a file, not a folder" in str(failure(tmp_path / "kit.yml").message)


def test_a_kit_file_that_is_too_large(tmp_path: Path) -> None:
    (tmp_path / "kit.yaml").write_bytes(b"# " * LARGEST_TEXT)
    assert failure(tmp_path).code == "file-too-large"


DRAWING = ("    outline:", "    drawing: {}\n    outline:")


@pytest.mark.parametrize(
    "name",
    ["../secret.dxf", "/etc/passwd", "a/../../b.dxf", "C:/x.dxf", "..", ".", "a//b.dxf", "a\\\\b.dxf", "./x.dxf"],
)
def test_a_name_that_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    text = changed((DRAWING[0], DRAWING[1].format(f'"{name}"')))
    (found,) = refusals(tmp_path, text)
    assert (found.code, found.source.line, found.source.column) == ("path-outside-kit", *place(text, f'"{name}"'))


def test_a_link_that_leads_out_of_the_folder(tmp_path: Path) -> None:
    kit, outside = tmp_path / "kit", tmp_path / "outside.dxf"
    kit.mkdir()
    outside.write_text("0\nEOF\n")
    (kit / "plan.dxf").symlink_to(outside)
    (found,) = refusals(kit, changed((DRAWING[0], DRAWING[1].format("plan.dxf"))))
    assert found.code == "path-outside-kit"
    (kit / "inside.dxf").write_text("0\nEOF\n")
    (kit / "plan.dxf").unlink()
    (kit / "plan.dxf").symlink_to(kit / "inside.dxf")
    assert set(read(kit).files) == {"kit.yaml", "plan.dxf"}


@pytest.mark.timeout(20)
def test_folders_pipes_and_loops_are_no_drawings(tmp_path: Path) -> None:
    text = changed((DRAWING[0], DRAWING[1].format("plan.dxf")))
    (tmp_path / "plan.dxf").mkdir()
    assert codes(refusals(tmp_path, text)) == ["file-unreadable"]
    (tmp_path / "plan.dxf").rmdir()
    os.mkfifo(tmp_path / "plan.dxf")
    assert codes(refusals(tmp_path, text)) == ["file-unreadable"]
    (tmp_path / "plan.dxf").unlink()
    (tmp_path / "plan.dxf").symlink_to(tmp_path / "plan.dxf")
    assert codes(refusals(tmp_path, text)) == ["drawing-missing"]


def test_a_missing_drawing_names_the_nearest_file(tmp_path: Path) -> None:
    text = changed((DRAWING[0], DRAWING[1].format("Plan.dxf")))
    (found,) = refusals(tmp_path, text, plan__dxf="0\nEOF\n")
    assert (found.code, found.source.line, found.source.column) == ("drawing-missing", *place(text, "Plan.dxf"))
    assert str(found.advice) == "Did you mean 'plan.dxf'?"


def test_licence_file_and_drawings_in_shapes_are_read_too(tmp_path: Path) -> None:
    text = changed(
        ("  summary:", "  licence_file: LICENCE.txt\n  summary:"),
        ("{points: [[10, 10]]}", "{layer: {name: Holes, drawing: holes.svg}}"),
    )
    assert codes(refusals(tmp_path, text)) == ["file-missing", "drawing-missing"]
    found = read(write(tmp_path, text, LICENCE__txt="Yours.", holes__svg="<svg/>"))
    assert dict(found.files) == {"kit.yaml": text.encode(), "LICENCE.txt": b"Yours.", "holes.svg": b"<svg/>"}
    assert codes(refusals(tmp_path, text, LICENCE__txt=b"\xff\xfe", holes__svg="<svg/>")) == ["file-unreadable"]


def test_every_file_is_bounded_in_size(tmp_path: Path) -> None:
    text = changed(("  summary:", "  licence_file: LICENCE.txt\n  summary:"))
    assert codes(refusals(tmp_path, text, LICENCE__txt=b"x" * (LARGEST_TEXT + 1))) == ["file-too-large"]
