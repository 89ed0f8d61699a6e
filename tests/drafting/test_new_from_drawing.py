"""`kitforge new --from`: what it says about a drawing, and the first kit that it writes."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Callable

import ezdxf
import pytest
import yaml

from kitforge.cli.main import main
from kitforge.drafting.names import as_key, as_title, is_plain, looks_numbered, says_lines, says_through
from kitforge.drafting.source import plain_name
from kitforge.drafting.tools import drawer, largest_inside, largest_outside
from kitforge.drawings.write import dxf_bytes, svg_bytes
from kitforge.geometry.shapes import polyline, rectangle
from kitforge.model.kit import Kit, OperationKind
from kitforge.model.path import circle
from kitforge.pipeline import CheckedKit, check_kit
from kitforge.plugins import Plugins, load_plugins

KITS = pathlib.Path(__file__).parents[2] / "kits"
New = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def plugins() -> Plugins:
    """The plugins as loaded."""
    return load_plugins()


@pytest.fixture
def new(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> New:
    """Calls `kitforge new tmp_path/kit --from ...` on a file or on bytes; returns exit code, output and errors."""

    def call(drawing: pathlib.Path | bytes, *more: str, name: str = "bracket.dxf") -> tuple[int, str, str]:
        if isinstance(drawing, bytes):
            (tmp_path / name).write_bytes(drawing)
            drawing = tmp_path / name
        code = main(["new", str(tmp_path / "kit"), "--from", str(drawing), *more])
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def checked(tmp_path: pathlib.Path, plugins: Plugins) -> CheckedKit:
    """The kit that was written, which must have no error."""
    found = check_kit(tmp_path / "kit", plugins)
    assert [one.as_line() for one in found.findings if one.severity == "error"] == []
    return found


def works(kit: Kit) -> list[tuple[OperationKind, int]]:
    """What each operation does, and how many shapes or points it has."""
    return [(one.does, len(one.shapes) + len(one.points)) for one in kit.parts[0].operations]


EDGE = rectangle((200, 120), at=(0, 0), corner_radius=6)
HOLES = [circle(x, y, 2.5) for x in (12, 188) for y in (12, 108)]
WELL = circle(100, 60, 25)
WINDOW = rectangle((40, 30), at=(20, 45), corner_radius=4)
LINES = [polyline([(140, 30), (180, 30)]), polyline([(140, 90), (180, 90)])]
CLEAN = {"EDGE": [EDGE], "PINS": HOLES, "WELL": [WELL], "WINDOW": [WINDOW], "MARKS": LINES}
EXPECTED = [
    (OperationKind.GROOVE, 2),
    (OperationKind.DRILL, 4),
    (OperationKind.POCKET, 1),
    (OperationKind.PROFILE, 1),
    (OperationKind.PROFILE, 1),
]


@pytest.mark.parametrize("kind", ["dxf", "svg"])
def test_a_clean_drawing_becomes_a_kit_without_errors(
    kind: str, new: New, tmp_path: pathlib.Path, plugins: Plugins
) -> None:
    data = dxf_bytes(CLEAN) if kind == "dxf" else svg_bytes(CLEAN)
    code, out, err = new(data, name=f"bracket.{kind}")
    assert (code, err) == (0, "")
    assert f"bracket.{kind}: 200 mm x 120 mm, read in mm (as the file says)" in out
    assert "nothing looks wrong" in out
    kit = checked(tmp_path, plugins).kit
    assert sorted(works(kit)) == sorted(EXPECTED)
    assert kit.files[f"bracket.{kind}"] == data
    assert (tmp_path / "kit" / "kit.schema.json").exists()
    text = (tmp_path / "kit" / "kit.yaml").read_text()
    assert text.count("GUESS") > 10
    window = next(one for one in kit.parts[0].operations if "window" in one.name)
    assert (window.does, window.through, window.side) == (OperationKind.PROFILE, True, "inside")


def test_everything_on_one_layer_is_told_apart(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    """The outline, holes by diameter, other closed lines and open lines each become an operation of their own."""
    everything = [EDGE, *HOLES, circle(50, 20, 1.5), WELL, WINDOW, *LINES]
    assert new(dxf_bytes({"ALL": everything}))[0] == 0
    kit = checked(tmp_path, plugins).kit
    assert kit.parts[0].outline.bounds == pytest.approx(EDGE.bounds)
    areas = [(OperationKind.POCKET, 1), (OperationKind.POCKET, 1), (OperationKind.PROFILE, 1)]
    assert sorted(works(kit)) == sorted(
        [(OperationKind.DRILL, 1), (OperationKind.DRILL, 4), (OperationKind.GROOVE, 2), *areas]
    )
    assert {one.cutter.diameter for one in kit.parts[0].operations if one.does is OperationKind.DRILL} == {3.0, 5.0}


def test_groups_in_groups_of_an_svg_are_used_once(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    body = (
        '<g id="art"><rect id="edge" x="5" y="5" width="150" height="90" rx="4"/>'
        '<g id="cups" transform="translate(40 50)"><circle r="18"/><circle cx="40" r="18"/></g>'
        '<g id="pins"><circle id="circle12" cx="12" cy="12" r="2"/><circle cx="148" cy="12" r="2"/></g>'
        '<path d="M 100 20 H 140"/></g>'
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="100mm" viewBox="0 0 160 100">'
    assert new(f"{head}{body}</svg>".encode(), name="bracket.svg")[0] == 0
    kit = checked(tmp_path, plugins).kit
    assert sorted(works(kit)) == [
        (OperationKind.DRILL, 2),
        (OperationKind.GROOVE, 1),
        (OperationKind.POCKET, 2),
        (OperationKind.PROFILE, 1),
    ]
    text = (tmp_path / "kit" / "kit.yaml").read_text()
    assert '{ layer: { name: "edge", size: [150 mm, 90 mm] } }' in text
    assert '{ layer: { name: "cups", count: 2 } }' in text
    assert '{ layer: { name: "*", only: open, count: 1 } }' in text


def test_lines_written_out_lie_where_they_were_drawn(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    """A layer with shapes inside and outside the outline cannot be named; what is inside is written out, arcs too."""
    slot = polyline([(20, 20), (60, 20)])
    inner = rectangle((40, 20), at=(100, 40), corner_radius=5, angle=20)
    assert new(dxf_bytes({"EDGE": [EDGE], "MIXED": [inner, rectangle((9, 9), at=(300, 0)), slot]}))[0] == 0
    kit = checked(tmp_path, plugins).kit
    assert "not used: 1 x on MIXED: too small for a part" in (tmp_path / "kit" / "kit.yaml").read_text()
    pocket = next(one for one in kit.parts[0].operations if one.does is OperationKind.POCKET)
    assert pocket.shapes[0].bounds == pytest.approx(inner.bounds, abs=1e-5)
    assert abs(pocket.shapes[0].area) == pytest.approx(abs(inner.area), abs=1e-3)


@pytest.mark.parametrize("drawing", ["herb-planter/planter.dxf", "puzzle-tray/tray.svg"])
def test_the_drawings_of_the_demo_kits(drawing: str, new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    code, out, _ = new(KITS / drawing)
    assert (code, "nothing looks wrong" in out) == (0, True)
    checked(tmp_path, plugins)


def test_a_drawing_in_inches_gives_a_kit_in_inches(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    document = ezdxf.new("R2010", units=1)
    document.modelspace().add_lwpolyline([(0, 0), (8, 0), (8, 5), (0, 5)], close=True)
    document.modelspace().add_circle((1, 1), 0.125)
    file = tmp_path / "inch.dxf"
    document.saveas(file)
    code, out, _ = new(file)
    assert (code, "8 in x 5 in" in out, " mm" in out) == (0, True, False)
    kit = checked(tmp_path, plugins).kit
    assert kit.info.units == "in"
    assert kit.parts[0].outline.bounds == pytest.approx((0, 0, 203.2, 127))
    assert {one.cutter.diameter for one in kit.parts[0].operations} == {6.35}


def test_a_guessed_unit_is_written_down_and_marked(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    data = dxf_bytes({"EDGE": [EDGE]}).replace(b"$INSUNITS\r\n 70\r\n4\r\n", b"$INSUNITS\r\n 70\r\n0\r\n")
    code, out, _ = new(data)
    assert (code, "(guessed)" in out, "drawing-unit-guess" in out) == (0, True, True)
    assert "units: mm # GUESS" in (tmp_path / "kit" / "kit.yaml").read_text()
    assert "drawing-unit-guess" not in {one.code for one in checked(tmp_path, plugins).findings}


def test_the_unit_and_the_join_that_were_asked_for_are_written(
    new: New, tmp_path: pathlib.Path, plugins: Plugins
) -> None:
    open_edge = polyline([(0, 0), (8, 0), (8, 5), (0, 5), (0, 0.01)])
    assert new(dxf_bytes({"EDGE": [open_edge]}), "--units", "in", "--join", "0.3")[0] == 0
    text = yaml.safe_load((tmp_path / "kit" / "kit.yaml").read_text())
    part = text["parts"]["bracket"]
    assert (part["units"], part["join"]) == ("in", "0.3 mm")
    assert checked(tmp_path, plugins).kit.parts[0].outline.closed


def test_an_outline_that_does_not_close_is_never_closed_unasked(new: New, tmp_path: pathlib.Path) -> None:
    """The hole in it must not become the part; the message says where the gap is and how to have it closed."""
    open_edge = polyline([(0, 0), (80, 0), (80, 50), (0, 50), (0, 0.2)])
    code, _, err = new(dxf_bytes({"EDGE": [open_edge], "HOLE": [circle(40, 25, 10)]}))
    assert (code, (tmp_path / "kit").exists()) == (2, False)
    assert "does not close" in err
    assert "(0 mm, 0.1 mm)" in err
    assert "0.2 mm apart" in err
    assert "--join 0.3" in err


@pytest.mark.parametrize(
    ("data", "name", "said"),
    [
        (dxf_bytes({"A": LINES}), "bracket.dxf", "no line in the drawing is closed"),
        (b"", "bracket.dxf", "the file is empty"),
        (b"%PDF-1.7", "bracket.dxf", "not a DXF file"),
        (b"<svg", "bracket.svg", "bracket.svg:1"),
        (b"solid a", "bracket.stl", "No reader knows"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><g><use href='#a'/></g></svg>", "bracket.svg", "draws no line"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><path d='M0 0L nan 1'/></svg>", "bracket.svg", "bracket.svg:1"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><text>A</text></svg>", "bracket.svg", "Turn the text into paths"),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg'>\n<path d='M0 0H90V60' stroke='red'/></svg>",
            "a.svg",
            "a.svg:2: No",
        ),
    ],
)
def test_a_drawing_that_gives_no_kit_is_one_plain_error(
    data: bytes, name: str, said: str, new: New, tmp_path: pathlib.Path
) -> None:
    code, _, err = new(data, name=name)
    assert (code, "Traceback" in err, (tmp_path / "kit").exists()) == (2, False, False)
    assert said.casefold() in err.casefold()


def test_files_that_are_none_are_refused(new: New, tmp_path: pathlib.Path) -> None:
    """A missing file, a folder and a named pipe, which would wait for its writer for good."""
    os.mkfifo(tmp_path / "pipe.dxf")
    for path in (tmp_path / "gone.dxf", tmp_path, tmp_path / "pipe.dxf"):
        code, _, err = new(path)
        assert (code, "Cannot read" in err) == (2, True)


def test_a_folder_that_holds_something_is_left_alone(new: New, tmp_path: pathlib.Path) -> None:
    (tmp_path / "kit").mkdir()
    (tmp_path / "kit" / "mine.txt").write_text("mine")
    assert new(dxf_bytes(CLEAN))[0] == 2
    assert [path.name for path in (tmp_path / "kit").iterdir()] == ["mine.txt"]


@pytest.mark.parametrize("join", ["nan", "-1", "3", "inf"])
def test_a_join_that_makes_no_sense_is_refused(join: str, new: New) -> None:
    assert new(dxf_bytes(CLEAN), f"--join={join}")[0] == 2


def test_options_about_a_drawing_need_one(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "kit"), "--units", "mm"]) == 2
    assert "--from" in capsys.readouterr().err


def test_layers_with_odd_names_cannot_break_the_kit(new: New, tmp_path: pathlib.Path, plugins: Plugins) -> None:
    """Names with quotes, braces, comment signs and line ends are written so that the kit stays readable."""
    odd = ['a "quoted" # name: {x}', "line&#10;end", " padded ", "x" * 200, "'}", "- |"]
    rects = "".join(
        f'<g id="{name.replace(chr(34), "&quot;")}"><circle cx="{30 + 25 * n}" cy="50" r="9"/></g>'
        for n, name in enumerate(odd)
    )
    body = f'<g id="{"e" * 150}"><path d="M0 0H200V100H0Z"/></g>{rects}'
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">'
    assert new(f"{head}{body}</svg>".encode(), name="a drawing's #1 {name}.SVG")[0] == 0
    kit = checked(tmp_path, plugins).kit
    assert sum(len(one.shapes) for one in kit.parts[0].operations if one.does is OperationKind.POCKET) == 6
    assert [name for name in kit.files if name != "kit.yaml"] == ["a-drawing-s-1-name.svg"]


def test_what_a_layer_is_called_and_cannot_be_printed_is_left_out_of_titles(
    new: New, tmp_path: pathlib.Path, plugins: Plugins
) -> None:
    """A name that was damaged on its way, and one in letters that the typeface lacks."""
    new(svg_bytes({"EDGE": [EDGE], "PIN\ufffdS": HOLES, "\u5b54": [WELL]}), name="bracket.svg")
    assert checked(tmp_path, plugins).kit.parts[0].operations[0].title == "Pin s"


def test_what_looks_wrong_is_told_with_its_line(new: New) -> None:
    drawing = dxf_bytes({"EDGE": [EDGE], "WELL": [WELL, WELL]})
    _, out, _ = new(drawing)
    (told,) = (line for line in out.splitlines() if "[drawing-duplicate]" in line)
    number = int(told.partition("in line ")[2].partition(":")[0])
    assert (
        "LWPOLYLINE" in drawing.decode().splitlines()[number - 1]
        or "CIRCLE" in drawing.decode().splitlines()[number - 1]
    )


# --- the parts of it


def test_the_largest_cutter_that_fits_is_chosen() -> None:
    """A rounded corner of 2 mm takes a cutter of 1/8 in (radius 1.59 mm), one of 4 mm the 1/4 in (3.18 mm)."""
    sizes = [tool.size for tool in drawer()]
    assert sizes == sorted(sizes, reverse=True)

    def inside(radius: float) -> float:
        tool = largest_inside([rectangle((40, 30), at=(0, 0), corner_radius=radius)], 4.0, drawer())
        assert tool is not None
        return tool.size

    assert [inside(radius) for radius in (0.0, 4.0, 2.0, 1.0)] == [6.35, 6.35, 3.175, 1.5875]
    assert largest_inside([circle(0, 0, 0.3)], 0.0, drawer()) is None
    narrow = largest_inside([rectangle((40, 5), at=(0, 0))], 4.0, drawer())
    assert narrow is not None
    assert narrow.size == 3.175


def test_a_cutter_outside_follows_hollow_corners() -> None:
    notch = polyline([(0, 0), (50, 0), (50, 30), (27, 30), (27, 20), (23, 20), (23, 30), (0, 30)], closed=True)
    tool = largest_outside(notch, 12.5, drawer())
    assert tool is not None
    assert tool.size == 3.175


@pytest.mark.parametrize(
    ("name", "plain", "numbered", "through", "lines"),
    [
        ("Holes", True, False, True, False),
        ("path1234", True, True, False, False),
        ("0", True, True, False, False),
        ("Cut-outs", True, False, True, False),
        ("GROOVE_1", True, False, False, True),
        ("Wholesome", True, False, False, False),
        (" a", False, False, False, False),
        ("a\nb", False, False, False, False),
        ("", False, False, False, False),
    ],
)
def test_what_names_say(name: str, plain: bool, numbered: bool, through: bool, lines: bool) -> None:
    assert (is_plain(name), looks_numbered(name), says_through(name), says_lines(name)) == (
        plain,
        numbered,
        through,
        lines,
    )


def test_names_for_kits() -> None:
    taken: set[str] = set()
    assert [as_key(text, taken) for text in ("Drain hole", "drain-hole", "12 Ü", "")] == [
        "drain-hole",
        "drain-hole-2",
        "work-12",
        "work",
    ]
    assert (as_title("drain_HOLE"), as_title("EDGE"), as_title("\x00")) == ("Drain HOLE", "Edge", "Part")
    assert (plain_name("../a b.DXF"), plain_name(".svg"), plain_name("ü.dxf")) == (
        "a-b.dxf",
        "drawing.svg",
        "drawing.dxf",
    )
