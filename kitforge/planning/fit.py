"""Whether a kit fits a machine class: table, travel, room under the gantry, collets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitforge.model.kit import Cutter
from kitforge.model.messages import Message, mm, msg, size_mm, term
from kitforge.model.plan import Sheet
from kitforge.model.steps import Step
from kitforge.model.workshop import MachineClass

# Height kept over the stock on moves above it, mm: common practice, no source.
SAFE_HEIGHT = 5.0


def misfits(
    machine: MachineClass, sheets: Sequence[Sheet], steps: Sequence[Step], spoilboard: float
) -> tuple[Message, ...]:
    """Return everything that keeps the kit off a machine class; empty when it fits. spoilboard: its thickness, mm."""
    found = [*_table(machine, sheets), *_height(machine, steps, spoilboard), *_collets(machine, steps)]
    return tuple(dict.fromkeys(found))


def _table(machine: MachineClass, sheets: Sequence[Sheet]) -> Iterator[Message]:
    short, long = sorted(machine.table)
    for sheet in sheets:
        width, length = sorted((sheet.stock.width, sheet.stock.length))
        if width > short or length > long:
            yield msg(
                "{stock} ({size}) is larger than the table ({table})",
                stock=sheet.stock.title,
                size=size_mm(length, width, places=0),
                table=size_mm(long, short, places=0),
            )


def _height(machine: MachineClass, steps: Sequence[Step], spoilboard: float) -> Iterator[Message]:
    travel = max((step.tip + SAFE_HEIGHT for step in steps), default=0.0)
    if travel > machine.z_travel.low:
        yield msg(
            "the deepest cut needs {travel} of travel in Z, some machines of the class have {has}",
            travel=mm(travel, 0),
            has=mm(machine.z_travel.low, 0),
        )
    thickest = max((step.part.stock.actual for step in steps), default=0.0)
    if thickest + spoilboard + SAFE_HEIGHT > machine.clearance.low:
        yield msg(
            "stock of {thickness} on a {spoilboard} spoilboard leaves too little room under the spindle ({clearance})",
            thickness=mm(thickest),
            spoilboard=mm(spoilboard, 0),
            clearance=mm(machine.clearance.low, 0),
        )


def _collets(machine: MachineClass, steps: Sequence[Step]) -> Iterator[Message]:
    cutters: dict[str, Cutter] = {step.cutter.key: step.cutter for step in steps}
    for cutter in cutters.values():
        if not machine.takes_shank(cutter.shank):
            yield msg(
                "{cutter} has a {shank} shank; collets of the class: {collets}",
                cutter=cutter.name,
                shank=mm(cutter.shank),
                collets=term(machine.collet_text),
            )
