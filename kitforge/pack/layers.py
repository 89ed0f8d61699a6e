"""What goes on which layer of a part's drawing: one layer per operation, named from operation, depth and cutter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kitforge.geometry.transform import mirrored, translated
from kitforge.model.kit import Face, Operation, Part, Stock
from kitforge.model.messages import Message, msg
from kitforge.model.path import Path, circle
from kitforge.model.plan import Placement, Plan, Sheet
from kitforge.model.units import plain_number
from kitforge.planning.sizes import hole_width

OUTLINE = "part-outline"
STOCK = "stock"
_SUFFIX = {Face.TOP: "", Face.BOTTOM: "-bottom"}


@dataclass(frozen=True, slots=True)
class PartDrawing:
    """The drawing of one face of a part, or of a sheet: a name for the file, a title, and paths by layer."""

    name: str
    title: Message
    layers: dict[str, list[Path]]


def layer_of(operation: Operation) -> str:
    """Return the layer name of an operation, e.g. 'lines_1.2mm_v60' or 'outline_through_em6'.

    A cut that leaves a skin does not go through: 'outline_17.6mm_em6'. Depths count from the operation's datum.
    """
    goes_through = operation.through and not operation.skin
    depth = "through" if goes_through else f"{plain_number(operation.depth - operation.skin, 2)}mm"
    return f"{operation.name}_{depth}_{operation.cutter.key}"


def shapes_of(operation: Operation) -> list[Path]:
    """Return what an operation follows: its paths, and a circle of the finished size for every hole or dimple.

    A facing of the whole stock follows nothing of a part; it is drawn on the sheet.
    """
    return [*operation.shapes, *(circle(x, y, hole_width(operation) / 2) for x, y in operation.points)]


def part_drawings(plan: Plan, part: Part) -> Iterator[PartDrawing]:
    """Yield the drawing of each face of a part that is cut, layers in cutting order.

    The bottom face is drawn as the machine sees it after the part is turned over about its y axis: mirrored. The
    outline has a layer of its own only where no operation cuts along it, so that nobody cuts it twice.
    """
    for face, operations in _drawn_faces(plan, part):
        layers: dict[str, list[Path]] = {}
        if not any(operation.frees for operation in operations):
            layers[OUTLINE] = [_seen(part.outline, part, face)]
        for operation in operations:
            layers[layer_of(operation)] = [_seen(path, part, face) for path in shapes_of(operation)]
        yield PartDrawing(_part_name(part, face), _title(msg("{part}", part=part.title), face, operations), layers)


def _drawn_faces(plan: Plan, part: Part) -> Iterator[tuple[Face, list[Operation]]]:
    for face in Face:
        operations = [one for one in _in_order(plan, part, face) if not one.whole]
        if operations or (face is Face.TOP and all(one.whole for one in part.operations)):
            yield face, operations


def _title(of: Message, face: Face, operations: Iterable[Operation]) -> Message:
    """Return a drawing's title; it says where depths in the names of layers count from a face that facing has made."""
    if face is Face.BOTTOM:
        of = msg("{drawing}, bottom face (mirrored)", drawing=of)
    faced = any(one.datum.by for one in operations)
    return msg("{drawing}, depths below the faced surface", drawing=of) if faced else of


def _part_name(part: Part, face: Face) -> str:
    return part.key.replace("_", "-") + _SUFFIX[face]


def _sheet_name(sheet: Sheet, face: Face) -> str:
    return f"sheet-{sheet.stock.key.replace('_', '-')}-{sheet.number}{_SUFFIX[face]}"


def sheet_drawing(plan: Plan, sheet: Sheet, parts: Sequence[Part], face: Face) -> PartDrawing:
    """Return one sheet of stock with all its parts in place, seen from above on the given face.

    Its zero is the lower left corner of the sheet as it lies. For the bottom face the sheet lies turned over about its
    y axis, so that all of it is mirrored.
    """
    stock = sheet.stock
    layers: dict[str, list[Path]] = {STOCK: [_box(stock.length, stock.width)]}
    for step in plan.steps:
        if step.operation.whole and step.face is face and sheet.runs(step):
            layers.setdefault(layer_of(step.operation), [_box(stock.length, stock.width)])
    by_key, every = {part.key: part for part in parts}, list[Operation]()
    for place in sheet.placements:
        part = by_key[place.part]
        operations = _in_order(plan, part, face)
        every += operations
        own: list[tuple[str, Path]] = []
        if not any(operation.frees for operation in operations):
            own.append((OUTLINE, part.outline))
        own += [(layer_of(one), path) for one in operations for path in shapes_of(one)]
        for layer, path in own:
            layers.setdefault(layer, []).append(_on_sheet(path, place, stock, face))
    title = msg("{stock}, sheet {number}", stock=stock.title, number=sheet.number)
    return PartDrawing(_sheet_name(sheet, face), _title(title, face, every), layers)


def _on_sheet(path: Path, place: Placement, stock: Stock, face: Face) -> Path:
    placed = translated(path, place.x, place.y)
    return placed if face is Face.TOP else mirrored(placed, 90.0, stock.length / 2, 0.0)


def pack_drawings(plan: Plan, parts: Sequence[Part]) -> Iterator[PartDrawing]:
    """Yield every drawing of the pack: each face of each part and of each sheet.

    The place of a part on its stock is what the zero, the screws and both faces of a piece go by.
    """
    for part in parts:
        yield from part_drawings(plan, part)
    for sheet in plan.sheets:
        for face in _faces(plan, sheet) or [Face.TOP]:
            yield sheet_drawing(plan, sheet, parts, face)


def drawing_names(plan: Plan, parts: Sequence[Part]) -> Iterator[tuple[str, Part | Stock]]:
    """Yield the name of every drawing that `pack_drawings` makes, and what it is of."""
    for part in parts:
        yield from ((_part_name(part, face), part) for face, _operations in _drawn_faces(plan, part))
    for sheet in plan.sheets:
        yield from ((_sheet_name(sheet, face), sheet.stock) for face in _faces(plan, sheet) or [Face.TOP])


def _faces(plan: Plan, sheet: Sheet) -> list[Face]:
    return [face for face in Face if any(step.face is face and sheet.runs(step) for step in plan.steps)]


def _in_order(plan: Plan, part: Part, face: Face) -> list[Operation]:
    own = (step for step in plan.steps_of(part.key) if step.face is face)
    return list({(step.part.key, step.operation.name): step.operation for step in own}.values())


def _seen(path: Path, part: Part, face: Face) -> Path:
    return path if face is Face.TOP else mirrored(path, 90.0, part.outline.bounds.centre[0], 0.0)


def _box(length: float, width: float) -> Path:
    from kitforge.geometry.shapes import rectangle

    return rectangle((length, width))
