"""Every kind of finding about a drawing: the smallest drawing that raises just it, and a good neighbour."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kitforge.drawings import kinds as drawing_kinds
from kitforge.model.drawing import ProblemKind
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding, FindingType
from kitforge.model.kit import Kit
from kitforge.pipeline import load_kit
from kitforge.plugins import Plugins, load_plugins

KIT = """\
kitforge: 1
kit: {title: Seed tray, slug: seed-tray, version: 1.0.0, author: Invented, licence: CC0-1.0, summary: A seed tray.}
stock: {board: {material: birch_plywood, thickness: 12 mm, width: 300 mm, length: 400 mm}}
cutters: {mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 50 mm}}
parts:
  tray:
    stock: board
    drawing: %(name)s%(more)s
    outline: {layer: Edge}
    operations:
      - {do: groove, name: lines, cutter: mill, depth: 2 mm, shapes: [{layer: Marks}]}
      - {do: profile, name: outline, cutter: mill}
"""
EDGE: list[tuple[float, float]] = [(0, 0), (100, 0), (100, 60), (0, 60)]


def line(x0: float, y0: float, x1: float, y1: float, layer: str = "Marks") -> str:
    """A LINE."""
    return f"0 LINE 8 {layer} 10 {x0} 20 {y0} 11 {x1} 21 {y1}"


def ring(points: list[tuple[float, float]], layer: str = "Edge") -> str:
    """A closed polyline."""
    return (
        f"0 POLYLINE 8 {layer} 66 1 70 1 "
        + " ".join(f"0 VERTEX 8 {layer} 10 {x} 20 {y}" for x, y in points)
        + " 0 SEQEND"
    )


def dxf(*entities: str, unit: int | None = 4) -> str:
    """A DXF file with the part's edge on one layer and what is given, as tags parted by blanks."""
    head = f"0 SECTION 2 HEADER 9 $INSUNITS 70 {unit} 0 ENDSEC " if unit is not None else ""
    tags = f"{head}0 SECTION 2 ENTITIES {ring(EDGE)} {' '.join(entities)} 0 ENDSEC 0 EOF".split(" ")
    return "\n".join(tags) + "\n"


def svg(marks: str, head: str = 'width="100mm" height="60mm" viewBox="0 0 100 60"') -> str:
    """An SVG with the part's edge in one group and what is given in another."""
    edge = '<g id="Edge"><path d="M0 0H100V60H0Z"/></g>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{edge}<g id="Marks">{marks}</g></svg>'


GOOD = line(10, 10, 30, 10)
EMPTY_SVG = '<path d="M10 10H30"/>'
NO_SIZE = 'viewBox="0 0 100 60"'
TEXT = "0 TEXT 8 Notes 10 5 20 5 40 3 1 Herbs"
CASES: dict[str, tuple[FindingType, str, str, tuple[float, float] | None]] = {
    "unit guess": (drawing_kinds.UNIT_GUESS, dxf(GOOD, unit=0), dxf(GOOD), None),
    "unit guess, svg": (drawing_kinds.UNIT_GUESS, svg(EMPTY_SVG, NO_SIZE), svg(EMPTY_SVG), None),
    "unit doubtful": (drawing_kinds.UNIT_DOUBTFUL, dxf(GOOD, unit=2), dxf(GOOD, unit=4), None),
    "gap": (drawing_kinds.GAP, dxf(GOOD, line(30.3, 10, 50, 10)), dxf(GOOD, line(30, 10, 50, 10)), (30.15, 10.0)),
    "gap, svg": (
        drawing_kinds.GAP,
        svg('<path d="M10 10H30"/><path d="M30.3 10H50"/>'),
        svg('<path d="M10 10H30H50"/>'),
        (30.15, 50.0),
    ),
    "junction": (
        drawing_kinds.JUNCTION,
        dxf(GOOD, line(30, 10, 50, 10), line(30, 10, 30, 40)),
        dxf(GOOD, line(30, 10, 50, 10)),
        (30.0, 10.0),
    ),
    "overlap": (drawing_kinds.OVERLAP, dxf(GOOD, line(20, 10, 50, 10)), dxf(GOOD, line(40, 10, 50, 10)), (25.0, 10.0)),
    "duplicate": (
        drawing_kinds.DUPLICATE,
        dxf(ring([(10, 10), (30, 10), (20, 30)], "Marks"), ring([(10, 10), (30, 10), (20, 30)], "Marks")),
        dxf(ring([(10, 10), (30, 10), (20, 30)], "Marks"), ring([(40, 10), (60, 10), (50, 30)], "Marks")),
        None,
    ),
    "no length": (
        drawing_kinds.NO_LENGTH,
        dxf(GOOD, line(50, 50, 50, 50)),
        dxf(GOOD, line(50, 50, 51, 50)),
        (50.0, 50.0),
    ),
    "tiny": (
        drawing_kinds.TINY,
        dxf(ring([(10, 10), (30, 10), (30.004, 10.004), (20, 30)], "Marks")),
        dxf(ring([(10, 10), (30, 10), (30.5, 10.5), (20, 30)], "Marks")),
        (30.0, 10.0),
    ),
    "stray point": (
        drawing_kinds.STRAY_POINT,
        dxf(ring([(20, 20), (30, 20), (25, 30)]), "0 POINT 8 Marks 10 50 20 50", GOOD),
        dxf(GOOD),
        (50.0, 50.0),
    ),
    "crossing": (
        drawing_kinds.CROSSING,
        dxf(ring([(10, 10), (30, 30), (30, 10), (10, 30)], "Marks")),
        dxf(ring([(10, 10), (30, 10), (30, 30), (10, 30)], "Marks")),
        (20.0, 20.0),
    ),
    "not flat": (
        drawing_kinds.NOT_FLAT,
        dxf(GOOD.replace(" 11", " 30 9 11")),
        dxf(GOOD.replace(" 11", " 30 0 11")),
        None,
    ),
    "text": (drawing_kinds.TEXT, dxf(GOOD, TEXT), dxf(GOOD), None),
    "text, svg": (drawing_kinds.TEXT, svg(EMPTY_SVG + "<text>A</text>"), svg(EMPTY_SVG + "<title>A</title>"), None),
    "skipped": (drawing_kinds.SKIPPED, svg(EMPTY_SVG + '<image href="a.png"/>'), svg(EMPTY_SVG), None),
    "hidden": (drawing_kinds.HIDDEN, dxf(GOOD, line(50, 50, 60, 50) + " 60 1"), dxf(GOOD, line(50, 50, 60, 50)), None),
    "unresolved": (drawing_kinds.UNRESOLVED, svg(EMPTY_SVG + '<use href="#gone"/>'), svg(EMPTY_SVG), None),
    "clipped": (
        drawing_kinds.CLIPPED,
        svg('<path d="M10 10H30" clip-path="url(#c)"/>'),
        svg('<path d="M10 10H30" clip-path="none"/>'),
        None,
    ),
    "unused layers": (
        drawing_kinds.LAYERS_UNUSED,
        dxf(GOOD, line(150, 50, 160, 50, "Old"), line(150, 50, 160, 50, "Older")),
        dxf(GOOD),
        None,
    ),
}


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


