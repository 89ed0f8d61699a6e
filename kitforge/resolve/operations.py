"""Operations as written to records: depths, sides, passes, holding and overrides, with the defaults put in."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from kitforge.cutting.shape import point_length
from kitforge.definition import kinds
from kitforge.definition.operations import (
    AnyOperation,
    ChamferEntry,
    DrillEntry,
    EngraveEntry,
    GrooveEntry,
    HoldEntry,
    OperationEntry,
    OverrideEntry,
    PassEntry,
    PocketEntry,
    ProfileEntry,
)
from kitforge.definition.positions import Place
from kitforge.definition.values import Raw
from kitforge.geometry.corners import Side as CutSide
from kitforge.geometry.relief import Style, corner_relief, relief_radius
from kitforge.lettering.typeface import LetteringError
from kitforge.model.errors import refusal
from kitforge.model.kit import (
    Cutter,
    CutterKind,
    Face,
    OnionSkin,
    Operation,
    OperationKind,
    Override,
    PassOptions,
    Side,
    Tabs,
)
from kitforge.model.messages import Message, Quantity, msg
from kitforge.model.path import Path, is_circle
from kitforge.model.workshop import MachineClass
from kitforge.planning.engraving import engraving_of
from kitforge.resolve.same_line import SAME_PLACE, same_line
from kitforge.resolve.shapes import ResolvedShapes, ShapeResolver
from kitforge.resolve.values import NAN, ResolveContext, TableName, ValueRange, label, title_of

TAB_WIDTH = 8.0
TAB_HEIGHT = 3.0
# How far the full diameter of a drill comes out below, mm, and the usual point angle: common practice, no source.
DRILL_ALLOWANCE = 0.5
DRILL_ANGLE = 118.0
ROUGHING_WALLS = 0.5
ROUGHING_FLOOR = 0.3
_AS_THICK = 0.01
_ALLOWANCE = ValueRange(0.0, 5.0)
_LEAVE = ValueRange(0.0, 10.0)
_OF_THIS_KIT = TableName("machine class of this kit")
_SPEED = ValueRange(100.0, 60_000.0)
T = TypeVar("T")


@dataclass(frozen=True)
class OperationResolver:
    """What the operations of one part are resolved with. thick: the measured thickness of its stock, mm."""

    sheet: ResolveContext
    part: str
    thick: float
    outline: Path | None
    cutters: Mapping[str, Cutter]
    machines: Mapping[str, MachineClass]
    draughtsman: ShapeResolver

    def operation(self, entry: AnyOperation, place: Place) -> Operation | None:
        """Return the operation, or None where its cutter is unknown."""
        sheet, does = self.sheet, OperationKind(entry.do)
        drawn = self.draughtsman.draw_all(entry.shapes, (*place, "shapes"))
        cutter = sheet.look_up(self.cutters, entry.cutter, msg("cutter"), *place, "cutter")
        roughing = self._pass(entry.roughing, cutter, place, "roughing", does)
        finishing = self._pass(entry.finishing or PassEntry(), cutter, place, "finishing", does)
        overrides = self._overrides(entry, cutter, place)
        if cutter is None or finishing is None:
            return None
        finishing = finishing if entry.finishing else PassOptions(cutter)
        width = self._width(entry, finishing.cutter, place)
        shapes, points = self._shapes(entry, does, drawn, finishing.cutter, place)
        depth, through = self._depth(entry, finishing.cutter, width, place)
        greatest = depth if isinstance(entry, EngraveEntry) and entry.depth is not None else None
        if isinstance(entry, EngraveEntry):
            depth = self._engraved(shapes, finishing.cutter, greatest, place)
        side = self._side(entry, shapes, place)
        frees = does is OperationKind.PROFILE and through and side is not Side.INSIDE and self._has_outline(shapes)
        relief = entry.corner_relief if isinstance(entry, PocketEntry | ProfileEntry) else None
        unrelieved = shapes if relief is not None else ()
        if relief is not None:
            shapes = self._relieved(shapes, relief, side, finishing.cutter, place)
        return Operation(
            name=entry.name,
            title=entry.title or title_of(entry.name),
            does=does,
            part=self.part,
            shapes=shapes,
            points=points,
            depth=depth,
            through=through,
            allowance=self._allowance(entry, finishing.cutter, through, place),
            face=Face(entry.face),
            side=side,
            roughing=roughing,
            finishing=finishing,
            source=sheet.where.of(*place),
            hold=self._hold(entry, through, frees, place),
            frees=frees,
            overrides=overrides,
            note=entry.note,
            relief=relief,
            width=width,
            greatest=greatest,
            unrelieved=unrelieved,
        )

    def _engraved(self, shapes: tuple[Path, ...], cutter: Cutter, greatest: float | None, place: Place) -> float:
        """Return how deep an engraving goes at its deepest point, mm."""
        sheet = self.sheet
        if cutter.kind is not CutterKind.V_BIT:
            message = msg(
                "{place}: engraving needs a V-bit, and '{key}' is none.",
                place=label((*place, "cutter")),
                key=cutter.key,
            )
            advice = msg("Name a cutter of kind v-bit, or write `do: pocket`.")
            sheet.report(kinds.CUTTER_UNFIT, (*place, "cutter"), message, advice, part=self.part)
            return NAN
        if sheet.failures or not any(path.closed for path in shapes):
            return greatest or cutter.radius  # nothing to engrave; that shapes are open is for the checks to say
        try:
            return engraving_of(shapes, cutter, greatest).deepest
        except LetteringError as error:
            at = (*place, "shapes")
            sheet.report(
                kinds.BAD_SHAPE,
                at,
                msg("{place}: {error}", place=label(at), error=error.message),
                msg("Use simpler shapes."),
                part=self.part,
            )
            return NAN
        except ValueError:
            return greatest or cutter.radius  # shapes that cross are for the checks to say

    def _relieved(
        self, shapes: tuple[Path, ...], style: Style, side: Side, cutter: Cutter, place: Place
    ) -> tuple[Path, ...]:
        """Return the shapes with every inside corner of the area that is cut opened for the cutter."""
        where: CutSide = "outside" if side is Side.OUTSIDE else "inside"
        relieved = []
        for path in shapes:
            try:
                relieved.append(corner_relief(path, relief_radius(cutter.radius), style, side=where))
            except ValueError as error:
                message = msg("{place}: {error}.", place=label((*place, "corner_relief")), error=refusal(error))
                advice = msg("Use a smaller cutter, the other kind of relief, or none.")
                self.sheet.report(kinds.BAD_SHAPE, (*place, "corner_relief"), message, advice, part=self.part)
        return tuple(relieved)

    def _pass(
        self, entry: PassEntry | None, cutter: Cutter | None, place: Place, which: str, does: OperationKind
    ) -> PassOptions | None:
        """Return one pass, with the operation's own cutter unless it names another."""
        if entry is None:
            return None
        sheet, at = self.sheet, (*place, which)
        if entry.cutter is not None:
            cutter = sheet.look_up(self.cutters, entry.cutter, msg("cutter"), *at, "cutter")
        if cutter is None:
            return None
        walls = sheet.optional_length(entry.leave_walls, *at, "leave_walls", within=_LEAVE)
        floor = sheet.optional_length(entry.leave_floor, *at, "leave_floor", within=_LEAVE)
        if which == "finishing":
            self._leaves_nothing(walls, floor, at)
            walls = floor = 0.0
        has_floor = does in (OperationKind.POCKET, OperationKind.DISH, OperationKind.FACE)
        return PassOptions(
            cutter,
            sheet.share(entry.stepover, cutter.diameter, *at, "stepover"),
            self._depth_per_pass(entry.depth_per_pass, cutter, at),
            ROUGHING_WALLS if walls is None else walls,
            (ROUGHING_FLOOR if has_floor else 0.0) if floor is None else floor,
            sheet.optional_length(entry.cusp, *at, "cusp", within=ValueRange(0.001, 5.0)),
        )

    def _leaves_nothing(self, walls: float | None, floor: float | None, at: Place) -> None:
        for key, value in (("leave_walls", walls), ("leave_floor", floor)):
            if value:
                message = msg("{place}: the last pass leaves nothing behind.", place=label((*at, key)))
                self.sheet.report(kinds.WRONG_VALUE, (*at, key), message, msg("Write {key} under roughing.", key=key))

    def _depth_per_pass(self, raw: Raw | None, cutter: Cutter, at: Place) -> float | None:
        within = (
            ValueRange(0.05, max(cutter.cutting_length, 0.05)) if cutter.cutting_length > 0 else ValueRange(0.05, 150.0)
        )
        return self.sheet.optional_length(raw, *at, "depth_per_pass", within=within)

    def _overrides(self, entry: OperationEntry, cutter: Cutter | None, place: Place) -> tuple[Override, ...]:
        written = entry.settings
        if written is None:
            return ()
        if isinstance(written, OverrideEntry):
            return (self._override(written, cutter, (*place, "settings")),)
        return tuple(self._override(one, cutter, (*place, "settings", index)) for index, one in enumerate(written))

    def _override(self, entry: OverrideEntry, cutter: Cutter | None, at: Place) -> Override:
        sheet = self.sheet
        named = [
            sheet.entry(self.machines, name, _OF_THIS_KIT, *at, "machines", index)
            for index, name in enumerate(entry.machines)
        ]
        return Override(
            machines=tuple(machine.key for machine in named if machine is not None),
            source=sheet.where.of(*at),
            speed=sheet.optional_number(entry.speed, *at, "speed", within=_SPEED, unit=" min-1"),
            feed=sheet.feed(entry.feed, *at, "feed"),
            plunge=sheet.feed(entry.plunge, *at, "plunge"),
            depth_per_pass=self._depth_per_pass(entry.depth_per_pass, cutter, at) if cutter else None,
            stepover=sheet.share(entry.stepover, cutter.diameter, *at, "stepover") if cutter else None,
        )

    def _width(self, entry: AnyOperation, cutter: Cutter, place: Place) -> float | None:
        """Return the width at the face that a groove or chamfer asks for, mm."""
        raw = entry.width if isinstance(entry, GrooveEntry | ChamferEntry) else None
        if raw is None:
            return None
        width = self.sheet.length(raw, *place, "width", within=ValueRange(0.05, 100.0))
        if cutter.kind is not CutterKind.V_BIT:
            message = msg(
                "{place}: a width needs a V-bit, and '{key}' is none.", place=label((*place, "width")), key=cutter.key
            )
            advice = msg("Write `depth`, or name a cutter of kind v-bit.")
            self.sheet.report(kinds.CUTTER_UNFIT, (*place, "cutter"), message, advice, part=self.part)
            return NAN
        if isinstance(entry, GrooveEntry) and width <= cutter.tip:
            show = self.sheet.show
            message = msg(
                "{place}: the tip of '{key}' alone is {tip} wide.",
                place=label((*place, "width")),
                key=cutter.key,
                tip=show(cutter.tip),
            )
            self.sheet.report(kinds.CUTTER_UNFIT, (*place, "width"), message, msg("Use a V-bit with a smaller tip."))
            return NAN
        return width

    def _depth(self, entry: AnyOperation, cutter: Cutter, width: float | None, place: Place) -> tuple[float, bool]:
        """Return the depth in mm and whether the cut goes through."""
        raw = None if isinstance(entry, ChamferEntry) else entry.depth
        thick = self.thick
        if raw == "through":
            return thick, True
        if raw is None:
            depth = NAN if isinstance(entry, EngraveEntry) else v_depth(entry, cutter, width or NAN)
        else:
            depth = self.sheet.length(raw, *place, "depth", within=ValueRange(0.05, 300.0))
        may_go_through = isinstance(entry, PocketEntry | DrillEntry | ProfileEntry)
        if may_go_through and abs(depth - thick) <= _AS_THICK:
            return thick, True
        return depth, False

    def _allowance(self, entry: AnyOperation, cutter: Cutter, through: bool, place: Place) -> float:
        """Return how far a through cut goes into the spoilboard, mm; a drill's point has to come out whole."""
        if not isinstance(entry, PocketEntry | DrillEntry | ProfileEntry) or not through:
            return 0.0
        if entry.through_allowance is None:
            return DRILL_ALLOWANCE + point_length(cutter.diameter, cutter.angle or DRILL_ANGLE)
        return self.sheet.length(entry.through_allowance, *place, "through_allowance", within=_ALLOWANCE)

    def _shapes(
        self, entry: AnyOperation, does: OperationKind, drawn: ResolvedShapes, cutter: Cutter, place: Place
    ) -> tuple[tuple[Path, ...], tuple[tuple[float, float], ...]]:
        """Return the paths and points that the operation works on."""
        if isinstance(entry, DrillEntry):
            return (), (*drawn.points, *self._circle_centres(drawn, cutter, place))
        if drawn.points and does is not OperationKind.DISH:
            message = msg(
                "{place}: {count} points, which only drill and dish use.",
                place=label((*place, "shapes")),
                count=len(drawn.points),
            )
            self.sheet.report(kinds.SHAPE_UNFIT, (*place, "shapes"), message, msg("Remove them."), part=self.part)
        if not entry.shapes and isinstance(entry, ProfileEntry | ChamferEntry):
            return ((self.outline,) if self.outline is not None else ()), ()
        return drawn.paths, drawn.points

    def _circle_centres(self, drawn: ResolvedShapes, cutter: Cutter, place: Place) -> list[tuple[float, float]]:
        circles = [(path, is_circle(path, 0.005)) for path in drawn.paths]
        others = [path for path, circle in circles if circle is None]
        found = [circle for _, circle in circles if circle is not None]
        at = (*place, "shapes")
        if others:
            message = msg("{place}: a line near {near} is no circle.", place=label(at), near=_near(others[0]))
            advice = msg("A drill operation takes points and circles.")
            self.sheet.report(kinds.SHAPE_UNFIT, at, message, advice, part=self.part)
        for diameter in sorted({round(2 * radius, 2) for _, _, radius in found}):
            if abs(diameter - cutter.diameter) > SAME_PLACE:
                show = self.sheet.show
                message = msg(
                    "{place}: circles of {diameter} are drawn, but the holes will be as wide as the cutter '{key}', "
                    "{diameter_2}.",
                    place=label(at),
                    diameter=show(diameter),
                    key=cutter.key,
                    diameter_2=show(cutter.diameter),
                )
                advice = msg("Use a cutter of the hole's diameter, or a pocket.")
                self.sheet.report(kinds.CUTTER_UNFIT, at, message, advice, part=self.part)
        return [(x, y) for x, y, _ in found]

    def _side(self, entry: AnyOperation, shapes: tuple[Path, ...], place: Place) -> Side:
        """Return where the cutter runs: outside the part's outline, inside other closed lines, on open ones."""
        if isinstance(entry, ChamferEntry):
            return Side(entry.side)
        if not isinstance(entry, ProfileEntry):
            return Side.ON if isinstance(entry, GrooveEntry) else Side.INSIDE
        if entry.side is not None:
            return Side(entry.side)
        sides = {self._own_side(path) for path in shapes} if entry.shapes else {Side.OUTSIDE}
        if len(sides) > 1:
            message = msg("{place}: its lines would be cut on different sides.", place=label(place))
            advice = msg("Write `side`, or make one operation for each side.")
            self.sheet.report(kinds.MISSING_KEY, place, message, advice, part=self.part)
        return sides.pop() if sides else Side.OUTSIDE

    def _own_side(self, path: Path) -> Side:
        if not path.closed:
            return Side.ON
        return Side.OUTSIDE if self._is_outline(path) else Side.INSIDE

    def _has_outline(self, shapes: tuple[Path, ...]) -> bool:
        return any(self._is_outline(path) for path in shapes)

    def _is_outline(self, path: Path) -> bool:
        return self.outline is not None and same_line(path, self.outline)

    def _hold(self, entry: AnyOperation, through: bool, frees: bool, place: Place) -> Tabs | OnionSkin | None:
        written = entry.hold if isinstance(entry, PocketEntry | ProfileEntry) else None
        thick = self.thick
        if written is None:
            return Tabs(None, TAB_WIDTH, min(TAB_HEIGHT, thick / 2), open_width=True) if frees else None
        at = (*place, "hold")
        hold = self._written_hold(written, at)
        if not through:
            message = msg("{place}: the cut does not go through, so that nothing comes loose.", place=label(at))
            self.sheet.report(
                kinds.HOLD_UNUSED, at, message, msg("Remove `hold`, or write `depth: through`."), part=self.part
            )
            return None
        return hold

    def _written_hold(self, entry: HoldEntry, at: Place) -> Tabs | OnionSkin:
        sheet, thick = self.sheet, self.thick
        below = ValueRange(0.1, max(0.1, thick - 0.1) if thick > 0 else 100.0)
        if entry.onion_skin is not None:
            return OnionSkin(sheet.length(entry.onion_skin, *at, "onion_skin", within=below))
        tabs = entry.tabs
        assert tabs is not None
        at = (*at, "tabs")
        width = sheet.length(tabs.width, *at, "width", within=ValueRange(1.0, 100.0))
        height = min(TAB_HEIGHT, thick / 2) if thick > 0 else TAB_HEIGHT
        if "height" in tabs.model_fields_set:
            height = sheet.length(tabs.height, *at, "height", within=below)
        if tabs.at and tabs.count is not None and tabs.count != len(tabs.at):
            message = msg(
                "{place}: {count} tabs, but {count_2} places.",
                place=label((*at, "count")),
                count=tabs.count,
                count_2=len(tabs.at),
            )
            sheet.report(kinds.PLACE_COUNT, (*at, "count"), message, msg("Leave out `count`."), part=self.part)
        open_width = "width" not in tabs.model_fields_set
        return Tabs(len(tabs.at) or tabs.count, width, height, sheet.points(tabs.at, *at, "at"), open_width)


def v_depth(entry: AnyOperation, cutter: Cutter, width: float) -> float:
    """Return the depth in mm at which a V-bit makes a groove or chamfer of `width` mm.

    A cone of included angle A with a flat tip t is t + 2 d tan(A/2) wide at the depth d; a chamfer uses one flank.
    """
    if cutter.angle is None:
        return NAN
    slope = math.tan(math.radians(cutter.angle) / 2)
    return (width - cutter.tip) / (2 * slope) if isinstance(entry, GrooveEntry) else width / slope


def _near(path: Path) -> Message:
    x, y = (Quantity(value, "", 1, padded=True) for value in path.start)
    return msg("({x}, {y}) mm", x=x, y=y)
