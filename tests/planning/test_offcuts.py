"""Offcuts of a shop: read with bounds, filled where they suit, measured; and what is left of a sheet."""

from __future__ import annotations

from pathlib import Path as File

import pytest
import shapely
from builders import freed, kit, plate, stock
from hypothesis import given, settings
from hypothesis import strategies as st
from rack_kits import rack_text

from kitforge.cli.main import main
from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import Ladder
from kitforge.model.findings import Source
from kitforge.model.kit import Grain, Kit
from kitforge.model.layout import Placement
from kitforge.model.offcuts import Offcut
from kitforge.planning.layout import spacing_for
from kitforge.planning.nesting.leftover import rectangles_left
from kitforge.planning.nesting.offcuts import OnOffcuts, on_offcuts, rung_for
from kitforge.plugins import load_plugins
from kitforge.stages.read_offcuts import read_offcuts

OFFCUTS = """\
offcuts:
  ell:
    material: {material}
    thickness: {thickness} mm
    outline: {{polyline: {{closed: true, points: [[0, 0], [600, 0], [600, 200], [200, 200], [200, 500], [0, 500]]}}}}
    bad: [{{circle: {{centre: [60, 60], diameter: 30}}}}]
  strip:
    title: Strip by the door
    material: {material}
    thickness: {thickness} mm
    grain: width
    outline: {{rectangle: {{size: [130, 400]}}}}
"""


def written(folder: File, text: str) -> tuple[Offcut, ...]:
    file = folder / "offcuts.yaml"
    file.write_text(text, encoding="utf-8")
    return read_offcuts(file, load_plugins())


def the_kit(*sizes: tuple[float, float, int], grain: Grain = Grain.LENGTH) -> Kit:
    sheet = stock(grain=grain)
    parts = [freed(outline=plate(w, h), key=f"p{i}", count=n, stock=sheet) for i, (w, h, n) in enumerate(sizes)]
    return kit(*parts)


def text_for(of: Kit, **more: object) -> str:
    (sheet,) = of.stock.values()
    return OFFCUTS.format(**{"material": sheet.material.key, "thickness": sheet.actual, **more})


def assert_measured(of: Kit, one: OnOffcuts) -> None:
    """With shapely alone: inside the edge less its margin, off the bad spots by a cutter, a gap apart."""
    gap, cutter = spacing_for(of.parts), 6.0
    for offcut, row in one.used:
        shapes = [place.shape(of.part(place.part).outline.to_polygon(0.001)) for place in row]
        inside = offcut.outline.to_polygon(0.001).buffer(-offcut.margin + 0.03, join_style="mitre")
        assert all(inside.contains(shape) for shape in shapes)
        assert all(a.distance(b) > gap - 0.03 for i, a in enumerate(shapes) for b in shapes[:i])
        bad = [line.to_polygon(0.001) for line in offcut.bad]
        assert all(shape.distance(spot) > cutter - 0.03 for shape in shapes for spot in bad)
    placed = [(place.part, place.copy) for _offcut, row in one.used for place in row]
    asked = [(item.key, copy) for item in of.parts for copy in range(1, item.count + 1)]
    assert sorted([*placed, *one.left_over]) == sorted(asked)


def test_parts_lie_in_an_l_shape_around_a_knot(tmp_path: File) -> None:
    of = the_kit((150.0, 100.0, 4), (80.0, 80.0, 3))
    (found,) = on_offcuts(of, written(tmp_path, text_for(of)), tries=20)
    assert_measured(of, found)
    assert len(found.left_over) <= 2
    assert {offcut.key for offcut, _row in found.used} == {"ell", "strip"}


def test_the_grain_of_the_part_runs_as_that_of_the_offcut(tmp_path: File) -> None:
    """The strip's grain runs along its y, so what is drawn along x lies there turned by a quarter."""
    of = the_kit((350.0, 100.0, 1))
    (found,) = on_offcuts(of, written(tmp_path, text_for(of)), tries=0)
    ((offcut, (place,)),) = found.used
    assert (offcut.key, place.turn) == ("strip", 90) or place.turn == 270


