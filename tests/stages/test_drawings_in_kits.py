"""Kits whose parts are on layers of a DXF or in groups of an SVG, from the file to the operations."""

from __future__ import annotations

import math
import os
import resource
import time
from collections.abc import Callable
from pathlib import Path as FilePath

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitforge.drawings.write import dxf_bytes, svg_bytes
from kitforge.geometry.shapes import rectangle
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.path import Path, circle
from kitforge.pipeline import load_kit
from kitforge.plugins import Plugins, load_plugins

KIT = """\
kitforge: 1
kit: {title: Chess clock, slug: chess-clock, version: 1.0.0, author: Invented, licence: CC0-1.0, summary: A front.}
stock: {board: {material: birch_plywood, thickness: 12 mm, width: 400 mm, length: 500 mm}}
cutters:
  mill: {kind: up-cut, diameter: 3 mm, cutting_length: 15 mm, shank: 3 mm, overall_length: 50 mm}
parts:
  front:
    stock: board
    %(part)s
    outline: %(outline)s
    operations:
%(operations)s
"""


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


def kit_of(
    folder: FilePath, plugins: Plugins, files: dict[str, bytes], part: str, outline: str, *operations: str
) -> Kit:
    """A kit of one part, resolved."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in files.items():
        (folder / name).write_bytes(data)
    lines = "\n".join(f"      - {{{one}}}" for one in operations)
    (folder / "kit.yaml").write_text(KIT % {"part": part, "outline": outline, "operations": lines})
    return load_kit(folder, plugins)


PROFILE = "do: profile, name: free, cutter: mill"
EDGE = rectangle((200, 120), at=(0, 0))
HOLES = [circle(20, 20, 1.5), circle(180, 20, 1.5)]
DIAL = circle(100, 60, 30)
WINDOW = rectangle((20, 10), at=(30, 90))
LAYERS = {"EDGE": [EDGE], "HOLES": HOLES, "WELLS": [DIAL, WINDOW, circle(20, 60, 1.5)]}


def boxes(paths: tuple[Path, ...]) -> list[tuple[float, ...]]:
    """The boxes around paths, rounded, in order."""
    return sorted(tuple(round(value, 6) + 0.0 for value in path.bounds) for path in paths)


@pytest.mark.parametrize("kind", ["dxf", "svg"])
def test_layers_are_named_without_colours_and_in_any_case(kind: str, tmp_path: FilePath, plugins: Plugins) -> None:
    data = dxf_bytes(LAYERS) if kind == "dxf" else svg_bytes(LAYERS)
    kit = kit_of(
        tmp_path, plugins, {f"front.{kind}": data}, f"drawing: front.{kind}", "{layer: edge}",
        "do: drill, name: holes, cutter: mill, depth: through, shapes: [{layer: Holes}]",
        "do: pocket, name: wells, cutter: mill, depth: 4 mm, shapes: [{layer: wells}]", PROFILE,
    )  # fmt: skip
    part = kit.parts[0]
    assert boxes((part.outline,)) == boxes((EDGE,))
    assert sorted((round(x, 6), round(y, 6)) for x, y in part.operations[0].points) == [(20, 20), (180, 20)]
    assert boxes(part.operations[1].shapes) == boxes(tuple(LAYERS["WELLS"]))
    assert [one for one in kit.problems if one.code.startswith("drawing-")] == []


def test_a_shape_may_name_a_drawing_of_its_own(tmp_path: FilePath, plugins: Plugins) -> None:
    files = {"front.dxf": dxf_bytes({"EDGE": [EDGE]}), "dial.svg": svg_bytes({"dial": [DIAL]})}
    kit = kit_of(
        tmp_path, plugins, files, "drawing: front.dxf", "{layer: EDGE}",
        "do: pocket, name: dial, cutter: mill, depth: 4 mm, "
        "shapes: [{layer: {name: dial, drawing: dial.svg}, move: [70, 30]}]",
    )  # fmt: skip
    assert boxes(kit.parts[0].operations[0].shapes) == boxes((DIAL,))
    assert sorted(kit.files) == ["dial.svg", "front.dxf", "kit.yaml"]


def test_the_unit_that_the_part_states_counts(tmp_path: FilePath, plugins: Plugins) -> None:
    small = dxf_bytes({"EDGE": [rectangle((8, 5), at=(0, 0))]})
    kit = kit_of(tmp_path, plugins, {"a.dxf": small}, "drawing: a.dxf\n    units: in", "{layer: EDGE}", PROFILE)
    assert boxes((kit.parts[0].outline,)) == [(0.0, 0.0, 203.2, 127.0)]


ONE_LAYER = {"ALL": [EDGE, *HOLES, DIAL, WINDOW]}


@pytest.mark.parametrize(
    ("which", "wanted"),
    [
        ("only: largest", [EDGE]),
        ("only: closed", [EDGE, WINDOW]),
        ("only: smaller", [WINDOW]),
        ("only: circles", [*HOLES, DIAL]),
        ("diameter: 3 mm", HOLES),
        ("diameter: 60 mm", [DIAL]),
    ],
)
def test_one_sort_of_what_is_on_a_layer(which: str, wanted: list[Path], tmp_path: FilePath, plugins: Plugins) -> None:
    kit = kit_of(
        tmp_path, plugins, {"a.dxf": dxf_bytes(ONE_LAYER)}, "drawing: a.dxf", "{layer: {name: ALL, only: largest}}",
        f"do: groove, name: lines, cutter: mill, depth: 1 mm, shapes: [{{layer: {{name: ALL, {which}}}}}]",
    )  # fmt: skip
    assert boxes(kit.parts[0].operations[0].shapes) == boxes(tuple(wanted))


@pytest.mark.parametrize("which", ["only: open", "only: points", "diameter: 4 mm"])
def test_a_sort_that_is_not_on_the_layer_is_an_error(which: str, tmp_path: FilePath, plugins: Plugins) -> None:
    outline = f"{{layer: {{name: ALL, {which}}}}}"
    with pytest.raises(UnreadableKitError) as caught:
        kit_of(tmp_path, plugins, {"a.dxf": dxf_bytes(ONE_LAYER)}, "drawing: a.dxf", outline, PROFILE)
    assert "layer-missing" in {one.code for one in caught.value.problems}


# --- what is written with the project's own writer comes back


measure = st.floats(min_value=2.0, max_value=60.0).map(lambda value: round(value, 6))
where = st.floats(min_value=-200.0, max_value=200.0).map(lambda value: round(value, 6))
rectangles = st.builds(
    lambda w, h, x, y, r, a: rectangle((w, h), centre=(x, y), corner_radius=min(w, h) * r, angle=a),
    measure, measure, where, where, st.sampled_from((0.0, 0.1, 0.3)), st.sampled_from((0.0, 30.0, 45.0)),
)  # fmt: skip
circles = st.builds(circle, where, where, measure.map(lambda value: value / 2))


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    shapes=st.lists(rectangles | circles, min_size=1, max_size=6, unique_by=lambda path: path.bounds),
    kind=st.sampled_from(["dxf", "svg"]),
)
def test_random_shapes_come_back_through_a_kit(
    shapes: list[Path], kind: str, tmp_path: FilePath, plugins: Plugins
) -> None:
    """Boxes, areas and lengths agree to 1e-6 mm; the SVG's origin is the lower left corner of its page."""
    edge = rectangle((600, 600), at=(-300, -300))
    layers = {"edge": [edge], "wells": shapes}
    data = dxf_bytes(layers) if kind == "dxf" else svg_bytes(layers)
    kit = kit_of(
        tmp_path, plugins, {f"a.{kind}": data}, f"drawing: a.{kind}", "{layer: edge}",
        "do: groove, name: wells, cutter: mill, depth: 1 mm, shapes: [{layer: wells}]",
    )  # fmt: skip
    shift = 0.0 if kind == "dxf" else 300.0
    found = kit.parts[0].operations[0].shapes
    assert len(found) == len(shapes)

    def told(path: Path, by: float) -> tuple[float, ...]:
        box = path.bounds
        return (box.left + by, box.bottom + by, box.right + by, box.top + by, abs(path.area) / 100, path.length)

    wanted = sorted(told(path, shift) for path in shapes)
    for ours, theirs in zip(wanted, sorted(told(path, 0.0) for path in found), strict=True):
        assert ours == pytest.approx(theirs, abs=1e-6)


