"""What a kit covers, seen from what was resolved and planned, not from what was meant; and a table of it."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator

from kitforge.model.facts import PieceUse
from kitforge.model.kit import Face, Kit, OnionSkin, Operation, OperationKind, Part, Side, Stock, Tabs
from kitforge.model.path import Path
from kitforge.model.plan import Plan
from kitforge.workshop.load import load_workshop

MUST = (
    "plug",
    "plug on tabs",
    "plug on a skin",
    "ring",
    "loose island",
    "island",
    "two faces",
    "cut through from both faces",
    "part cut in two",
    "trimmed edge",
    "facing of the whole stock",
    "facing of shapes",
    "onion skin",
    "tabs",
    "tabs placed by the author",
    "several boards",
    "several sheets",
    "several copies",
    "two passes",
    "corner relief",
    "settings of the author",
    "order as written",
    "places for fasteners",
    "places for clamps",
    "glued up",
    "inches",
    "grain length",
    "grain width",
    "grain none",
    "stock thinner than 8 mm",
    "stock of 22 mm and more",
    "measured thinner than nominal",
    "hazards not stated",
    "use not stated",
    *(f"use {use.value}" for use in PieceUse),
    *(f"hazard {hazard}" for hazard in ("mains", "magnet", "glass", "wall fixing", "none")),
    *(f"operation {does.value}" for does in OperationKind),
    *(f"side {side.value}" for side in Side),
    *(f"hold-down {key}" for key in sorted(load_workshop().hold_downs)),
    *(f"machine {key}" for key in sorted(load_workshop().machines)),
    *(f"family {kind}" for kind in sorted({m.kind.value for m in load_workshop().materials.values()})),
)
"""What any fifty random kits in a row hold."""


def covers(kit: Kit, plan: Plan) -> frozenset[str]:
    """Return what is in a kit."""
    return frozenset([*_of_kit(kit), *_of_plan(kit, plan), *(word for part in kit.parts for word in _of_part(part))])


def _of_kit(kit: Kit) -> Iterator[str]:
    yield "inches" if kit.info.units == "in" else "millimetres"
    if len(kit.stock) > 1:
        yield "several boards"
    if kit.order_as_written:
        yield "order as written"
    yield from _of_facts(kit)
    for machine in kit.machines:
        yield f"machine {machine.key}"
    for setup in kit.setups:
        yield from (f"hold-down {hold.key}" for hold in setup.hold_downs)
        if setup.fasteners:
            yield "places for fasteners"
        if setup.clamps:
            yield "places for clamps"
    yield from (word for stock in kit.stock.values() for word in _of_stock(stock))


def _of_facts(kit: Kit) -> Iterator[str]:
    yield from (f"use {use.value}" for use in kit.info.uses)
    if not kit.info.uses:
        yield "use not stated"
    for thing in kit.hardware:
        yield from (f"hazard {hazard.value}" for hazard in thing.hazards or ())
        if not thing.hazards:
            yield "hazards not stated"


def _of_stock(stock: Stock) -> Iterator[str]:
    yield f"family {stock.material.kind.value}"
    yield f"grain {stock.grain.value}"
    if stock.actual < 8:
        yield "stock thinner than 8 mm"
    if stock.actual >= 22:
        yield "stock of 22 mm and more"
    if stock.actual < stock.nominal:
        yield "measured thinner than nominal"
    if stock.boards is not None and stock.boards < stock.width:
        yield "glued up"


def _of_plan(kit: Kit, plan: Plan) -> Iterator[str]:
    if any(sheet.number > 1 for sheet in plan.sheets):
        yield "several sheets"
    if any(part.count > 1 for part in kit.parts):
        yield "several copies"
    if len({(step.part.stock.key, step.face) for step in plan.steps}) > len({s.part.stock.key for s in plan.steps}):
        yield "two faces"


def _of_part(part: Part) -> Iterator[str]:
    inner = [
        op for op in part.operations if not op.frees and op.does is OperationKind.PROFILE and op.side is Side.INSIDE
    ]
    yield from _of_plugs([op for op in inner if op.through])
    faces = {op.face for op in part.operations if _nearly_half(op, part)}
    if faces == {Face.TOP, Face.BOTTOM}:
        yield "cut through from both faces"
    across = [op for op in part.operations if _crosses(op, part)]
    yield from ("trimmed edge" if _is_at_edge(op, part) else "part cut in two" for op in across)
    for operation in part.operations:
        yield from _of_operation(operation)


def _of_plugs(inner: list[Operation]) -> Iterator[str]:
    for operation in inner:
        held = {Tabs: "plug on tabs", OnionSkin: "plug on a skin"}
        yield held.get(type(operation.hold), "plug")
    boxes = sorted((path.bounds for op in inner for path in op.shapes), key=lambda box: box.right - box.left)
    for index, small in enumerate(boxes):
        if any(large.left < small.left and small.right < large.right for large in boxes[index + 1 :]):
            yield "ring"


def _nearly_half(operation: Operation, part: Part) -> bool:
    return not operation.through and 0.5 * part.stock.actual <= operation.depth < part.stock.actual


def _crosses(operation: Operation, part: Part) -> bool:
    box = part.outline.bounds
    ends = [path.bounds for path in operation.shapes if operation.through and not path.closed]
    return any(end.left < box.left and end.right > box.right for end in ends)


def _is_at_edge(operation: Operation, part: Part) -> bool:
    low = part.outline.bounds.bottom
    return any(abs(path.bounds.bottom - low) < operation.cutter.radius for path in operation.shapes)


def _of_operation(operation: Operation) -> Iterator[str]:
    yield f"operation {operation.does.value}"
    if operation.does is OperationKind.PROFILE:
        yield f"side {operation.side.value}"
    if operation.does is OperationKind.FACE:
        yield "facing of shapes" if operation.shapes else "facing of the whole stock"
    if isinstance(operation.hold, OnionSkin):
        yield "onion skin"
    if isinstance(operation.hold, Tabs):
        yield "tabs placed by the author" if operation.hold.at else "tabs"
    if operation.roughing is not None:
        yield "two passes"
    if operation.relief is not None:
        yield "corner relief"
    if operation.overrides:
        yield "settings of the author"
    if operation.does is OperationKind.POCKET and _nested(operation.shapes):
        yield "loose island" if operation.through else "island"


def _nested(shapes: tuple[Path, ...]) -> bool:
    boxes = [path.bounds for path in shapes]
    return any(a.left < b.left and b.right < a.right and a.bottom < b.bottom < a.top for a in boxes for b in boxes)


def table(found: Iterable[frozenset[str]]) -> str:
    """Return how many kits hold each thing, one a line; what must be there and is not comes first."""
    counted = Counter(word for words in found for word in words)
    missing = [f"   none  {word}" for word in MUST if word not in counted]
    return "\n".join([*missing, *(f"{count:7}  {word}" for word, count in sorted(counted.items()))])


if __name__ == "__main__":
    from kit_samples import FIXED_SEEDS, names, sample

    seeds = range(int(sys.argv[1]), int(sys.argv[2])) if len(sys.argv) > 2 else FIXED_SEEDS
    print(table(sample(name).covers for name in names(seeds) if name.startswith("random-")))