@pytest.mark.parametrize(
    ("more", "words"),
    [({"thickness": 15.0}, "thick, the kit is drawn for"), ({"material": "mdf"}, "the kit asks for")],
)
def test_what_does_not_suit_is_told(tmp_path: File, more: dict[str, object], words: str) -> None:
    of = the_kit((100.0, 100.0, 1))
    (found,) = on_offcuts(of, written(tmp_path, text_for(of, **more)))
    assert found.used == () and found.left_over == (("p0", 1),)
    assert all(words in str(why) for _offcut, why in found.unsuited)


def test_a_part_larger_than_every_offcut_is_left_over(tmp_path: File) -> None:
    of = the_kit((590.0, 300.0, 1), (60.0, 60.0, 1))
    (found,) = on_offcuts(of, written(tmp_path, text_for(of)), tries=5)
    assert found.left_over == (("p0", 1),)
    assert_measured(of, found)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("closed: true", "closed: false", "open"),
        ("[600, 0], [600, 200]", "[600, 200], [600, 0]", "crosses"),
        ("thickness: 12", "thickness: -12", "thickness"),
        ("grain: width", "grain: sideways", "grain"),
        ("title: Strip by the door", "colour: red", "colour"),
        ("rectangle: {size: [130, 400]}", "layer: EDGE", "by measures"),
        ("[130, 400]", "[130, 40000]", "size"),
        ("centre: [60, 60]", "centre: [60, sixty]", "centre"),
    ],
)
def test_a_mistake_is_told_with_its_place(tmp_path: File, old: str, new: str, words: str) -> None:
    text = OFFCUTS.format(material="birch_plywood", thickness=12)
    assert old in text
    with pytest.raises(UnreadableKitError) as refused:
        written(tmp_path, text.replace(old, new, 1))
    told = [one.as_line() for one in refused.value.problems]
    assert len(told) == 1 and words in told[0] and "offcuts.yaml:" in told[0]


def test_the_command_tells_and_draws(tmp_path: File, capsys: pytest.CaptureFixture[str]) -> None:
    """The starter kit on offcuts of its wood: what fits is told, drawn with its true edge, and nothing is locked."""
    home = tmp_path / "signs"
    assert main(["new", str(home)]) == 0
    from kitforge.pipeline import load_kit

    made = load_kit(home, load_plugins())
    (board,) = made.stock.values()
    text = OFFCUTS.format(material=board.material.key, thickness=board.actual)
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    call = [
        "nest",
        str(home),
        "--tries",
        "3",
        "--offcuts",
        str(tmp_path / "mine.yaml"),
        "--draw",
        str(tmp_path / "dxf"),
    ]
    assert main(call) in (0, 1)
    assert "copies fit on offcuts" in capsys.readouterr().out
    assert not (home / "layout.lock").exists()
    (drawn, *_more) = sorted((tmp_path / "dxf").iterdir())
    import ezdxf

    layers = {entity.dxf.layer for entity in ezdxf.readfile(drawn).modelspace()}
    assert "STOCK" in layers and len(layers) > 1


RACK = rack_text(
    """\
        corner_relief: dog-bone
        shapes:
          - rectangle: {centre: [60 mm, 20 mm], size: [60 mm, slot]}
""",
    """\
  leaf:
    stock: sheet
    outline: {rectangle: {size: [60 mm, 50 mm]}}
    operations:
      - {name: outline, do: profile, cutter: down}
""",
)


def pieces_of_plywood(*thick: float) -> str:
    one = "  rest{n}: {{material: birch_plywood, thickness: {t} mm, outline: {{rectangle: {{size: [400, 200]}}}}}}\n"
    return "offcuts:\n" + "".join(one.format(n=number, t=thickness) for number, thickness in enumerate(thick))


@pytest.mark.parametrize(
    ("thickness", "rung"),
    [(5.6, 5.6), (5.61, 5.8), (5.45, 5.6), (5.39, None), (6.0, 6.0), (6.39, 6.4), (6.4, 6.4), (6.41, None)],
)
def test_an_offcut_is_cut_by_the_smallest_rung_that_is_not_thinner(thickness: float, rung: float | None) -> None:
    """As a sheet that was bought is; what is thinner than the least by more than a step would be too loose."""
    assert rung_for(Ladder("ply", (5.6, 5.8, 6.0, 6.2, 6.4), Source("kit.yaml")), thickness) == rung


