"""Whether a kind of cutter can do the work: sides, floors, holes, plunging, chips."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.geometry.crowded import buffered
from kitforge.model.findings import Finding
from kitforge.model.kit import CutterKind, OperationKind, Side
from kitforge.model.messages import Message, mm, msg, point_mm
from kitforge.model.path import is_circle
from kitforge.model.plan import Plan
from kitforge.planning.areas import filled
from kitforge_cutterfit import kinds
from kitforge_cutterfit.uses import CutterUse

ROUNDED = (CutterKind.BALL_NOSE, CutterKind.BOWL)
# A drilled circle may differ from its cutter by this much, mm: common practice, no source.
HOLE_SLACK = 0.1
# A slot is deep, for a down-cut cutter, beyond this many diameters: common practice, no source.
DEEP_SLOT = 2.0
# The up-cut tip of a compression cutter is about one diameter long: common practice, no source.
UP_CUT_TIP = 1.0
SLACK = 0.01


def check_kind(use: CutterUse) -> Iterator[Finding]:
    """Yield kinds of cutters that cannot do the work, or that leave another shape than one expects."""
    wrong = _wrong(use.cutter.kind, use.operation.does)
    if wrong:
        yield use.found(
            kinds.CUTTER_WRONG_KIND,
            msg("{name}: {name_2} {wrong}.", name=use.name, name_2=use.cutter.name, wrong=wrong[0]),
            msg("Use {wrong}.", wrong=wrong[1]),
        )
        return
    odd = _odd(use)
    if odd:
        yield use.found(
            kinds.CUTTER_ODD_KIND,
            msg("{name}: {name_2} {odd}.", name=use.name, name_2=use.cutter.name, odd=odd[0]),
            odd[1],
        )


def _wrong(kind: CutterKind, does: OperationKind) -> tuple[Message, Message] | None:
    """Return why a kind of cutter cannot do a work at all, and what to use."""
    if kind is CutterKind.DRILL and does is not OperationKind.DRILL:
        return msg("is a drill; it breaks when it moves sideways"), msg("an end mill, or do: drill")
    if does is OperationKind.ENGRAVE and kind is not CutterKind.V_BIT:
        return msg("has no point to follow thin strokes with"), msg("a V-bit")
    if does is OperationKind.CHAMFER and kind is not CutterKind.V_BIT:
        return msg("has no slanting edge to cut a chamfer with"), msg("a V-bit")
    if does is OperationKind.POCKET and kind is CutterKind.V_BIT:
        instead = msg("an end mill for the pocket, do: groove for V-grooves or do: engrave for letters")
        return msg("cannot clear a flat floor with upright walls"), instead
    if does is OperationKind.DRILL and kind in (CutterKind.BOWL, CutterKind.SURFACING):
        return msg("is not made to plunge"), msg("a drill, or an end mill that cuts over its centre")
    return None


def _odd(use: CutterUse) -> tuple[Message, Message] | None:
    """Return what is unexpected in the shape a cutter leaves, and what to do."""
    kind, does = use.cutter.kind, use.operation.does
    if does is OperationKind.PROFILE and kind is CutterKind.V_BIT and use.operation.through:
        return msg("cuts right through with slanting edges"), msg("Use an end mill, or give the profile a depth.")
    if does in (OperationKind.POCKET, OperationKind.PROFILE) and kind in ROUNDED and use.last:
        return (
            msg("leaves a rounded edge where floor and wall meet"),
            msg("Use a flat end mill, or do: dish if the floor's edge should be rounded."),
        )
    if does is OperationKind.DISH and use.last and kind not in ROUNDED and use.cutter.corner_radius == 0:
        return (
            msg("leaves sharp floor edges, not the rounded ones of a dish"),
            msg("Use a ball nose or bowl cutter, or do: pocket."),
        )
    if does is OperationKind.DRILL and kind in ROUNDED and not use.operation.through:
        return msg("leaves holes with a rounded floor"), msg("Use a drill or a flat end mill, or do: dish for dimples.")
    if does is OperationKind.GROOVE and kind is CutterKind.BOWL:
        return msg("is made for dishes, not for grooves"), msg("Use a ball nose for a round groove.")
    if does is OperationKind.FACE and kind in (*ROUNDED, CutterKind.V_BIT):
        return msg("does not leave a flat face"), msg("Use a surfacing or a straight cutter.")
    if kind is CutterKind.SURFACING and does in (OperationKind.PROFILE, OperationKind.GROOVE):
        return msg("is made for faces, not for slots"), msg("Use an end mill.")
    return None


def check_holes(use: CutterUse) -> Iterator[Finding]:
    """Yield drilled circles of another size than the cutter."""
    if use.operation.does is not OperationKind.DRILL or use.cutter.kind is CutterKind.V_BIT:
        return
    for path in use.operation.shapes:
        found = is_circle(path, 1e-3)
        if found and abs(2 * found[2] - use.cutter.diameter) > HOLE_SLACK:
            x, y, radius = found
            yield use.found(
                kinds.HOLE_SIZE,
                msg(
                    "{name}: the circle at {at} is {radius} wide, but the cutter drills {diameter}.",
                    name=use.name,
                    at=point_mm((x, y)),
                    radius=mm(2 * radius),
                    diameter=mm(use.cutter.diameter),
                ),
                msg("Drill with a cutter of that size, or cut the hole with a profile inside it."),
                at=(x, y),
            )


def check_plunging(use: CutterUse) -> Iterator[Finding]:
    """Yield cutters that cannot cut over their centre where they would have to, or have no room to ramp down."""
    cutter, operation = use.cutter, use.operation
    if cutter.centre_cutting or cutter.kind in (CutterKind.DRILL, CutterKind.V_BIT):
        return
    if operation.points:
        yield use.found(
            kinds.NO_CENTRE_CUT,
            msg(
                "{name}: {name_2} does not cut over its centre, but has to plunge at {count} point(s).",
                name=use.name,
                name_2=cutter.name,
                count=len(operation.points),
            ),
            msg("Use a drill, or an end mill that cuts over its centre."),
            at=operation.points[0],
        )
    if operation.does is OperationKind.FACE:
        return
    room = _ramp_room(use)
    if room is not None and room[0] < cutter.diameter - SLACK:
        yield use.found(
            kinds.NO_ROOM_TO_RAMP,
            msg(
                "{name}: {name_2} cannot plunge, and to ramp down it finds a way of {room}, where one "
                "diameter ({diameter}) is the least.",
                name=use.name,
                name_2=cutter.name,
                room=mm(room[0]),
                diameter=mm(cutter.diameter),
            ),
            msg("Use an end mill that cuts over its centre, or a smaller cutter."),
            at=room[1],
        )


def _ramp_room(use: CutterUse) -> tuple[float, tuple[float, float]] | None:
    """Return the shortest way a cutter finds to ramp down in any shape, mm, and where; None if it has no shape."""
    operation, radius = use.operation, use.cutter.radius + use.wish.leave_walls
    found: list[tuple[float, tuple[float, float]]] = []
    if operation.does in (OperationKind.POCKET, OperationKind.DISH) or (
        operation.does is OperationKind.PROFILE and operation.side is Side.INSIDE
    ):
        for area in filled(operation.shapes).geoms:
            ways = buffered(area, -radius)
            if not ways.is_empty:
                left, bottom, right, top = ways.bounds
                centre = ways.representative_point()
                found.append((((right - left) ** 2 + (top - bottom) ** 2) ** 0.5, (centre.x, centre.y)))
    else:
        found = [(path.length, path.start) for path in operation.shapes]
    return min(found, default=None)


def check_chips(use: CutterUse, plan: Plan) -> Iterator[Finding]:
    """Yield down-cut cutters in deep slots and compression cutters that start too shallow."""
    cutter = use.cutter
    if cutter.kind is CutterKind.DOWN_CUT and _is_slot(use) and use.depth > DEEP_SLOT * cutter.diameter + SLACK:
        yield use.found(
            kinds.CHIPS_PACKED,
            msg(
                "{name}: a down-cut cutter of {diameter} in a slot {depth} deep packs the chips under "
                "itself; they can heat up and lift the part.",
                name=use.name,
                diameter=mm(cutter.diameter),
                depth=mm(use.depth),
            ),
            msg("Stop between passes to clear the slot, or rough with an up-cut cutter."),
        )
    if cutter.kind is CutterKind.COMPRESSION:
        yield from _first_pass(use, plan)


def _is_slot(use: CutterUse) -> bool:
    return use.operation.does in (OperationKind.GROOVE, OperationKind.PROFILE)


def _first_pass(use: CutterUse, plan: Plan) -> Iterator[Finding]:
    tip = UP_CUT_TIP * use.cutter.diameter
    keys = [s.key for s in plan.steps if s.operation is use.operation and s.cutter is use.cutter]
    first = [
        (min(machine.settings[key].depth_per_pass.start, use.depth), machine.machine.name)
        for machine in plan.machines
        for key in keys
        if key in machine.settings
    ]
    shallow = [(depth, name) for depth, name in first if depth < tip - SLACK]
    if shallow:
        depth, name = min(shallow)
        yield use.found(
            kinds.FIRST_PASS_SHALLOW,
            msg(
                "{name}: the first pass goes {depth} deep on {name_2}, but the up-cut tip of a compression "
                "cutter is about one diameter ({tip}) long: the top edge is cut upwards and can fray.",
                name=use.name,
                depth=mm(depth),
                name_2=name,
                tip=mm(tip),
            ),
            msg("Make the first pass deeper than the tip, or use a down-cut cutter there."),
        )
