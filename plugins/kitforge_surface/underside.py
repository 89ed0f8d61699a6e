"""What happens at the underside of the stock: through cuts that end too soon, taper off, or go far too deep."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kitforge.model.findings import Finding, Severity
from kitforge.model.kit import CutterKind, OperationKind
from kitforge.model.messages import Message, mm, msg
from kitforge.model.steps import Step
from kitforge.surface.checks import MeasuredPlace, below_stock
from kitforge.surface.clearances import (
    deeper_than_needed,
    is_last_through,
    left_underneath,
    reaches_underside,
    width_underneath,
)
from kitforge.surface.cutter_shape import flat, full_width_height
from kitforge.surface.heightmap import SurfaceState
from kitforge_surface.kinds import BELOW_STOCK, SPOILBOARD_DEEP, THROUGH_SHALLOW, THROUGH_TAPERS
from kitforge_surface.messages import found, near

# Stock and a faced spoilboard are even to about the first, mm; nobody needs to go further into the spoilboard than the
# second; a cut narrower at the underside by less than the third is sanded with the edge. Common practice, no source.
EVEN, DEEPEST, SANDED = 0.1, 2.0, 0.2
# What a through cut takes of the spoilboard if nobody says otherwise, and the most that kit.yaml takes, mm.
USUAL, LARGEST_WRITTEN = 0.5, 5.0


def check_underside(state: SurfaceState) -> Iterator[Finding]:
    """Yield what is wrong at the underside of the stock after a step."""
    step, thickness = state.step, state.step.wood
    if step.operation.does in (OperationKind.FACE, OperationKind.CHAMFER) and below_stock(step):
        yield found(
            BELOW_STOCK,
            step,
            msg(
                "{title}: the tip goes {depth} deep in stock of {thickness}, so it cuts the spoilboard.",
                title=step.title,
                depth=mm(step.depth),
                thickness=mm(thickness),
            ),
            msg("Make the cut smaller, or use thicker stock or a blunter V-bit."),
            _start(step, step.depth - thickness),
        )
    if not is_last_through(step):
        return
    if step.depth - thickness < EVEN:
        yield from _shallow(state)
        return
    if (beyond := deeper_than_needed(step)) > DEEPEST:
        yield found(
            SPOILBOARD_DEEP,
            step,
            msg(
                "{title}: the cutter goes {thickness} into the spoilboard, {beyond} more than it needs to come out.",
                title=step.title,
                thickness=mm(step.depth - thickness),
                beyond=mm(beyond),
            ),
            _advice(step),
            _start(step, beyond),
        )
    if not _odd_anyway(step):
        yield from _tapers(state)


def _shallow(state: SurfaceState) -> Iterator[Finding]:
    """Yield a through cut that ends at the underside itself: an error if nothing of the cutter is flat there."""
    step = state.step
    if not reaches_underside(state):
        return
    pointed = flat(step.cutter) <= 0
    what = (
        msg("only the very tip gets there, and the piece stays in the stock")
        if pointed
        else msg("a skin may stay under it")
    )
    yield found(
        THROUGH_SHALLOW,
        step,
        msg(
            "{title}: the through cut goes {wood} below the stock: {what}.",
            title=step.title,
            wood=mm(step.depth - step.wood),
            what=what,
        ),
        _advice(step),
        left_underneath(state) or _start(step, 0.0),
        Severity.ERROR if pointed else None,
    )


def _tapers(state: SurfaceState) -> Iterator[Finding]:
    """Yield a through cut that is narrower at the underside than the cutter, where the map shows wood left."""
    step = state.step
    width = width_underneath(step)
    if step.cutter.diameter - width < SANDED or (left := left_underneath(state)) is None:
        return
    yield found(
        THROUGH_TAPERS,
        step,
        msg(
            "{title}: at the underside the cut is {width} wide, not {diameter}: the end of {name} does "
            "not come out whole and leaves wood up to {amount} high {near}.",
            title=step.title,
            width=mm(width),
            diameter=mm(step.cutter.diameter),
            name=step.cutter.name,
            amount=mm(left.amount),
            near=near(left),
        ),
        _advice(step),
        left,
    )


def _start(step: Step, amount: float) -> MeasuredPlace | None:
    """Return where a step goes in first, for what is the same all along it."""
    chains = step.travel.chains if step.travel is not None else ()
    starts = [*step.operation.points[:1], *((float(x), float(y)) for x, y in (chain[0][:2] for chain in chains[:1]))]
    return MeasuredPlace(amount, 0.0, starts[0]) if starts else None


def _advice(step: Step) -> Message:
    """Return the allowance that brings the whole end of the cutter out, if one may be written."""
    enough = math.ceil(10 * full_width_height(step.cutter) - 1e-6) / 10 + USUAL
    if enough > LARGEST_WRITTEN:
        return msg("Use a cutter with a flat end.")
    return msg("Write through_allowance: {enough}.", enough=mm(enough))


def _odd_anyway(step: Step) -> bool:
    """Return whether the kind of cutter is itself the mistake: the check of the cutters has said so."""
    does, kind = step.operation.does, step.cutter.kind
    if does is OperationKind.DRILL:
        return kind in (CutterKind.BOWL, CutterKind.SURFACING)
    return kind in (CutterKind.BALL_NOSE, CutterKind.BOWL, CutterKind.V_BIT, CutterKind.DRILL)
