"""Fit coupons: an angle of the kit's own stock with slots like those of a joint, from tight to loose.

The slots of one arm are so wide along x, those of the other along y: an axis that has lost motion cuts the ones or the
others tighter. The piece is a part as any other, of a kit of its own, so that it is laid out, held, planned and checked
as the parts are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

from kitforge.geometry.relief import Style, corner_relief, relief_radius
from kitforge.geometry.shapes import PolylineVertex, polyline, rectangle
from kitforge.language import FixedText, later
from kitforge.model.coupon import CouponSlot, CouponWish
from kitforge.model.datum import AS_IT_CAME
from kitforge.model.errors import RefusedValueError
from kitforge.model.kit import Face, Kit, Operation, OperationKind, Part, Side, Stock, Tabs
from kitforge.model.messages import mm, msg
from kitforge.model.path import Path
from kitforge.model.pictures import PictureWishes

# Slots are so deep, walls between them so thick at least, and so much wood is behind them, mm. Notches mark the slot
# as drawn; they have this radius, or a fifth more than the cutter's (choices of taste: a wall of 12 mm does not bend
# under a hand's push).
_DEEP, _WALL, _BEHIND, _END = 30.0, 12.0, 20.0, 16.0
_NOTCH, _ROUNDER = 4.0, 1.2
_AROUND = 25.0
_HAIR = 1e-6


def slots_for(wish: CouponWish, drawn: float) -> tuple[CouponSlot, ...]:
    """Return the slots of a coupon, tightest first; drawn: how wide the slot of the kit is, mm."""
    middle = (wish.slots + 1) // 2
    offsets = [(number, round((number - middle) * wish.step, 6)) for number in range(1, wish.slots + 1)]
    return tuple(CouponSlot(number, drawn + offset, offset) for number, offset in offsets)


def coupon_kit(kit: Kit, wish: CouponWish, slots: Sequence[CouponSlot]) -> tuple[Kit, tuple[tuple[float, float], ...]]:
    """Return a kit of the coupon alone, and where its slots are, those along x first.

    Raises ValueError where the step of the joint cannot cut such slots.
    """
    part = kit.part(wish.part)
    like, freeing = part.operation(wish.feature), _freeing(part)
    if like.does not in (OperationKind.POCKET, OperationKind.PROFILE) or like.whole:
        raise RefusedValueError(msg("a coupon can copy a pocket or a profile, and '{name}' is neither", name=like.name))
    cutter = max(like.cutter.diameter, like.roughing.cutter.diameter if like.roughing else 0.0)
    if slots[0].width <= cutter + _HAIR:
        raise RefusedValueError(
            msg(
                "the cutter of {cutter} does not go into the tightest slot, {width}",
                cutter=mm(cutter),
                width=mm(slots[0].width),
            )
        )
    comb = like.does is OperationKind.PROFILE and like.side is Side.OUTSIDE
    radius = max(like.cutter.radius, freeing.cutter.radius)
    starts = list(itertools.accumulate([one.width + _wall(part) for one in slots], initial=_DEEP + _BEHIND))
    outline = _angle(starts, slots, radius, comb=comb, wall=_wall(part))
    operations = _operations(like, freeing, outline, [] if comb else _closed(starts, slots), part.stock)
    stock = _stock(part.stock, outline, radius, f"coupon-{wish.key}")
    piece = Part(
        stock.key, FixedText(later("Fit coupon")), stock, 1, outline,
        tuple(replace(one, part=stock.key) for one in operations), wish.source, wish.source,
    )  # fmt: skip
    places = [(start + one.width / 2, 0.0) for start, one in zip(starts, slots, strict=False)]
    return _alone(kit, piece, part.stock), (*places, *((y, x) for x, y in places))


def _wall(part: Part) -> float:
    return max(_WALL, part.stock.actual)


def _freeing(part: Part) -> Operation:
    found = next((one for one in part.operations if one.frees), None)
    if found is None:
        raise RefusedValueError(
            msg("no profile cuts '{part}' out of its stock, so that none can do so here", part=part.key)
        )
    return found


def _angle(starts: Sequence[float], slots: Sequence[CouponSlot], radius: float, *, comb: bool, wall: float) -> Path:
    """Return the outline of the coupon: two arms that meet at the origin, counter-clockwise."""
    arm, end = _DEEP + _BEHIND, starts[-1] - wall + _END
    notch, turned = max(_NOTCH, _ROUNDER * radius), max(10.0, 1.5 * radius)
    middle = starts[len(slots) // 2] + slots[len(slots) // 2].width / 2
    teeth = (
        [
            point
            for start, one in zip(starts, slots, strict=False)
            for point in ((start, 0.0), (start, _DEEP), (start + one.width, _DEEP), (start + one.width, 0.0))
        ]
        if comb
        else []
    )
    corners: list[Sequence[float] | PolylineVertex] = [(0.0, 0.0), *teeth, (end, 0.0), (end, arm)]
    corners += [(middle + notch, arm), PolylineVertex(middle - notch, arm, through=(middle, arm - notch))]
    corners += [PolylineVertex(arm, arm, radius=turned), (arm, middle - notch)]
    corners += [PolylineVertex(arm, middle + notch, through=(arm - notch, middle)), (arm, end), (0.0, end)]
    corners += [(y, x) for x, y in reversed(teeth)]
    return polyline(corners, closed=True)


def _closed(starts: Sequence[float], slots: Sequence[CouponSlot]) -> list[Path]:
    """Return slots that are closed all around, those along x first."""
    low = _BEHIND / 2
    along = [rectangle((one.width, _DEEP), at=(start, low)) for start, one in zip(starts, slots, strict=False)]
    across = [rectangle((_DEEP, one.width), at=(low, start)) for start, one in zip(starts, slots, strict=False)]
    return [*along, *across]


def _operations(
    like: Operation, freeing: Operation, outline: Path, slots: Sequence[Path], stock: Stock
) -> list[Operation]:
    """Return what is done to a coupon: the step of the joint on its slots, and the cut that frees the piece."""
    if not slots:
        return [_copied(like, [outline], stock, frees=True)]
    return [_copied(like, slots, stock), _copied(freeing, [outline], stock, frees=True)]


def _copied(like: Operation, shapes: Sequence[Path], stock: Stock, *, frees: bool = False) -> Operation:
    plain = tuple(shapes)
    side = "outside" if like.side is Side.OUTSIDE else "inside"
    styles: dict[str, Style] = {"dog-bone": "dog-bone", "t-bone": "t-bone"}
    style = styles.get(like.relief or "")
    cut = (
        plain
        if style is None
        else tuple(corner_relief(one, relief_radius(like.cutter.radius), style, side=side) for one in plain)  # type: ignore[arg-type]
    )
    hold = replace(like.hold, at=(), count=None) if isinstance(like.hold, Tabs) else like.hold
    return replace(
        like,
        shapes=cut,
        unrelieved=plain if style is not None else (),
        face=Face.TOP,
        datum=AS_IT_CAME,
        depth=stock.actual if like.through else min(like.depth, stock.actual),
        hold=hold,
        frees=frees,
    )


def _stock(like: Stock, outline: Path, radius: float, key: str) -> Stock:
    """Return the piece of the kit's stock that the coupon is cut from, a whole number of centimetres."""
    box, around = outline.bounds, _AROUND + 2 * radius
    length, width = (10.0 * math.ceil((size + 2 * around) / 10) for size in (box.width, box.height))
    return replace(
        like,
        key=key,
        title=msg("Piece for the fit coupon"),
        length=length,
        width=width,
        count=None,
        prepare=(),
        ladder=None,
        margin=min(like.margin, around - radius),
    )


def _alone(kit: Kit, piece: Part, stock: Stock) -> Kit:
    setup = replace(kit.setup(stock.key, _face_of(kit, stock)), stock=piece.stock.key, face=Face.TOP)
    cutters = {one.cutter.key: one.cutter for one in piece.operations}
    return replace(
        kit,
        stock={piece.stock.key: piece.stock},
        cutters=cutters,
        parts=(piece,),
        setups=(replace(setup, fasteners=(), clamps=()),),
        hardware=(),
        assembly=(),
        notes=(),
        problems=(),
        needs=(),
        together=(),
        pictures=PictureWishes(),
        layout=(),
        trials=(),
    )


def _face_of(kit: Kit, stock: Stock) -> Face:
    """Return the first face of a stock that is cut."""
    return next(one.face for one in kit.setups if one.stock == stock.key)
