"""The kit in space: which board hides which, true sizes, light and the same bytes."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from PIL import Image
from surface_builders import outside, part, slotted_side

from kitforge.geometry.shapes import rectangle
from kitforge.model.findings import Source
from kitforge.model.kit import Part
from kitforge.model.pictures import PictureStandIn, StandInMaterial, TurnedShape
from kitforge.pictures.shaded.assembly import FROM_BELOW, ROUND_VIEW, assembly, assembly_shot
from kitforge.pictures.shaded.make import PictureSize
from kitforge.pictures.shaded.solids import Placed, axes_of, board_of, eye_towards, faces_of, look
from kitforge.pictures.shaded.view import ABOVE


def plate(width: float, height: float) -> Part:
    outline = rectangle((width, height))
    return part(outside(outline), outline=outline)


def test_axes_of_a_view_are_at_right_angles() -> None:
    """Right, up and away are unit vectors at right angles, and looking down sees y upwards."""
    axes = axes_of(ROUND_VIEW)
    assert np.allclose(axes @ axes.T, np.eye(3))
    assert np.allclose(axes_of(ABOVE)[1], [0, 1, 0])


def test_the_nearer_board_is_shown() -> None:
    """From above the upper of two boards hides the middle of the lower one, whichever is drawn first."""
    low, high = Placed(plate(100, 100), (0, 0, 0)), Placed(plate(40, 40), (30, 30, 50))
    for order in ((low, high), (high, low)):
        boards = [board_of(placed) for placed in order]
        faces = [face for number, board in enumerate(boards) for face in faces_of(board, number)]
        eye = eye_towards(axes_of(ABOVE), np.array([[0, 0, 0], [100, 100, 0.0]]), 200)
        shown = look(eye, faces)
        middle = shown.face[100, 100]
        assert order.index(high) == faces[middle].board
        assert pytest.approx(float(shown.away[100, 100])) == -50.0
        scale = (200 * 0.9 / 100) ** 2
        on_high = sum((shown.face == n).sum() for n, face in enumerate(faces) if face.board == order.index(high))
        assert 1600 * scale == pytest.approx(on_high, rel=0.02)


def test_holes_let_through_what_lies_behind() -> None:
    """Through the round window of a side the table is seen."""
    board = board_of(Placed(slotted_side(), (0, 0, 0)))
    faces = list(faces_of(board, 0))
    eye = eye_towards(axes_of(ABOVE), np.array([[0, 0, 0], [260, 180, 0.0]]), 260)
    shown = look(eye, faces)
    scale = 260 * 0.9 / 260
    row, column = round(13 + 75 * scale), round(13 + 87 * scale)
    around = shown.face[row - 17 : row + 18, column - 17 : column + 18]
    assert math.pi * 18**2 == pytest.approx((around < 0).sum() / scale**2, rel=0.05)


def test_assembly_repeats_to_the_byte_and_shows_its_parts() -> None:
    """The same parts give the same PNG; an exploded view is another one."""
    side = slotted_side()
    parts = [Placed(side, (0, y, 0), (1, 0, 0), (0, 0, 1)) for y in (0.0, 100.0)]
    first = assembly(parts, 240)
    assert first == assembly(parts, 240)
    assert first != assembly([parts[0], parts[1].moved((0, 80, 0))], 240)
    rgb = np.asarray(Image.open(io.BytesIO(first)).convert("RGB")).astype(int)
    assert (np.ptp(rgb, axis=2) > 25).mean() > 0.15
    alpha = np.asarray(Image.open(io.BytesIO(assembly(parts, 240, clear=True))))[..., 3]
    assert (alpha.min(), alpha.max()) == (0, 255)


@pytest.mark.parametrize(("over", "height"), [(0.0, 0.0), (120.0, 60.0), (40.0, 300.0)])
def test_no_shadow_is_cut_off_by_the_edge_of_the_picture(over: float, height: float) -> None:
    """However far a board stands over the others or above the table: its border is the open table."""
    side, roof = slotted_side(), plate(200, 140)
    parts = [Placed(side, (0, 0, 0), (1, 0, 0), (0, 0, 1)), Placed(roof, (over, -over, height), (1, 0, 0), (0, 1, 0))]
    rgb = np.asarray(Image.open(io.BytesIO(assembly(parts, 300))).convert("RGB")).astype(int)
    border = np.concatenate([rgb[0], rgb[-1], rgb[:, 0], rgb[:, -1]])
    assert np.ptp(border, axis=0).max() <= 2


def test_directions_must_be_at_right_angles() -> None:
    """A part cannot be sheared or scaled, and an assembly needs parts."""
    with pytest.raises(ValueError, match="right angles"):
        assembly([Placed(plate(10, 10), (0, 0, 0), (1, 0, 0), (1, 1, 0))])
    with pytest.raises(ValueError, match="1 to 200"):
        assembly([])


def test_an_underside_is_lit_as_well_as_a_face() -> None:
    """Seen from below, the lamp stands below: what it shows is not nearly black."""
    seen = []
    for view in (ROUND_VIEW, FROM_BELOW):
        shot = assembly_shot([Placed(plate(80.0, 60.0), (0.0, 0.0, 0.0))], PictureSize(300), (), view, table=False)
        grey = np.asarray(shot.image.convert("L"))
        seen.append(float(np.median(grey[grey < 250])))
    assert seen[1] == pytest.approx(seen[0], rel=0.15)


def test_bought_things_are_seen_hide_and_are_hidden() -> None:
    """A grey rod through a plate: as wide as it is, in its own colour above the plate, hidden below it."""
    rod = TurnedShape(((0.0, 0.0), (5.0, 0.0), (5.0, 120.0), (0.0, 120.0)))
    thing = PictureStandIn(
        rod, ((40.0, 30.0, -60.0),), (1, 0, 0), (0, 1, 0), "#3366cc", StandInMaterial.METAL, None, Source("kit.yaml")
    )
    board = [Placed(plate(80.0, 60.0), (0.0, 0.0, 0.0))]
    bare, seen = (
        np.asarray(assembly_shot(board, PictureSize(300), (), table=False, things=some).image.convert("RGB")).astype(
            int
        )
        for some in ((), (thing,))
    )
    blue = (seen[..., 2] > seen[..., 0] + 30).any(axis=1)
    assert blue.any()
    assert not (bare[..., 2] > bare[..., 0] + 30).any()
    rows = np.flatnonzero(blue)
    # The plate hides a piece of it, so that there are two runs of rows.
    assert (np.diff(rows) > 1).sum() == 1
