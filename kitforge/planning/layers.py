"""What goes on which layer of a drawing in the pack: one layer for each operation, with its name.

A layer says what is cut in the kit's own words; what it needs to be cut with stands in a note beside it, and in the
booklet. On stock that holds several kinds of parts the part is named too, so that no layer mixes two steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kitforge.drawings.write import layer_names
from kitforge.geometry.transform import mirrored
from kitforge.model.coupon import ProofStrip
from kitforge.model.kit import Face, Operation, Part, Stock
from kitforge.model.messages import Message, Quantity, mm, msg, term
from kitforge.model.path import Path, Vertex, circle
from kitforge.model.plan import Placement, Plan, Sheet
from kitforge.model.record import record
from kitforge.model.steps import Step
from kitforge.planning.sizes import hole_width

OUTLINE = "part-outline"
STOCK = "stock"
DRAWINGS = "drawings"
_SUFFIX = {Face.TOP: "", Face.BOTTOM: "-bottom"}


@record
class PartDrawing:
    """The drawing of one face of a part, or of a sheet: a name for the file, a title, paths by layer, notes by layer.

    The names of layers are those in the file.
    """

    name: str
    title: Message
    layers: dict[str, list[Path]]
    notes: dict[str, Message]


@record
class StepLayer:
    """Where a step is drawn: the name of a sheet's drawing, without ending, and of the layer in it."""

    drawing: str
    layer: str


def note_of(operation: Operation) -> Message:
    """Return the note beside a layer, e.g. '1.2 mm below the face, 60 deg V-bit' or 'through, 6 mm up-cut'.

    A cut that leaves a skin does not go through: it has a depth. Depths count from the operation's datum.
    """
    cutter = operation.cutter.name
    if operation.through and not operation.skin:
        return msg("through, {cutter}", cutter=cutter)
    depth = mm(operation.depth - operation.skin)
    if operation.datum.by:
        return msg("{depth} below the faced surface, {cutter}", depth=depth, cutter=cutter)
    return msg("{depth} below the face, {cutter}", depth=depth, cutter=cutter)


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
        drawn: list[_Drawn] = []
        if not any(operation.frees for operation in operations):
            drawn.append(_Drawn(OUTLINE, [_seen(part.outline, part, face)]))
        drawn += [_Drawn(one.name, [_seen(path, part, face) for path in shapes_of(one)], one) for one in operations]
        yield _drawing(_part_name(part, face), _title(msg("{part}", part=part.title), face, operations), drawn)


@record
class _Drawn:
    """What goes on a layer, under the name that the kit gives it."""

    layer: str
    paths: list[Path]
    operation: Operation | None = None


def _drawing(name: str, title: Message, drawn: Sequence[_Drawn]) -> PartDrawing:
    names = layer_names(dict.fromkeys(one.layer for one in drawn))
    layers: dict[str, list[Path]] = {}
    notes: dict[str, Message] = {}
    for one in drawn:
        layers.setdefault(names[one.layer], []).extend(one.paths)
        if one.operation is not None:
            notes[names[one.layer]] = note_of(one.operation)
    return PartDrawing(name, title, layers, notes)


def _drawn_faces(plan: Plan, part: Part) -> Iterator[tuple[Face, list[Operation]]]:
    for face in Face:
        operations = [one for one in _in_order(plan, part, face) if not one.whole]
        if operations or (face is Face.TOP and all(one.whole for one in part.operations)):
            yield face, operations


def _title(of: Message, face: Face, operations: Iterable[Operation]) -> Message:
    """Return a drawing's title; it says where depths in the notes of layers count from a face that facing has made."""
    if face is Face.BOTTOM:
        of = msg("{drawing}, underside (mirrored)", drawing=of)
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
    drawn = list(_drawn_on_sheet(plan, sheet, parts, face))
    title = msg("{stock}, sheet {number}", stock=stock.title, number=sheet.number)
    operations = [one.operation for one in drawn if one.operation is not None]
    return _drawing(_sheet_name(sheet, face), _title(title, face, operations), drawn)


def _drawn_on_sheet(plan: Plan, sheet: Sheet, parts: Sequence[Part], face: Face) -> Iterator[_Drawn]:
    stock, around = sheet.stock, _box(sheet.stock.length, sheet.stock.width)
    for layer, place, part, operation in _layers_on(plan, sheet, face, parts):
        if operation is not None and part is None and operation.points:
            yield _Drawn(layer, shapes_of(operation), operation)
        elif place is None or part is None:
            yield _Drawn(layer, [around], operation)
        else:
            paths = [part.outline] if operation is None else shapes_of(operation)
            yield _Drawn(layer, [_on_sheet(path, place, stock, face) for path in paths], operation)


def _layers_on(
    plan: Plan, sheet: Sheet, face: Face, parts: Sequence[Part] = ()
) -> Iterator[tuple[str, Placement | None, Part | None, Operation | None]]:
    """Yield the layers of a sheet with what is drawn on them and where; no place means on the stock itself.

    parts: needed for those that no step cuts.
    """
    yield STOCK, None, None, None
    facings = [step.operation for step in plan.steps if step.operation.whole and step.face is face and sheet.runs(step)]
    yield from ((name, None, None, one) for name, one in {one.name: one for one in facings}.items())
    by_key = {part.key: part for part in (*(step.part for step in plan.steps), *parts)}
    for place in sheet.placements:
        if place.part not in by_key:
            continue
        part = by_key[place.part]
        operations = [one for one in _in_order(plan, part, face) if not one.whole]
        if not any(operation.frees for operation in operations):
            yield OUTLINE, place, part, None
        for one in operations:
            yield _layer_on(plan, sheet.stock, part, one), place, part, one
    for hole in plan.turning:
        if hole.face is face and sheet in hole.sheets:
            yield hole.step.operation.name, None, None, hole.step.operation