# --- drawings from strangers


def bare(*tags: object) -> bytes:
    """A DXF of blocks and entities from tags."""
    return ("\n".join(str(tag) for tag in tags) + "\n").encode()


def blocks(*bodies: str) -> bytes:
    """A DXF whose model space shows block B0; each body holds the entities of one block, tags parted by blanks."""
    inner = " ".join(f"0 BLOCK 8 0 2 B{n} 70 0 10 0 20 0 3 B{n} {body} 0 ENDBLK 8 0" for n, body in enumerate(bodies))
    text = f"0 SECTION 2 BLOCKS {inner} 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 8 EDGE 2 B0 10 0 20 0 0 ENDSEC 0 EOF"
    return bare(*text.split(" "))


def entities(text: str) -> bytes:
    """A DXF of entities, tags parted by blanks."""
    return bare(*f"0 SECTION 2 ENTITIES {text} 0 ENDSEC 0 EOF".split(" "))


def insert(name: str, rows: int = 1) -> str:
    """An INSERT."""
    return f"0 INSERT 8 0 2 {name} 10 0 20 0 70 {rows} 71 {rows} 44 1 45 1"


def svg(body: str, head: str = "") -> bytes:
    """An SVG around what is given."""
    return (
        f'<?xml version="1.0"?>{head}<svg xmlns="http://www.w3.org/2000/svg" '
        f'width="9mm" height="9mm" viewBox="0 0 9 9"><g id="EDGE">{body}</g></svg>'
    ).encode()


