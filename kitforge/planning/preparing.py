"""How each stock is made ready before anything is cut from it: bought, glued up, flattened by the router.

A piece is glued up where the author says how wide his boards are, or where boards of its wood cannot be bought that
wide; and flattened by the router where it is wider than the planer takes, except on faces that the kit faces itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from kitforge.geometry.shapes import rectangle
from kitforge.model.findings import Source
from kitforge.model.kit import (
    Cutter,
    CutterKind,
    Face,
    Grain,
    Kit,
    Operation,
    OperationKind,
    Part,
    PassOptions,
    Side,
    Stock,
)
from kitforge.model.plan import Flattening, GlueUp, Prepared, Sheet
from kitforge.model.steps import Phase, Step
from kitforge.planning.areas import area_of
from kitforge.planning.step_geometry import with_geometry
from kitforge.workshop.handwork import Quarter, handwork

_FLAT = (CutterKind.SURFACING, CutterKind.STRAIGHT, CutterKind.UP_CUT, CutterKind.DOWN_CUT, CutterKind.COMPRESSION)
BOUGHT = "surfacing-cutter"
"""Key of the cutter that is bought for flattening."""


def prepared(kit: Kit, sheets: Sequence[Sheet]) -> tuple[Prepared, ...]:
    """Return how every stock of a kit is made ready, in the order of the kit."""
    return tuple(_prepared(stock, kit, pieces_of(stock, sheets)) for stock in kit.stock.values())


def pieces_of(stock: Stock, sheets: Sequence[Sheet]) -> int:
    """Return how many pieces of a stock the kit takes."""
    return stock.count or sum(sheet.stock.key == stock.key for sheet in sheets) or 1


def _prepared(stock: Stock, kit: Kit, pieces: int) -> Prepared:
    if stock.material.is_panel:
        return Prepared(stock, pieces, stock.nominal, "", None, None)
    glue = glue_up(stock)
    faces = flattened_faces(stock, kit)
    sold = sold_as(stock, glue, rough=bool(glue or faces))
    flattening = flattening_of(stock, kit, faces, sold.rough) if faces else None
    return Prepared(stock, pieces, sold.rough, sold.name, glue, flattening)


def sold_as(stock: Stock, glue: GlueUp | None, *, rough: bool) -> Quarter:
    """Return the boards to buy for a piece: rough where it is glued up or flattened, else planed on both sides."""
    if not rough:
        return handwork().sold(stock.actual, surfaced=True, nominal=stock.nominal)
    over = handwork().glue_up["over_thickness"].value
    return handwork().sold(glue.thickness if glue else stock.actual + over, surfaced=False)


def across(stock: Stock) -> float:
    """Return the width of a piece across its grain, mm."""
    return stock.length if stock.grain is Grain.WIDTH else stock.width


def along(stock: Stock) -> float:
    """Return the length of a piece along its grain, mm."""
    return stock.width if stock.grain is Grain.WIDTH else stock.length


def widest_board(stock: Stock) -> float:
    """Return the widest board that the piece can be one of, mm: the author's own, else what can be bought."""
    return stock.boards if stock.boards is not None else handwork().widest[stock.material.kind].value


def glue_up(stock: Stock) -> GlueUp | None:
    """Return how a piece is glued up; None for a panel, a piece without grain, or one that a single board gives."""
    if stock.material.is_panel or stock.grain is Grain.NONE or across(stock) <= widest_board(stock):
        return None
    figures = {name: fact.value for name, fact in handwork().glue_up.items()}
    board = stock.boards or figures["usual"]
    whole, length = across(stock) + figures["over_width"], along(stock) + figures["over_length"]
    count = math.ceil(whole / (board - figures["jointing"]) - 1e-9)
    jointed = whole / count
    clamps = max(2, math.ceil(length / figures["clamps"]) + 1)
    thickness = stock.actual + figures["over_thickness"]
    return GlueUp(count, jointed + figures["jointing"], jointed, length, thickness, clamps)


def needs_router(stock: Stock) -> bool:
    """Whether a solid piece is too wide for the planer, so that the router flattens it."""
    planer = stock.planer or handwork().flattening["planer"].value
    return not stock.material.is_panel and min(stock.width, stock.length) > planer


def flattened_faces(stock: Stock, kit: Kit) -> tuple[Face, ...]:
    """Return the faces that are flattened before cutting: none of those that the kit faces itself."""
    if not needs_router(stock):
        return ()
    own = [part for part in kit.parts if part.stock.key == stock.key]
    faced = {operation.face for part in own for operation in part.operations if operation.whole}
    return tuple(face for face in Face if face not in faced)


def flattening_of(stock: Stock, kit: Kit, faces: tuple[Face, ...], rough: float) -> Flattening:
    """Return the flattening of some faces of a piece that was bought `rough` mm thick."""
    cutter = flattening_cutter(kit)
    skim = handwork().flattening["skim"].value
    glue = glue_up(stock)
    over = (glue.thickness if glue else rough) - stock.actual
    # As much off one face as off the other; all of it off one face where the kit faces the other: what that step takes
    # is left on the piece.
    passes = len(faces) * max(1, math.ceil(over / len(faces) / skim - 1e-9))
    step = flattening_step(stock, cutter or bought_cutter(stock.source), skim)
    return Flattening(with_geometry(kit, step), faces, passes, bought=cutter is None)


def flattening_cutter(kit: Kit) -> Cutter | None:
    """Return the kit's surfacing cutter, else its widest one with a flat end; None where none is wide enough."""
    narrowest = handwork().flattening["narrowest"].value
    flat = [cutter for cutter in kit.cutters.values() if cutter.kind in _FLAT and cutter.diameter >= narrowest]
    return max(flat, key=lambda one: (one.kind is CutterKind.SURFACING, one.diameter, one.key), default=None)


def bought_cutter(source: Source) -> Cutter:
    """Return the surfacing cutter to buy."""
    found = handwork().surfacing_cutter
    return Cutter(
        key=BOUGHT,
        name=found.name,
        kind=CutterKind.SURFACING,
        diameter=found.diameter,
        cutting_length=found.cutting_length,
        shank=found.shank,
        overall_length=found.overall_length,
        flutes=found.flutes,
        source=source,
        centre_cutting=False,
        substrate="carbide tipped",
        max_speed=found.max_speed,
    )


def flattening_step(stock: Stock, cutter: Cutter, skim: float) -> Step:
    """Return one flattening pass over the whole face of a piece, `skim` mm deep, as a step."""
    face = rectangle((stock.length, stock.width))
    part = Part(f"{stock.key}-face", str(stock.title), stock, 1, face, (), stock.source, stock.source)
    wish = PassOptions(cutter)
    operation = Operation(
        "flatten", "", OperationKind.FACE, part.key, (face,), (), skim, False, 0.0, Face.TOP, Side.INSIDE, None, wish,
        stock.source,
    )  # fmt: skip
    stepover = handwork().flattening["stepover"].value * cutter.diameter
    area = area_of(operation, cutter, stepover, 0.0, floor=True)
    return Step(
        f"{part.key}/flatten", 0, part, operation, Phase.FACING, cutter, skim, 0.0, stepover, 1, Face.TOP,
        path_length=area.travel.length, corners=area.travel.corners, plunges=area.plunges, travel=area.travel,
        cut=area.cut, swept=area.swept,
    )  # fmt: skip
