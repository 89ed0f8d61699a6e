"""The drawings of whole sheets: every part at its place, and the bottom face as it lies after turning over."""

from __future__ import annotations

from builders import freed, hole, kit, part, planned, pocket, rounded, setup, stock

from kitforge.model.kit import Face, Kit
from kitforge.model.path import Bounds, Path
from kitforge.planning.layers import PartDrawing, pack_drawings, step_layers

SHEET = stock(length=420.0, width=200.0)


def two_faced(*parts: object) -> Kit:
    setups = (setup(Face.TOP), setup(Face.BOTTOM))
    return kit(*parts, setups=setups, stock={"sheet": SHEET})  # type: ignore[arg-type]


def drawings(of: Kit) -> dict[str, PartDrawing]:
    return {drawing.name: drawing for drawing in pack_drawings(planned(of), of.parts)}


def bounds(paths: list[Path]) -> list[Bounds]:
    return [path.bounds for path in paths]


def sheet_name(suffix: str = "") -> str:
    return f"sheet-{SHEET.key}-1{suffix}"


def test_the_bottom_of_a_sheet_is_mirrored_about_its_middle() -> None:
    """What lies 50 mm from the left edge on the top face lies 50 mm from the right edge after the sheet is turned."""
    under = pocket(rounded(10, 20, 40, 30), face=Face.BOTTOM)
    board = freed(under, outline=rounded(0, 0, 100, 80), stock=SHEET, places=((40.0, 25.0),))
    made = two_faced(board)
    plan = planned(made)
    (place,) = step_layers(plan, next(step for step in plan.steps if step.face is Face.BOTTOM))
    assert place.drawing == sheet_name("-bottom")
    drawing = drawings(made)[place.drawing]
    (mirrored,) = bounds(drawing.layers[place.layer])
    assert Bounds(420.0 - 40 - 50, 45.0, 420.0 - 40 - 10, 75.0) == mirrored
    assert [Bounds(0.0, 0.0, 420.0, 200.0)] == bounds(drawing.layers["STOCK"])


def test_both_faces_of_a_hole_through_the_sheet_meet() -> None:
    """A hole drilled from each face at one place of the part: turned over, one drawing lies on the other."""
    board = freed(
        hole(30.0, 20.0, 6.0, name="upper"),
        hole(30.0, 20.0, 6.0, name="lower", face=Face.BOTTOM),
        outline=rounded(0, 0, 100, 80), stock=SHEET, places=((55.0, 25.0),),
    )  # fmt: skip
    found = drawings(two_faced(board))
    top, low = (
        [box for name, paths in found[sheet].layers.items() if end in name for box in bounds(paths)]
        for sheet, end in ((sheet_name(), "UPPER"), (sheet_name("-bottom"), "LOWER"))
    )
    assert [(420.0 - box.centre[0], box.centre[1]) for box in top] == [box.centre for box in low] != []


def test_a_sheet_with_one_piece_has_a_drawing_of_the_face_that_is_cut() -> None:
    board = freed(outline=rounded(0, 0, 100, 80), stock=SHEET)
    assert [name for name in drawings(two_faced(board)) if name.startswith("sheet")] == [sheet_name("")]


def test_a_face_of_the_sheet_that_nothing_is_cut_from_has_no_drawing() -> None:
    lower = part(
        pocket(rounded(10, 10, 30, 30), face=Face.BOTTOM), outline=rounded(0, 0, 100, 80), stock=SHEET, count=2
    )
    assert [name for name in drawings(two_faced(lower)) if name.startswith("sheet")] == [sheet_name("-bottom")]