def ten_uses(number: int) -> str:
    """A group that shows the one before ten times."""
    return f'<g id="u{number}">' + f'<use href="#u{number - 1}"/>' * 10 + "</g>"


LINE = "0 LINE 8 EDGE 10 0 20 0 11 {} 21 0"
LAUGHS = (
    "<!DOCTYPE svg [<!ENTITY a0 'lol'>" + "".join(f"<!ENTITY a{n} '{f'&a{n - 1};' * 10}'>" for n in range(1, 10)) + "]>"
)
EXTERNAL = (
    "0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 X 70 4 10 0 20 0 3 X 1 ../secret.dxf 0 ENDBLK 8 0 0 ENDSEC "
    "0 SECTION 2 ENTITIES 0 INSERT 8 EDGE 2 X 10 0 20 0 0 ENDSEC 0 EOF"
)
HOSTILE: dict[str, bytes] = {
    "recursive.dxf": blocks(insert("B1"), insert("B0")),
    "own-block.dxf": blocks(insert("B0")),
    "bomb.dxf": blocks(*(insert(f"B{n + 1}", 900) for n in range(6)), LINE.format(1)),
    "deep.dxf": blocks(*(insert(f"B{n + 1}") for n in range(60)), LINE.format(1)),
    "external.dxf": bare(*EXTERNAL.split(" ")),
    "nan.dxf": entities(LINE.format("nan")),
    "inf.dxf": entities(LINE.format("1e999")),
    "far.dxf": entities(LINE.format("1e300")),
    "no-end.dxf": entities(LINE.format(5))[:-5],
    "not.dxf": b"%PDF-1.7\n",
    "empty.dxf": b"",
    "entities.svg": svg("<text>&a9;</text>", LAUGHS),
    "file.svg": svg("&x;", "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>"),
    "self.svg": svg('<g id="a"><use href="#a"/></g>'),
    "uses.svg": svg('<path id="u0" d="M0 0h1"/>' + "".join(map(ten_uses, range(1, 9)))),
    "deep.svg": svg("<g>" * 5000 + "</g>" * 5000),
    "nan.svg": svg('<path d="M0 0L nan 1"/>'),
    "far.svg": svg('<path d="M0 0L 1e300 1"/>'),
    "script.svg": svg("<script>while(1);</script>"),
    "cut.svg": svg('<path d="M0 0h5"/>')[:-20],
    "empty.svg": b"",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_drawing_is_one_plain_finding(
    name: str, tmp_path: FilePath, plugins: Plugins, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One error that names the file, within 10 processor seconds, without opening anything outside the kit's folder."""
    folder = tmp_path / "kit"
    (tmp_path / "secret.dxf").write_bytes(entities(LINE.format(5)))
    opened = watch_files(monkeypatch, folder)
    started, before = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    found = refused(
        lambda: kit_of(folder, plugins, {name: HOSTILE[name]}, f"drawing: {name}", "{layer: EDGE}", PROFILE)
    )
    assert time.process_time() - started < 10
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 1 << 20
    errors = [one for one in found if one.severity == "error"]
    assert [one.source.file for one in errors if one.code == "drawing-unreadable"] == [name] * len(errors)
    assert len(errors) == 1
    assert "Traceback" not in str(errors[0].message)
    assert opened() == []


def hostile_kit(folder: FilePath, plugins: Plugins, name: str) -> Kit:
    """A kit around one of the hostile drawings."""
    return kit_of(folder, plugins, {name: HOSTILE[name]}, f"drawing: {name}", "{layer: EDGE}", PROFILE)


def refused(make: Callable[[], object]) -> list[Finding]:
    """The findings of a kit that must be refused."""
    with pytest.raises(UnreadableKitError) as caught:
        make()
    return list(caught.value.problems)


def watch_files(monkeypatch: pytest.MonkeyPatch, folder: FilePath) -> Callable[[], list[str]]:
    """Note every file that is opened for reading under the folder above the kit's own, but outside of it."""
    seen: list[str] = []
    real = os.open

    def opening(path: str, *rest: int, **named: int) -> int:
        seen.append(os.fspath(path))
        return real(path, *rest, **named)

    monkeypatch.setattr(os, "open", opening)
    above, inside = str(folder.parent), str(folder)
    return lambda: [one for one in seen if str(one).startswith(above) and not str(one).startswith(inside)]


@pytest.mark.parametrize("name", ["nan.dxf", "far.dxf"])
def test_the_entity_of_a_broken_dxf_is_named(name: str, tmp_path: FilePath, plugins: Plugins) -> None:
    (found,) = refused(lambda: hostile_kit(tmp_path, plugins, name))
    assert "LINE" in str(found.message)
    assert "EDGE" in str(found.message)


@pytest.mark.parametrize(("name", "line"), [("nan.svg", 1), ("self.svg", 1)])
def test_the_line_of_a_broken_svg_is_named(name: str, line: int, tmp_path: FilePath, plugins: Plugins) -> None:
    (found,) = refused(lambda: hostile_kit(tmp_path, plugins, name))
    assert found.source.line == line


@pytest.mark.parametrize("name", ["../a.dxf", "/etc/passwd", "a\\b.dxf", "http://a/b.svg"])
def test_a_drawing_outside_the_folder_is_refused(name: str, tmp_path: FilePath, plugins: Plugins) -> None:
    (tmp_path / "a.dxf").write_bytes(entities(LINE.format(5)))
    found = refused(lambda: kit_of(tmp_path / "kit", plugins, {}, f"drawing: '{name}'", "{layer: EDGE}", PROFILE))
    assert {one.code for one in found} == {"path-outside-kit"}


def test_a_link_that_leads_outside_is_refused(tmp_path: FilePath, plugins: Plugins) -> None:
    (tmp_path / "a.dxf").write_bytes(dxf_bytes({"EDGE": [EDGE]}))
    (tmp_path / "kit").mkdir()
    (tmp_path / "kit" / "a.dxf").symlink_to(tmp_path / "a.dxf")
    found = refused(lambda: kit_of(tmp_path / "kit", plugins, {}, "drawing: a.dxf", "{layer: EDGE}", PROFILE))
    assert {one.code for one in found} == {"path-outside-kit"}


def test_scripts_styles_and_pictures_of_an_svg_are_not_followed(tmp_path: FilePath, plugins: Plugins) -> None:
    """What a browser would run or fetch is left out, and said to be."""
    body = (
        '<path d="M0 0H9V9H0Z"/><script href="https://example.org/a.js"/><image href="../secret.png"/>'
        '<style>@import url("https://example.org/a.css");</style>'
    )
    kit = kit_of(tmp_path, plugins, {"a.svg": svg(body)}, "drawing: a.svg", "{layer: EDGE}", PROFILE)
    assert math.isclose(kit.parts[0].outline.area, 81.0)
    assert "drawing-skipped" in {one.code for one in kit.problems}