def _layer_on(plan: Plan, stock: Stock, part: Part, operation: Operation) -> str:
    """Return the layer of an operation in the drawings of a stock: with its part where others lie beside it."""
    kinds = {place.part for sheet in plan.sheets if sheet.stock.key == stock.key for place in sheet.placements}
    return operation.name if operation.whole or len(kinds) == 1 else f"{part.key}-{operation.name}"


def step_layers(plan: Plan, step: Step) -> tuple[StepLayer, ...]:
    """Return where a step is drawn: in the drawing of every piece of stock that it is cut from."""
    hole = next((hole for hole in plan.turning if hole.step.key == step.key), None)
    name = step.operation.name if hole else _layer_on(plan, step.part.stock, step.part, step.operation)
    found = []
    for sheet in hole.sheets if hole else plan.pieces_of(step):
        names = layer_names(dict.fromkeys(layer for layer, *_rest in _layers_on(plan, sheet, step.face)))
        found.append(StepLayer(_sheet_name(sheet, step.face), names[name]))
    return tuple(found)


def _on_sheet(path: Path, place: Placement, stock: Stock, face: Face) -> Path:
    placed = place.path(path)
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
    for coupon in plan.coupons:
        for part in coupon.kit.parts:
            yield from part_drawings(coupon.plan, part)
    yield from (_strip_drawing(plan, strip) for strip in plan.strips)


def _strip_drawing(plan: Plan, strip: ProofStrip) -> PartDrawing:
    """Return the grooves of a proof strip, one above the other from the slowest; zero is where the first one begins."""
    step = plan.step(strip.step)
    lines = [Path((Vertex(0, y), Vertex(strip.length, y)), closed=False) for y in _rows(strip)]
    layers = {name: [line] for name, line in zip(strip.layers, lines, strict=True)}
    cutter = step.cutter.name
    notes = {
        name: msg(
            "{depth} below the face at {feed} mm/min and {speed} min-1, {cutter}",
            depth=mm(strip.depth), feed=Quantity(feed, "", 0), speed=Quantity(strip.speed, "", 0), cutter=cutter,
        )
        for name, feed in zip(strip.layers, strip.feeds, strict=True)
    }  # fmt: skip
    machine = next(one.machine.name for one in plan.machines if one.machine.key == strip.machine)
    title = msg("Proof strip of {operation}, {machine}", operation=step.operation.title, machine=term(machine))
    return PartDrawing(strip.key, title, layers, notes)


def _rows(strip: ProofStrip) -> list[float]:
    return [number * strip.pitch for number in range(len(strip.feeds))]


def drawings_by_folder(plan: Plan, parts: Sequence[Part]) -> Iterator[tuple[str, PartDrawing]]:
    """Yield every drawing of the pack with its folder: those that a rung of thickness changes in one for each rung.

    A drawing that is the same at every thickness stands once, in `drawings`.
    """
    drawn = {drawing.name: drawing for drawing in pack_drawings(plan, parts)}
    by_rung = {
        folder: {one.name: one for one in pack_drawings(rung.plan, rung.kit.parts)}
        for folder, rung in zip(rung_folders(plan), plan.rungs, strict=True)
    }
    for name, drawing in drawn.items():
        others = [(folder, found[name]) for folder, found in by_rung.items() if name in found]
        changed = {rung.stock for (_folder, one), rung in zip(others, plan.rungs, strict=False) if one != drawing}
        if not changed:
            yield DRAWINGS, drawing
        for (folder, one), rung in zip(others, plan.rungs, strict=False):
            if rung.stock in changed:
                yield folder, one


def rung_folders(plan: Plan) -> list[str]:
    """Return the folder of each rung of thickness: `drawings/11.7-mm`, with the stock where several have rungs."""
    several = len({rung.stock for rung in plan.rungs}) > 1
    stocks = [f"{rung.stock.replace('_', '-')}-" if several else "" for rung in plan.rungs]
    return [f"{DRAWINGS}/{name}{_in_mm(rung.thickness)}-mm" for name, rung in zip(stocks, plan.rungs, strict=True)]


def _in_mm(thickness: float) -> str:
    """Return a thickness with one decimal at least, so that folders of one ladder sort by it."""
    return f"{thickness:.1f}" if abs(thickness * 10 - round(thickness * 10)) < 1e-6 else f"{thickness:g}"


def drawing_names(plan: Plan, parts: Sequence[Part]) -> Iterator[tuple[str, Part | Stock]]:
    """Yield the name of every drawing that `pack_drawings` makes, and what it is of."""
    for part in parts:
        yield from ((_part_name(part, face), part) for face, _operations in _drawn_faces(plan, part))
    for sheet in plan.sheets:
        yield from ((_sheet_name(sheet, face), sheet.stock) for face in _faces(plan, sheet) or [Face.TOP])
    for coupon in plan.coupons:
        yield from ((_part_name(part, Face.TOP), part) for part in coupon.kit.parts)


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
