"""DXF entities to paths: arcs, bulges and ellipses in closed form, splines as B-splines, blocks counted out.

Follows the DXF reference: object coordinates and extrusion by the arbitrary axis algorithm (for the two flat directions
+Z and -Z), bulge = tan(included angle / 4), block references with base point, scale, rotation and arrays.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from kitforge.drawings.dxf_curves import CURVES, READERS, NotFlatError, frame_of, heights_of
from kitforge.drawings.dxf_records import BlockRecord, DxfFile, Record
from kitforge.drawings.limits import Budget, within_reach
from kitforge.geometry.affine import Affine, rotation, scaling, translation
from kitforge.model.drawing import (
    DrawingError,
    DrawingProblem,
    MisfitError,
    Origin,
    Point,
    ProblemKind,
    line_of,
    place,
    reason_of,
    shown,
)
from kitforge.model.messages import Message, mm, msg
from kitforge.model.path import Path, Vertex

_LEVEL = 0.01
_SAME = 1e-9
_NEVER_PLOTTED = "defpoints"
"""The layer on which definition points of dimensions lie (DXF reference, LAYER)."""


@dataclass(slots=True)
class RawLayer:
    """The shapes of a layer as drawn, in mm, before ends are joined, and where each of its paths comes from."""

    paths: list[Path] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    origins: list[Origin] = field(default_factory=list)


@dataclass(slots=True)
class Collected:
    """What a walk through the model space found. skipped: by kind and layer; hidden, unplotted, paper: by layer."""

    layers: dict[str, RawLayer] = field(default_factory=dict)
    skipped: Counter[tuple[str, str]] = field(default_factory=Counter)
    hidden: Counter[str] = field(default_factory=Counter)
    unplotted: Counter[str] = field(default_factory=Counter)
    paper: Counter[str] = field(default_factory=Counter)
    problems: list[DrawingProblem] = field(default_factory=list)


class Collector:
    """Walks through entities and blocks and gathers paths by layer."""

    def __init__(self, file: DxfFile, scale: float, budget: Budget) -> None:
        self.file = file
        self.scale = scale
        self.budget = budget
        self.found = Collected()
        self.names = {key: layer.name for key, layer in file.layers.items()}
        self.frozen = {key for key, layer in file.layers.items() if layer.frozen}
        self.off = self.frozen | {key for key, layer in file.layers.items() if layer.off}
        self.unplotted = {key for key, layer in file.layers.items() if not layer.plotted} | {_NEVER_PLOTTED}

    def run(self) -> Collected:
        """Return everything in the model space. Raises DrawingError for what must not be read."""
        self._walk(self.file.entities, scaling(self.scale), "0", ())
        for entity in self.file.paper:
            self.found.paper[entity.layer] += 1
        return self.found

    def _walk(self, entities: Iterable[Record], matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:
        for entity in entities:
            self.budget.take_entities()
            try:
                self._entity(entity, matrix, layer, inside)
            except NotFlatError:
                self._skip_tilted(entity)
            except ValueError as error:
                if isinstance(error, DrawingError):
                    if error.line or error.entity:
                        raise
                    raise DrawingError(
                        error.message, line=entity.line, entity=entity.handle, advice=error.advice
                    ) from error
                said = msg("{entity}: {reason}", entity=_name(entity), reason=reason_of(error))
                raise DrawingError(said, line=line_of(error) or entity.line, entity=entity.handle) from error

    def _entity(self, entity: Record, matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:
        kind = entity.kind
        own = entity.layer
        layer = layer if own == "0" else own
        key = layer.casefold()
        name = self.names.setdefault(key, layer)
        if entity.whole(60) or key in (self.frozen if kind == "INSERT" else self.off):
            self.found.hidden[name] += 1
        elif kind == "INSERT":
            self._insert(entity, matrix, layer, inside)
        elif key in self.unplotted:
            self.found.unplotted[name] += 1
        elif kind == "POINT":
            x, y = matrix(*entity.point())
            within_reach(x, y)
            self._raw(name).points.append((x, y))
        elif kind in READERS:
            fitted = kind in CURVES or not matrix.keeps_circles
            for path in READERS[kind](entity, matrix):
                self.budget.take_fitted(len(path.vertices) * (fitted and path.has_arcs))
                self._add(path, name, entity)
            self._check_level(entity, heights_of(entity))
            self._check_width(entity)
        else:
            self.found.skipped[kind, name] += 1

    def _raw(self, layer: str) -> RawLayer:
        return self.found.layers.setdefault(layer, RawLayer())

    def _add(self, path: Path, layer: str, entity: Record) -> None:
        self.budget.take_pieces(max(1, len(path.vertices) - (not path.closed)))
        within_reach(*(value for vertex in path.vertices for value in vertex))
        clean = _without_empty_pieces(path)
        if clean is None:
            said = msg("{entity} at {at} has no length; it was left out.", entity=_name(entity), at=place(*path.start))
            self._problem(ProblemKind.ZERO_LENGTH, said, path.start, entity)
            return
        raw = self._raw(layer)
        raw.paths.append(clean)
        raw.origins.append(Origin(entity.handle, entity.line))

    def _problem(
        self, kind: ProblemKind, said: Message, at: Point | None, entity: Record, size: float | None = None
    ) -> None:
        layer, handle = entity.layer, entity.handle or None
        self.found.problems.append(DrawingProblem(kind, said, at, size, layer, handle, entity.line))

    def _skip_tilted(self, entity: Record) -> None:
        said = msg(
            "{entity} does not lie flat in the drawing plane and was left out.",
            entity=_name(entity),
        )
        self._problem(ProblemKind.NOT_FLAT, said, None, entity)

    def _check_level(self, entity: Record, heights: list[float]) -> None:
        if heights and max(heights) - min(heights) > _LEVEL / max(self.scale, 1e-9):
            said = msg("{entity} rises out of the drawing plane; it was read as seen from above.", entity=_name(entity))
            self._problem(ProblemKind.NOT_FLAT, said, None, entity)

    def _check_width(self, entity: Record) -> None:
        """Tell of a polyline that is drawn as a band: people draw a slot so, and its edges are nowhere in the file."""
        if entity.kind not in ("LWPOLYLINE", "POLYLINE"):
            return
        widths = [entity.number(43, 0.0), *entity.numbers(40), *entity.numbers(41)]
        widths += [vertex.number(code, 0.0) for vertex in entity.vertices for code in (40, 41)]
        width = max(widths) * self.scale
        if width > _LEVEL:
            said = msg(
                "{entity} is drawn {width} wide; its middle line was read.", entity=_name(entity), width=mm(width)
            )
            self._problem(ProblemKind.WIDE_LINE, said, None, entity, width)

    def _insert(self, entity: Record, matrix: Affine, layer: str, inside: tuple[str, ...]) -> None:
        name = entity.text(2)
        block = self.file.blocks.get(name.strip().casefold())
        if block is None:
            raise MisfitError(msg("it shows the block '{name}', which is not in the file", name=shown(name)))
        if block.external:
            said = msg(
                "The block '{name}' lies in another file, which is not read; put its lines into this drawing.",
                name=shown(name),
            )
            self._problem(ProblemKind.UNRESOLVED, said, None, entity)
            return
        key = block.name.casefold()
        if key in inside:
            raise MisfitError(msg("the block '{name}' contains itself", name=shown(name)))
        if len(inside) >= self.budget.limits.depth:
            raise MisfitError(msg("blocks are nested more than {most} deep", most=self.budget.limits.depth))
        rows, columns = max(1, entity.whole(71, 1)), max(1, entity.whole(70, 1))
        self.budget.take_entities(rows * columns)
        for copy in _copies(entity, block, rows, columns):
            self._walk(block.entities, matrix @ copy, layer, (*inside, key))


def _name(entity: Record) -> Message:
    return msg("{entity} on layer '{layer}'", entity=entity.label, layer=shown(entity.layer))


def _copies(entity: Record, block: BlockRecord, rows: int, columns: int) -> Iterator[Affine]:
    """Yield the transformation of each copy of a block."""
    scale_x, scale_y = entity.number(41, 1.0), entity.number(42, 1.0)
    if scale_x == 0 or scale_y == 0:
        raise MisfitError(msg("a block is scaled to nothing"))
    turn, wide, tall = entity.number(50, 0.0), entity.number(44, 0.0), entity.number(45, 0.0)
    frame = frame_of(entity) @ translation(*entity.point()) @ rotation(turn)
    inner = scaling(scale_x, scale_y) @ translation(-block.base[0], -block.base[1])
    for row in range(rows):
        for column in range(columns):
            yield frame @ translation(column * wide, row * tall) @ inner


def _without_empty_pieces(path: Path) -> Path | None:
    """Return the path without pieces of no length, or None if nothing is left."""
    drawn = path.pieces()
    pieces = [piece for piece in drawn if abs(piece.x1 - piece.x0) > _SAME or abs(piece.y1 - piece.y0) > _SAME]
    if not pieces or (path.closed and len(pieces) == 1):
        return None
    if len(pieces) == len(drawn):
        return path
    vertices = [Vertex(piece.x0, piece.y0, piece.bulge) for piece in pieces]
    if not path.closed:
        vertices.append(Vertex(pieces[-1].x1, pieces[-1].y1))
    return Path(tuple(vertices), path.closed)