def resolved(folder: Path, drawing: str, plugins: Plugins, more: str = "") -> Kit:
    """The kit around a drawing."""
    name = "part.svg" if "<svg" in drawing else "part.dxf"
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(drawing)
    (folder / "kit.yaml").write_text(KIT % {"name": name, "more": "".join(f"\n    {one}" for one in more.splitlines())})
    return load_kit(folder, plugins)


def about_drawings(folder: Path, drawing: str, plugins: Plugins, more: str = "") -> list[Finding]:
    """The findings about a drawing, whether or not the kit around it can be resolved."""
    try:
        problems = resolved(folder, drawing, plugins, more).problems
    except UnreadableKitError as error:
        problems = error.problems
    return [one for one in problems if one.code.startswith("drawing-")]


@pytest.mark.parametrize("case", CASES)
def test_one_kind_of_problem_is_one_finding(case: str, tmp_path: Path, plugins: Plugins) -> None:
    """The bad drawing raises its kind and no other; the good neighbour raises none."""
    kind, bad, good, at = CASES[case]
    found = about_drawings(tmp_path / "bad", bad, plugins)
    assert {one.code for one in found} == {kind.code}
    assert {one.severity for one in found} == {kind.severity}
    assert all(str(one.advice) for one in found)
    if at is not None:
        assert [one.at for one in found] == [pytest.approx(at, abs=1e-6)]
    assert about_drawings(tmp_path / "good", good, plugins) == []


def test_every_kind_of_problem_of_a_drawing_has_a_kind_of_finding() -> None:
    assert set(drawing_kinds.OF_PROBLEM) == set(ProblemKind)


@pytest.mark.parametrize("width", [0.05, 0.2, 0.3, 0.5])
@pytest.mark.parametrize("make", ["dxf", "svg"])
def test_a_gap_is_closed_on_request_only_and_its_size_is_told(
    width: float, make: str, tmp_path: Path, plugins: Plugins
) -> None:
    """Without `join` the line stays open; with it there is one line, and the note tells the size of the gap."""
    bad = {
        "dxf": dxf(GOOD, line(30 + width, 10, 50, 10)),
        "svg": svg(f'<path d="M10 10H30"/><path d="M{30 + width} 10H50"/>'),
    }[make]
    (gap,) = about_drawings(tmp_path / "a", bad, plugins)
    assert (gap.code, f"{width:g} mm apart" in str(gap.message)) == ("drawing-gap", True)
    asked = re.search(r"`(join: [\d.]+ mm)`", str(gap.advice))
    assert asked is not None
    kit = resolved(tmp_path / "b", bad, plugins, asked[1])
    (note,) = (one for one in kit.problems if one.code.startswith("drawing-"))
    assert (note.code, note.severity, note.at) == ("drawing-gap-closed", "note", gap.at)
    assert f"{width:g} mm" in str(note.message)
    assert [path.length for path in kit.parts[0].operations[0].shapes] == [pytest.approx(40.0)]


