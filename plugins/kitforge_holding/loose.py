"""Pieces that nothing keeps: parts and waste that lie loose beside the turning cutter after a step."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding, OnSheet
from kitforge.model.kit import OperationKind, Side
from kitforge.model.messages import Message, mm, msg, msg_many, size_mm
from kitforge.model.pieces import WoodPiece
from kitforge.model.plan import Plan, PlannedSetup
from kitforge.model.steps import Step
from kitforge.planning.acting import loose_pieces, offered
from kitforge_holding import kinds


def check_loose(plan: Plan) -> Iterator[Finding]:
    """Yield the pieces that the first hold-down with a place leaves loose; those that are alike are told together."""
    for setup in plan.setups:
        hold = next(iter(offered(setup)), None)
        alike: dict[tuple[object, ...], list[WoodPiece]] = {}
        for division, piece in loose_pieces(setup, hold):
            key = division.step, piece.part, piece.of_part, *_sizes(piece), piece.small_waste
            alike.setdefault(key, []).append(piece)
        for (step, *_rest), pieces in alike.items():
            yield _found(setup, plan.step(str(step)), pieces)


def _found(setup: PlannedSetup, step: Step, pieces: list[WoodPiece]) -> Finding:
    piece = pieces[0]
    kind, advice = kinds.LOOSE_PIECE, _remedies(step)
    if piece.of_part:
        kind, advice = kinds.PART_LOOSE, OF_PART
    elif piece.small_waste:
        kind, advice = kinds.SMALL_WASTE, SMALL
    placement = next((run for run in setup.sheets[0].runs(step)), None)
    at = placement.back(piece.x, piece.y) if placement and piece.part == step.part.key else None
    return kind.new(
        _told(step, piece, len(pieces)),
        advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        at=at if piece.copy <= 1 else None,
        on_sheet=OnSheet(setup.stock.key, setup.sheets[0].number, setup.face.value, piece.x, piece.y),
    )


def _sizes(piece: WoodPiece) -> tuple[int, int]:
    return round(piece.length + 0.25), round(piece.width + 0.25)  # no size is drawn where this turns over


OF_PART = msg("Add 'hold: {tabs: {}}' or 'hold: {onion_skin: 0.3 mm}' to the operation, or hold the part with tape.")
SMALL = msg("Nothing holds a piece this small. Clear it whole with a pocket, or keep hands and face away from it.")
WHOLE = msg(
    "Clear it whole with a pocket, add 'hold: {tabs: {}}' or 'hold: {onion_skin: 0.3 mm}', or give it a screw of "
    "its own under fasteners."
)
ISLAND = msg(
    "Cut around it with a profile that has 'hold: {tabs: {}}', clear it too, or give it a screw of its own under "
    "fasteners."
)


def _remedies(step: Step) -> Message:
    return WHOLE if step.operation.does is OperationKind.PROFILE and step.operation.side is not Side.ON else ISLAND


def _told(step: Step, piece: WoodPiece, count: int) -> Message:
    of_part = piece.of_part
    what = (
        _called(piece) if not of_part else msg("a piece of the part, {size},", size=size_mm(piece.length, piece.width))
    )
    return msg_many(
        "'{title}' of {part}: {piece} comes loose beside the turning cutter; nothing keeps it in place.",
        "'{title}' of {part}: {piece} comes loose beside the turning cutter, {count} times; nothing keeps it in place.",
        count,
        title=step.title,
        part=step.part.title,
        piece=what,
    )


def _called(piece: WoodPiece) -> Message:
    if piece.round:
        return msg("a disc of {across}", across=mm(piece.length, 0))
    return msg("a piece of waste, {size},", size=size_mm(piece.length, piece.width))
