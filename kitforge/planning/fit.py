"""Whether a kit fits a machine class: table, travel, room under the gantry, collets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.kit import Cutter
from kitforge.model.plan import Sheet, Step
from kitforge.model.units import format_mm, plain_number
from kitforge.model.workshop import MachineClass

# Height kept over the stock on moves above it, and the spoilboard under it, mm: common practice, no source.
SAFE_HEIGHT = 5.0
SPOILBOARD = 12.0


def misfits(machine: MachineClass, sheets: Sequence[Sheet], steps: Sequence[Step]) -> tuple[str, ...]:
    """Return in plain sentences everything that keeps the kit off a machine class; empty when it fits."""
    found = [*_table(machine, sheets), *_height(machine, steps), *_collets(machine, steps)]
    return tuple(dict.fromkeys(found))


def _table(machine: MachineClass, sheets: Sequence[Sheet]) -> Iterator[str]:
    short, long = sorted(machine.table)
    for sheet in sheets:
        width, length = sorted((sheet.stock.width, sheet.stock.length))
        if width > short or length > long:
            size = f"{plain_number(length, 0)} × {plain_number(width, 0)} mm"
            table = f"{plain_number(long, 0)} × {plain_number(short, 0)} mm"
            yield f"{sheet.stock.title} ({size}) is larger than the table ({table})"


def _height(machine: MachineClass, steps: Sequence[Step]) -> Iterator[str]:
    travel = max((step.tip + SAFE_HEIGHT for step in steps), default=0.0)
    if travel > machine.z_travel.low:
        has = format_mm(machine.z_travel.low, 0)
        yield f"the deepest cut needs {format_mm(travel, 0)} of travel in Z, some machines of the class have {has}"
    thickest = max((step.part.stock.actual for step in steps), default=0.0)
    if thickest + SPOILBOARD + SAFE_HEIGHT > machine.clearance.low:
        yield (
            f"stock of {format_mm(thickest)} on a {format_mm(SPOILBOARD, 0)} spoilboard leaves too little room "
            f"under the spindle ({format_mm(machine.clearance.low, 0)})"
        )


def _collets(machine: MachineClass, steps: Sequence[Step]) -> Iterator[str]:
    cutters: dict[str, Cutter] = {step.cutter.key: step.cutter for step in steps}
    for cutter in cutters.values():
        if not machine.takes_shank(cutter.shank):
            yield f"{cutter.name} has a {format_mm(cutter.shank)} shank; collets of the class: {machine.collet_text}"
