"""Parts as layers, pockets in assembly pictures, and which way parts are pulled off each other."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from kit_samples import sample
from PIL import Image
from surface_builders import operation, outside, part, slotted_side, steps

from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.kit import Face, Kit, OperationKind, Part
from kitforge.model.plan import Plan
from kitforge.pictures.drawn.together import after_steps, ends_with_a_part, exploded_view
from kitforge.pictures.shaded.assembly import Lead, assembly_shot
from kitforge.pictures.shaded.exploded import SpaceBox, leads_apart, leads_of, leads_to, pulled_off, rooms_of, stood
from kitforge.pictures.shaded.make import PictureSize
from kitforge.pictures.shaded.solids import Placed, axes_of, board_of, eye_towards, faces_of, look
from kitforge.pictures.shaded.view import ABOVE
from kitforge.surface.layers import layers_of


@pytest.fixture(scope="module")
def stand() -> tuple[Kit, Plan]:
    """The plant stand: legs that cross, four feet, a ring, a top."""
    found = sample("plant-stand")
    return found.kit, found.plan


def pocketed() -> Part:
    """A board of 100 x 80 x 18 mm, a pocket of 40 x 30 x 6 mm in its face and one of 20 x 20 x 5 mm below."""
    return part(
        operation(OperationKind.POCKET, [rectangle((40, 30), at=(10, 10), corner_radius=4)], 6.0, name="upper"),
        operation(
            OperationKind.POCKET,
            [rectangle((20, 20), at=(60, 40), corner_radius=4)],
            5.0,
            face=Face.BOTTOM,
            name="lower",
        ),
        outside(rectangle((100, 80))),
    )


def test_the_wood_of_the_layers_is_the_blank_less_the_pockets() -> None:
    """Volumes of rectangles with rounded corners by hand."""
    board = pocketed()
    corners = (4 - math.pi) * 4**2
    expected = 100 * 80 * 18 - (40 * 30 - corners) * 6 - (20 * 20 - corners) * 5
    layers = layers_of(board, steps(board))
    assert expected == pytest.approx(sum(one.area.area * (one.bottom - one.top) for one in layers), rel=1e-3)
    assert {(0.0, 18.0), (6.0, 18.0), (0.0, 13.0)} == {(one.top, one.bottom) for one in layers}


def test_what_falls_out_of_an_inside_profile_is_no_layer() -> None:
    """The slots and the round window of a side are holes."""
    side = slotted_side()
    (whole, rebate) = layers_of(side, steps(side))
    holes = 3 * 12.2 * 70 + math.pi * 18**2 + 3 * math.pi * 2.5**2
    outline = 260 * 180 - (4 - math.pi) * 14**2
    assert outline - holes == pytest.approx(whole.area.area + rebate.area.area, rel=5e-3)


def test_a_pocket_is_seen_at_its_depth() -> None:
    """From above its floor lies 6 mm further away than the face."""
    board = pocketed()
    placed = board_of(Placed(board, (0, 0, 0), layers=layers_of(board, steps(board))))
    faces = list(faces_of(placed, 0))
    eye = eye_towards(axes_of(ABOVE), np.array([[0, 0, 0], [100, 80, 0.0]]), 200)
    away = look(eye, faces).away
    row, column = (round(10 + 25 * 1.8), round(10 + 30 * 1.8))
    assert pytest.approx(float(away[row, column] - away[row, 150]), abs=0.01) == 6.0


def test_a_picture_stays_on_its_paper_and_tells_where_its_parts_are() -> None:
    side = Placed(slotted_side(), (0, 0, 0), (1, 0, 0), (0, 0, 1))
    shot = assembly_shot([side, side.moved((0, 120, 0))], PictureSize(300, 120))
    assert shot.image.width <= 300
    assert shot.image.height <= 121
    rgb = np.asarray(shot.image.convert("RGB")).astype(int)
    for spot in shot.spots:
        assert spot is not None
        assert np.ptp(rgb[int(spot[1]), int(spot[0])]) > 15


def test_a_picked_part_is_hatched_and_a_lead_is_drawn() -> None:
    side = Placed(slotted_side(), (0, 0, 0), (1, 0, 0), (0, 0, 1))
    plain, picked = (
        assembly_shot([replace(side, picked=on)], PictureSize(300), table=False).image for on in (False, True)
    )
    grey = [np.asarray(image.convert("L")).astype(int) for image in (plain, picked)]
    assert (np.abs(grey[0] - grey[1]) > 20).mean() > 0.2
    lead = Lead((-60, 0, 0), (-60, 0, -150))
    led = np.asarray(assembly_shot([side], PictureSize(300), [lead], table=False).image.convert("L"))
    assert led[:, : led.shape[1] // 12].min() < 120


def test_rooms_that_pass_each_other() -> None:
    low, high, aside = (
        SpaceBox((0, 0, 0), (10, 10, 10)),
        SpaceBox((2, 2, 20), (8, 8, 30)),
        SpaceBox((20, 0, 0), (30, 10, 10)),
    )
    assert not low.beside(high, (0, 0, 1))
    assert low.beside(aside, (0, 0, 1))
    assert not low.beside(aside, (1, 0, 0))


def test_pulled_parts_are_clear_of_each_other(stand: tuple[Kit, Plan]) -> None:
    """But for the leg whose pull the author gives: it stays half in the slot of the other."""
    everyone = stood(*stand)
    rooms = [
        (one.standing.part, one.room.moved(by)) for one, by in zip(everyone, pulled_off(everyone, ()), strict=True)
    ]
    for (one, own), (other, room) in combinations(rooms, 2):
        apart = any(own.low[k] > room.high[k] - 1e-6 or room.low[k] > own.high[k] - 1e-6 for k in range(3))
        assert apart or {one, other} == {"leg-over", "leg-under"}


def test_the_order_of_putting_together_is_that_of_the_steps(stand: tuple[Kit, Plan]) -> None:
    parts = [one.standing.part for one in stood(*stand)]
    assert parts == ["leg-over", "leg-under", "foot", "foot", "foot", "foot", "ring", "top"]


def test_a_lead_ends_where_the_part_belongs(stand: tuple[Kit, Plan]) -> None:
    """It starts as far off as the part is pulled."""
    top = stood(*stand)[-1]
    leads = leads_of(top, (0.0, 0.0, 50.0), 7)
    assert [tuple(round(a - b, 6) for a, b in zip(lead.start, lead.end, strict=True)) for lead in leads] == [
        (0.0, 0.0, 50.0)
    ] * 2
    # The outermost points of a round top lie on its rim.
    assert pytest.approx([math.hypot(*lead.end[:2]) for lead in leads], rel=1e-3) == [130.0, 130.0]


def test_no_line_of_a_step_ends_in_the_air() -> None:
    """Where several parts of the nest box are laid out for a trial, only those lines are drawn that reach a part."""
    kit = sample("nest-box").kit
    everyone = stood(kit, sample("nest-box").plan)
    trial = [one for one in everyone if one.standing.part in ("front", "back", "floor")]
    by = pulled_off(trial, (), whole=False)
    leads = leads_to(list(zip(trial, by, strict=True)), ())
    still = [one.room for one, far in zip(trial, by, strict=True) if not any(far)]
    assert len(leads) < 2 * sum(any(far) for far in by)
    assert all(any(room.holds(lead.end) for room in still) for lead in leads)
    door = next(one for one in everyone if one.standing.part == "door")
    assert len(leads_to([(door, (60.0, 0.0, 0.0))], [one for one in everyone if one is not door])) == 2


def test_a_part_that_goes_onto_a_bought_thing_has_a_line_to_it() -> None:
    """The ring of the lamp belongs on the stem, which is bought: from its hole to the top of the stem, 319 mm long."""
    kit = sample("bedside-lamp").kit
    everyone = stood(kit, sample("bedside-lamp").plan)
    (stem,) = [one for one in kit.pictures.beside if one.use == "the stem"]
    pairs = list(zip(everyone, pulled_off(everyone, ()), strict=True))
    (base, _), (ring, far) = pairs
    (onto,) = leads_apart(pairs, [stem])
    assert leads_to([(ring, far)], [base], [stem]) == [onto]
    (room,) = rooms_of([stem])
    assert room.holds(onto.end)
    assert [b - a for a, b in zip(onto.end, onto.start, strict=True)] == pytest.approx(far)
    assert pytest.approx(319.0) == room.size[2]
    assert onto.end[:2] == pytest.approx(room.middle[:2], abs=0.1)
    assert len(leads_apart(pairs, ())) == 2  # with no stem shown, down from its rim


def test_every_step_of_a_kit_with_places_has_a_picture(stand: tuple[Kit, Plan]) -> None:
    """The same bytes each time; without places there is none."""
    kit, planned = stand
    shots = after_steps(kit, planned)
    assert all(shot is not None and max(shot.size) <= 862 for shot in shots)
    assert ends_with_a_part(kit)
    again = after_steps(replace(kit), planned)
    assert [_bytes(one) for one in shots] == [_bytes(one) for one in again]
    assert after_steps(replace(kit, together=()), planned) == (None,) * 4


def _bytes(image: Image.Image | None) -> bytes:
    out = io.BytesIO()
    assert image is not None
    image.save(out, "PNG")
    return out.getvalue()


def test_the_piece_pulled_apart(stand: tuple[Kit, Plan]) -> None:
    """Every part is found in the picture, inside it; the feet more than once."""
    kit, planned = stand
    apart = exploded_view(kit, planned)
    assert {part.key for part in kit.parts} == set(apart.spots)
    assert len(apart.spots["foot"]) > 1
    for spots in apart.spots.values():
        assert all(0 < x < apart.image.width and 0 < y < apart.image.height for x, y in spots)


def test_two_circles_make_a_ring() -> None:
    """An inside profile in a round part leaves a ring."""
    ring = part(
        operation(OperationKind.PROFILE, [circle((0, 0), 60)], 18.0, through=True, allowance=0.3, name="hole"),
        outside(circle((0, 0), 100)),
        outline=circle((0, 0), 100),
    )
    (layer,) = layers_of(ring, steps(ring))
    assert math.pi * (50**2 - 30**2) == pytest.approx(layer.area.area, rel=2e-3)