def test_a_gap_wider_than_the_join_stays_open(tmp_path: Path, plugins: Plugins) -> None:
    found = about_drawings(tmp_path, dxf(GOOD, line(30.4, 10, 50, 10)), plugins, "join: 0.2 mm")
    assert [one.code for one in found] == ["drawing-gap"]


@pytest.mark.parametrize("value", ["0 mm", "-1 mm", "5 mm"])
def test_a_join_that_makes_no_sense_is_refused(value: str, tmp_path: Path, plugins: Plugins) -> None:
    with pytest.raises(UnreadableKitError) as caught:
        resolved(tmp_path, dxf(GOOD), plugins, f"join: {value}")
    assert [one.code for one in caught.value.problems] == ["bad-number"]


def test_layers_that_the_kit_does_not_use_are_named_once_and_not_searched(tmp_path: Path, plugins: Plugins) -> None:
    """A gap, a doubled line and a crossing on other layers raise only that these are not used, and where they lie."""
    other = [line(10, 20, 30, 20, "Old"), line(30.3, 20, 50, 20, "Old"), line(10, 20, 30, 20, "Old")]
    crossing = ring([(10, 30), (30, 50), (30, 30), (10, 50)], "Older")
    found = about_drawings(tmp_path, dxf(GOOD, *other, crossing), plugins)
    assert [one.code for one in found] == ["drawing-left-out", "drawing-left-out"]
    assert [str(one.message).count("'Old'") for one in found] == [1, 0]
    assert all(one.at is not None and one.source.line for one in found)


def test_a_flaw_in_a_group_is_told_to_a_kit_that_uses_the_group_around_it(tmp_path: Path, plugins: Plugins) -> None:
    inner = '<g id="inner"><path d="M10 10H30"/><path d="M30.3 10H50"/></g>'
    found = about_drawings(tmp_path, svg(inner), plugins)
    assert [one.code for one in found] == ["drawing-gap"]


def test_many_flaws_of_one_kind_are_counted(tmp_path: Path, plugins: Plugins) -> None:
    rows = [(line(10, y, 30, y), line(30.3, y, 50, y)) for y in range(1, 51)]
    found = about_drawings(tmp_path, dxf(*(one for row in rows for one in row)), plugins)
    assert len(found) == 21
    assert [str(one.message) for one in found if one.at is None] == [
        "There are 30 more places like these in the drawing."
    ]


def test_a_drawing_of_two_parts_is_reported_once(tmp_path: Path, plugins: Plugins) -> None:
    folder = tmp_path / "kit"
    resolved(folder, dxf(GOOD, line(30.3, 10, 50, 10)), plugins)
    text = (folder / "kit.yaml").read_text()
    head, part = text.split("  tray:\n")
    (folder / "kit.yaml").write_text(f"{head}  tray:\n{part}  lid:\n{part}")
    codes = [one.code for one in load_kit(folder, plugins).problems if one.code.startswith("drawing-")]
    assert codes == ["drawing-gap"]


def scaled(factor: float) -> list[tuple[float, float]]:
    """The part's edge, larger or smaller."""
    return [(x * factor, y * factor) for x, y in EDGE]


@pytest.mark.parametrize(
    ("unit", "factor", "guess"),
    [
        (1, 1.0, "mm"),  # drawn in mm, but the file says inches: 2540 mm long
        (4, 1 / 25.4, "in"),  # drawn in inches, but the file says mm: 3.9 mm long
        (5, 1.0, "mm"),  # drawn in mm, but the file says cm: 1 m long
    ],
)
def test_a_unit_that_makes_the_part_unfit_for_its_stock_is_asked_about(
    unit: int, factor: float, guess: str, tmp_path: Path, plugins: Plugins
) -> None:
    (x0, y), (x1, _) = ((value * factor for value in point) for point in ((10, 10), (30, 10)))
    text = dxf(unit=unit)
    shown = "\n".join(f"{ring(scaled(factor))} {line(x0, y, x1, y)}".split(" "))
    text = text.split("ENTITIES\n")[0] + f"ENTITIES\n{shown}\n0\nENDSEC\n0\nEOF\n"
    (found,) = about_drawings(tmp_path / "a", text, plugins)
    assert (found.code, str(found.source)) == ("drawing-unit-doubtful", "kit.yaml:8:14")
    assert f"`units: {guess}`" in str(found.advice)
    assert about_drawings(tmp_path / "b", text, plugins, f"units: {guess}") == []
