"""Parts and steps for the surface tests, built by hand. Invented data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kitforge.geometry.shapes import circle, rectangle, slot
from kitforge.model.findings import Source
from kitforge.model.info import KitInfo
from kitforge.model.kit import (
    Cutter,
    CutterKind,
    Face,
    Finishing,
    Grain,
    Kit,
    Operation,
    OperationKind,
    Part,
    PassOptions,
    Side,
    Stock,
    Tabs,
)
from kitforge.model.path import Path
from kitforge.model.plan import MachinePlan, Plan
from kitforge.model.settings import Limit, Manner, WayDown, Window
from kitforge.model.steps import Step, StepSettings
from kitforge.model.workshop import Span
from kitforge.planning.facing import with_datums
from kitforge.planning.layout import lay_out
from kitforge.planning.order import numbered, turns_of
from kitforge.planning.steps import steps_of
from kitforge.workshop.load import load_workshop

HERE = Source("kit.yaml", 1, 1)
WORKSHOP = load_workshop()


def cutter(diameter: float = 6.0, kind: CutterKind = CutterKind.UP_CUT, **more: object) -> Cutter:
    """Return a cutter that is long enough and has a shank as thick as it cuts."""
    plain = Cutter(f"{kind}-{diameter:g}", f"{diameter:g} mm {kind}", kind, diameter, 32.0, diameter, 70.0, 2, HERE)
    return replace(plain, **more)  # type: ignore[arg-type]


BALL = cutter(6.0, CutterKind.BALL_NOSE)
V60 = cutter(12.7, CutterKind.V_BIT, angle=60.0)
BOWL = cutter(19.05, CutterKind.BOWL, corner_radius=6.35)


def stock(material: str = "sugar_maple", thickness: float = 18.0) -> Stock:
    """Return a piece of stock."""
    return Stock("blank", "Blank", WORKSHOP.materials[material], thickness, thickness, 600, 800, Grain.LENGTH, HERE)


def operation(
    does: OperationKind, shapes: Iterable[Path] = (), depth: float = 6.0, tool: Cutter | None = None, **more: object
) -> Operation:
    """Return an operation; `stepover` is passed on to its only pass."""
    wish = PassOptions(tool or cutter(), stepover=more.pop("stepover", None))  # type: ignore[arg-type]
    plain = Operation(
        does.value, does.value.capitalize(), does, "board", tuple(shapes), (), depth, False, 0.0,
        Face.TOP, Side.INSIDE, None, wish, HERE,
    )  # fmt: skip
    return replace(plain, **more)  # type: ignore[arg-type]


def outside(outline: Path, tool: Cutter | None = None, thickness: float = 18.0, **more: object) -> Operation:
    """Return the through cut along an outline that frees the part."""
    settled: dict[str, object] = {"through": True, "allowance": 0.3, "side": Side.OUTSIDE, "frees": True} | more
    return operation(OperationKind.PROFILE, [outline], thickness, tool or cutter(), name="outline", **settled)


def part(*operations: Operation, outline: Path | None = None, of: Stock | None = None) -> Part:
    """Return a part with operations of different names."""
    own = tuple(replace(item, name=f"{item.name}-{number}") for number, item in enumerate(operations, 1))
    return Part("board", "Board", of or stock(), 1, outline or rectangle((100, 80)), own, HERE, HERE)


def kit(*parts: Part, order_as_written: bool = False) -> Kit:
    """Return a kit of parts."""
    info = KitInfo("Kit", "kit", "1.0", "Somebody", "CC-BY-4.0", "A kit.", "beginner", "mm")
    pieces = {item.stock.key: item.stock for item in parts}
    finishing = Finishing((), None, None, ())
    settled = with_datums(parts, as_written=order_as_written)
    return Kit(info, pieces, {}, settled, (), (), finishing, (), (), (), order_as_written, HERE)


def steps(of: Part, *, as_written: bool = True) -> Sequence[Step]:
    """Return the steps of a part, in the order written or in the planned one."""
    whole = kit(of)
    written = steps_of(whole)
    return written if as_written else numbered(turns_of(whole, written, lay_out(whole)), written)


def on_a_class(order: Iterable[Step], stick_out: float, nut: float = 19.0) -> Plan:
    """Return a plan of one machine class on which every cutter stands `stick_out` mm out of the nut."""
    limit = Limit(1.0, "test", "A value of the test.")
    one = Window("", 1.0, 1.0, 1.0, "mm", limit, limit, "test")
    held = StepSettings(
        one, one, one, one, None, 1, WayDown(Manner.RAMP, 1.0), stick_out, 0.04, 20, 5, 50, 0.01, None, (10, 20)
    )
    machine = replace(WORKSHOP.machines["medium_router"], nut=Span(nut, nut))
    steps = tuple(order)
    return Plan(steps, (), (), (MachinePlan(machine, (), {step.key: held for step in steps}),))


def game_board(size: float = 200.0) -> Part:
    """Return a game board: V-lines in three squares, ball dimples, a rounded tray, chamfer and outline with tabs."""
    outline = rectangle((size + 60, size), corner_radius=10)
    middle = size / 2
    squares = [
        rectangle((2 * half, 2 * half), centre=(middle, middle)) for half in (0.4 * size, 0.27 * size, 0.13 * size)
    ]
    dots = tuple(
        (middle + a * half, middle + b * half)
        for half in (0.4 * size, 0.27 * size, 0.13 * size)
        for a in (-1, 0, 1)
        for b in (-1, 0, 1)
        if a or b
    )
    bowl = replace(BOWL, diameter=12.7, corner_radius=5.0)
    return part(
        operation(OperationKind.GROOVE, squares, 1.5, V60, name="lines"),
        operation(OperationKind.DISH, (), 2.5, cutter(12.7, CutterKind.BALL_NOSE), points=dots, name="dimples"),
        operation(
            OperationKind.DISH,
            [slot((size + 20, 40), (size + 20, size - 40), 36)],
            9.0,
            bowl,
            stepover=1.2,
            name="tray",
        ),
        operation(OperationKind.CHAMFER, [outline], 1.5, replace(V60, angle=90.0), width=1.5, name="edge"),
        outside(outline, cutter(6.35), hold=Tabs(4, 8.0, 3.0)),
        outline=outline,
    )


def slotted_side() -> Part:
    """Return the side of a plant stand in plywood: slots, a round window, finger holes, outline with tabs."""
    outline = rectangle((260, 180), corner_radius=14)
    slots = [rectangle((12.2, 70), at=(x, 40)) for x in (50, 124, 198)]
    return part(
        operation(OperationKind.POCKET, [rectangle((220, 12), at=(20, 140), corner_radius=3)], 6.0, name="rebate"),
        operation(OperationKind.PROFILE, slots, 12.0, through=True, allowance=0.3, hold=Tabs(2, 5, 2), name="slots"),
        operation(OperationKind.PROFILE, [circle((87, 75), 36)], 12.0, through=True, allowance=0.3, name="window"),
        operation(OperationKind.DRILL, (), 12.0, cutter(5, CutterKind.DRILL, angle=118.0), name="holes",
                  points=((25, 25), (235, 25), (160, 75)), through=True, allowance=1.6),
        outside(outline, thickness=12.0, hold=Tabs(4, 8.0, 3.0)),
        outline=outline,
        of=stock("birch_plywood", 12.0),
    )  # fmt: skip


def clock() -> Part:
    """Return a round clock: marks and a ring on the face, a pocket for the movement and a shaft hole from the back."""
    import math

    outline = circle((0, 0), 200)
    marks = []
    for hour in range(12):
        c, s = math.cos(hour * math.pi / 6), math.sin(hour * math.pi / 6)
        inner = 62 if hour % 3 == 0 else 72
        marks.append(slot((inner * c, inner * s), (84 * c, 84 * s), 7.0 if hour % 3 == 0 else 6.5))
    return part(
        operation(OperationKind.POCKET, [rectangle((57, 57), centre=(0, 0), corner_radius=4)], 12.0, face=Face.BOTTOM),
        operation(OperationKind.PROFILE, [circle((0, 0), 8)], 18.0, cutter(6.0), through=True, allowance=0.2,
                  face=Face.BOTTOM, name="shaft"),
        operation(OperationKind.DISH, marks, 3.0, cutter(6.0, CutterKind.BALL_NOSE), stepover=0.4, name="hours"),
        operation(OperationKind.GROOVE, [circle((0, 0), 184)], 2.0, V60, name="ring"),
        outside(outline, hold=Tabs(5, 8.0, 3.0)),
        outline=outline,
        of=stock("black_walnut" if "black_walnut" in WORKSHOP.materials else "sugar_maple"),
    )  # fmt: skip