def test_offcuts_are_told_rung_by_rung_and_drawn_so(tmp_path: File, capsys: pytest.CaptureFixture[str]) -> None:
    """Offcuts of 5.7 and 6.3 mm are never mixed: a slot for one is none for the other. The slots as drawn are the rung
    and the play."""
    import ezdxf

    (tmp_path / "kit.yaml").write_text(RACK, encoding="utf-8")
    (tmp_path / "mine.yaml").write_text(pieces_of_plywood(5.7, 6.3, 7.0), encoding="utf-8")
    call = [
        "nest",
        str(tmp_path),
        "--tries",
        "2",
        "--offcuts",
        str(tmp_path / "mine.yaml"),
        "--draw",
        str(tmp_path / "out"),
    ]
    assert main(call) == 0
    first, second = ("\n" + capsys.readouterr().out).split("\nby the drawings for ")[1:]
    for told, rung, used, other in ((first, "5.8", "Rest0", "Rest1"), (second, "6.4", "Rest1", "Rest0")):
        assert told.startswith(f"{rung} mm:") and "2 of 2 copies fit on offcuts" in told
        assert f"  {used}: " in told and f"  {other} is not used: it is" in told
        assert "Rest2 is not used: it is 7 mm thick, and no drawing is for that: they are for 5.6 mm to 6.4 mm" in told
        (drawn,) = (tmp_path / "out" / f"{rung}-mm").iterdir()
        slots = [one for one in ezdxf.readfile(drawn).modelspace() if "SLOTS" in one.dxf.layer.upper()]
        assert slots and {round(slot_width(one), 2) for one in slots} == {round(float(rung) + 0.2, 2)}


def slot_width(line: object) -> float:
    """The commonest distance of two corners in y: between the long walls of a slot with reliefs in its corners."""
    ys: list[float] = sorted({round(y, 3) for _x, y, *_rest in line.get_points()})  # type: ignore[attr-defined]
    walls = [b - a for i, a in enumerate(ys) for b in ys[i + 1 :]]
    return max(one for one in walls if one < 6.7)


def test_no_rung_suits_and_the_kit_is_told_as_it_is(tmp_path: File, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "kit.yaml").write_text(RACK, encoding="utf-8")
    (tmp_path / "mine.yaml").write_text(pieces_of_plywood(9.0), encoding="utf-8")
    assert main(["nest", str(tmp_path), "--offcuts", str(tmp_path / "mine.yaml")]) == 1
    told = capsys.readouterr().out
    assert "0 of 2 copies fit" in told and "by the drawings" not in told and "no drawing is for that" in told


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0, 500), st.floats(0, 250), st.floats(20, 300), st.floats(20, 200)), min_size=0, max_size=5
    )
)
def test_rectangles_that_are_left_touch_no_cut(drawn: list[tuple[float, float, float, float]]) -> None:
    sheet = shapely.box(0, 0, 800, 400)
    lying = [(Placement("p", 1, x, y), plate(w, h)) for x, y, w, h in drawn]
    taken = shapely.union_all([shapely.box(x - 6, y - 6, x + w + 6, y + h + 6) for x, y, w, h in drawn])
    found = [shapely.box(*one) for one in rectangles_left(sheet, lying, 6.0)]
    for index, one in enumerate(found):
        left, low, right, high = one.bounds
        assert min(right - left, high - low) >= 100.0 - 1e-6
        assert sheet.buffer(1e-6).covers(one)
        assert one.intersection(taken).area < 60.0  # the corners of cuts are round, those here are not
        assert all(one.intersection(other).area < 1e-6 for other in found[:index])
    assert [one.area for one in found] == sorted((one.area for one in found), reverse=True)


def test_an_empty_sheet_is_left_whole_and_a_full_one_not_at_all() -> None:
    sheet = shapely.box(0, 0, 600, 300)
    (whole,) = rectangles_left(sheet, [], 6.0)
    assert (whole.width, whole.height) == (600.0, 300.0)
    assert rectangles_left(sheet, [(Placement("p", 1, 5, 5), plate(590.0, 290.0))], 6.0) == []


def test_the_rest_beside_a_part_is_found_to_the_cell() -> None:
    """A part of 300 and its cut of 6 from the left leave 600 - 306 = 294 mm, whole cells of 5: 290."""
    (rest,) = rectangles_left(shapely.box(0, 0, 600, 300), [(Placement("p", 1, 0, 0), plate(300.0, 300.0))], 6.0)
    assert (rest.width, rest.height) == (290.0, 300.0)
