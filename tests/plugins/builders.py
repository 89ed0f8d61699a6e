"""Small kits in a few lines: every measure that a test does not care about has a harmless value. Invented data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import cast

from kitforge.geometry.corners import Side as Inward
from kitforge.geometry.relief import Style, corner_relief, relief_radius
from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.facts import PieceUse
from kitforge.model.findings import Finding, Source
from kitforge.model.info import KitInfo
from kitforge.model.kit import (
    Cutter,
    CutterKind,
    Face,
    Finishing,
    Grain,
    Kit,
    OnionSkin,
    Operation,
    OperationKind,
    Part,
    PassOptions,
    Setup,
    Side,
    Stock,
    Tabs,
)
from kitforge.model.path import Path
from kitforge.model.plan import MachinePlan, Plan
from kitforge.model.settings import Limit, Manner, WayDown, Window
from kitforge.model.steps import Step, StepSettings
from kitforge.model.workshop import MachineClass
from kitforge.planning.facing import with_datums
from kitforge.stages import planning
from kitforge.workshop.load import load_workshop

HERE = Source("kit.yaml", 1, 1)
WORKSHOP = load_workshop()
SMALL = "medium_router"


def cutter(diameter: float = 6.0, kind: CutterKind = CutterKind.UP_CUT, **more: object) -> Cutter:
    """Return a cutter, by default long enough for anything, with a shank of 6 mm."""
    plain = Cutter(
        key=f"{kind.value} {diameter:g}",
        name=f"{diameter:g} mm {kind.value} cutter",
        kind=kind,
        diameter=diameter,
        cutting_length=32.0,
        shank=6.0,
        overall_length=70.0,
        flutes=2,
        source=HERE,
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def stock(thickness: float = 18.0, length: float = 600.0, width: float = 400.0, **more: object) -> Stock:
    """Return a sheet of birch plywood."""
    material = WORKSHOP.materials["birch_plywood"]
    plain = Stock("sheet", "Plywood", material, thickness, thickness, width, length, Grain.LENGTH, HERE)
    return replace(plain, **more)  # type: ignore[arg-type]


def operation(
    does: OperationKind, shapes: Iterable[Path] = (), depth: float = 6.0, tool: Cutter | None = None, **more: object
) -> Operation:
    """Return an operation named after what it does."""
    plain = Operation(
        name=does.value,
        title=does.value.capitalize(),
        does=does,
        part="board",
        shapes=tuple(shapes),
        points=(),
        depth=depth,
        through=False,
        allowance=0.0,
        face=Face.TOP,
        side=Side.INSIDE,
        roughing=None,
        finishing=PassOptions(tool or cutter()),
        source=HERE,
    )
    return relieved(replace(plain, **more))  # type: ignore[arg-type]


def relieved(plain: Operation) -> Operation:
    """Return an operation with the corner relief in its shapes that it asks for, if there is room for it."""
    if plain.relief is None:
        return plain
    side: Inward = "outside" if plain.side is Side.OUTSIDE else "inside"
    try:
        shapes = tuple(
            corner_relief(path, relief_radius(plain.cutter.radius), cast("Style", plain.relief), side=side)
            for path in plain.shapes
        )
    except ValueError:
        return plain
    return replace(plain, shapes=shapes, unrelieved=plain.shapes)


def pocket(*shapes: Path, depth: float = 6.0, tool: Cutter | None = None, **more: object) -> Operation:
    """Return a pocket; by default its cutter is small enough for rounded corners of 3 mm."""
    return operation(OperationKind.POCKET, shapes, depth, tool, **more)


def groove(*shapes: Path, depth: float = 3.0, tool: Cutter | None = None, **more: object) -> Operation:
    """Return a groove."""
    return operation(OperationKind.GROOVE, shapes, depth, tool, **more)


def drilled(
    *points: tuple[float, float], diameter: float = 6.0, depth: float = 8.0, tool: Cutter | None = None, **more: object
) -> Operation:
    """Return holes, drilled by default with a drill of the same diameter."""
    tool = tool or cutter(diameter, CutterKind.DRILL, angle=118.0)
    return operation(OperationKind.DRILL, (), depth, tool, points=tuple(points), **more)


def hole(x: float, y: float, diameter: float, tool: Cutter | None = None, **more: object) -> Operation:
    """Return a round hole cut through with a profile inside it."""
    shape = circle((x, y), diameter)
    settled: dict[str, object] = {"through": True, "allowance": 0.5, "hold": OnionSkin(0.3), **more}
    return operation(OperationKind.PROFILE, [shape], 18.0, tool, **settled)


def outside(shape: Path, tool: Cutter | None = None, hold: Tabs | OnionSkin | None = None, **more: object) -> Operation:
    """Return the cut that frees a part along its outline, held by four tabs."""
    settled: dict[str, object] = {
        "name": "outside", "through": True, "allowance": 0.5, "side": Side.OUTSIDE, "frees": True, **more,
    }  # fmt: skip
    return operation(OperationKind.PROFILE, [shape], 18.0, tool, hold=hold or Tabs(4, 8.0, 3.0), **settled)


def rounded(x: float, y: float, width: float, height: float, radius: float = 3.0) -> Path:
    """Return a rectangle with round corners by its lower left corner."""
    return rectangle((width, height), at=(x, y), corner_radius=radius)


def plate(width: float = 200.0, height: float = 150.0) -> Path:
    """Return the outline of a plain part."""
    return rectangle((width, height))


def part(*operations: Operation, outline: Path | None = None, key: str = "board", **more: object) -> Part:
    """Return a part; operations are renamed so that no two have the same name."""
    outline = outline or plate()
    own = [
        replace(item, name=f"{item.name}-{number}", part=key) if item.name != "outside" else replace(item, part=key)
        for number, item in enumerate(operations, 1)
    ]
    plain = Part(key, key.capitalize(), stock(), 1, outline, tuple(own), HERE, HERE)
    return replace(plain, **more)  # type: ignore[arg-type]


def freed(*operations: Operation, outline: Path | None = None, **more: object) -> Part:
    """Return a part that is cut free along its outline after its other operations."""
    outline = outline or plate()
    return part(*operations, outside(outline), outline=outline, **more)  # type: ignore[arg-type]


def setup(face: Face = Face.TOP, hold_downs: Sequence[str] = ("vacuum_board",), **more: object) -> Setup:
    """Return a setup of the sheet."""
    holds = tuple(WORKSHOP.hold_downs[key] for key in hold_downs)
    return replace(Setup("sheet", face, holds, (), (), HERE), **more)  # type: ignore[arg-type]


def kit(*parts: Part, setups: Sequence[Setup] | None = None, machines: Sequence[str] = (SMALL,), **more: object) -> Kit:
    """Return a kit of parts from one sheet of stock; its cutters are those of the operations."""
    info = KitInfo("Kit", "kit", "1.0", "Somebody", "CC-BY-4.0", "A kit.", "beginner", "mm", uses=(PieceUse.INDOORS,))
    tools = [wish.cutter for item in parts for o in item.operations for wish in (o.roughing, o.finishing) if wish]
    plain = Kit(
        info=info,
        stock={item.stock.key: item.stock for item in parts},
        cutters={tool.key: tool for tool in tools},
        parts=with_datums(parts, as_written=bool(more.get("order_as_written"))),
        machines=tuple(WORKSHOP.machines[key] for key in machines),
        setups=tuple(setups if setups is not None else (setup(Face.TOP), setup(Face.BOTTOM))),
        finishing=Finishing((), None, None, ()),
        hardware=(),
        assembly=(),
        notes=(),
        order_as_written=False,
        source=HERE,
    )
    return replace(plain, **more)  # type: ignore[arg-type]


@dataclass(frozen=True)
class SameSettings:
    """Stands for the settings plugin: every step pulls with the same force and lift (N) on every class."""

    force: float = 20.0
    lift: float = 5.0
    depth_per_pass: float = 3.0

    def step_settings(self, _kit: Kit, _step: Step, _machine: MachineClass) -> StepSettings:
        """Return the same settings for every step."""
        return settings(self.force, self.lift, self.depth_per_pass)


def window(value: float, unit: str) -> Window:
    """Return a window that is all one value."""
    limit = Limit(value, "test", "A value of the test.")
    return Window("", value, value, value, unit, limit, limit, "test")


def settings(force: float = 20.0, lift: float = 5.0, depth_per_pass: float = 3.0) -> StepSettings:
    """Return settings with a given pull."""
    return StepSettings(
        speed=window(16000, "min⁻¹"),
        feed=window(1200, "mm/min"),
        plunge=window(400, "mm/min"),
        depth_per_pass=window(depth_per_pass, "mm"),
        stepover=None,
        passes=1,
        entry=WayDown(Manner.RAMP, 300.0),
        stick_out=30.0,
        chip=0.04,
        force=force,
        lift=lift,
        power=50.0,
        deflection=0.01,
        cusp=None,
        seconds=(10.0, 20.0),
    )


def planned(of: Kit, force: float = 20.0, lift: float = 5.0, depth_per_pass: float = 3.0) -> Plan:
    """Return the plan of a kit as the plan stage makes it, with the same force for every step."""
    return planning.plan(of, SameSettings(force, lift, depth_per_pass))  # type: ignore[arg-type]


def reordered(plan: Plan, keys: Sequence[str]) -> Plan:
    """Return a one-setup plan with its steps in another order."""
    steps = tuple(replace(plan.step(key), number=number) for number, key in enumerate(keys, 1))
    return replace(plan, steps=steps, setups=(replace(plan.setups[0], steps=tuple(keys)),))


def with_machines(plan: Plan, *machines: MachinePlan) -> Plan:
    """Return the plan with other machine plans."""
    return replace(plan, machines=machines)


def codes(findings: Iterable[Finding]) -> list[str]:
    """Return the codes of findings, sorted, without repeats."""
    return sorted({finding.code for finding in findings})
