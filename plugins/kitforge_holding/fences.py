"""Fences and wedges beside the stock: lower than every step that runs over its edge."""

from __future__ import annotations

from collections.abc import Iterator

from kitforge.model.findings import Finding
from kitforge.model.messages import mm, msg
from kitforge.model.piece import Bounds
from kitforge.model.plan import Plan, PlannedSetup
from kitforge.model.steps import Step
from kitforge.model.workshop import HoldKind
from kitforge.planning.acting import offered
from kitforge_holding import kinds

# A fence needs so much of an edge to press on, mm: common practice, no source.
LEAST_EDGE = 3.0
_OVER = 0.1


def check_fences(plan: Plan) -> Iterator[Finding]:
    """Yield the step that comes down deepest over the edge of a stock which fences hold."""
    for setup in plan.setups:
        hold = next(iter(offered(setup)), None)
        if hold is None or hold.kind is not HoldKind.EDGE_FENCES:
            continue
        over = [step for step in map(plan.step, setup.steps) if runs_over_edge(setup, step)]
        if over:
            yield _found(setup, max(over, key=lambda step: step.tip))


def runs_over_edge(setup: PlannedSetup, step: Step) -> bool:
    """Return whether the cutter of a step comes over an edge of the stock anywhere."""
    if step.swept is None or step.swept.is_empty:
        return False
    boxes = (run.box(Bounds(*step.swept.bounds)) for sheet in setup.sheets for run in sheet.runs(step))
    return any(
        min(box.left, box.bottom) < -_OVER
        or box.right > setup.stock.length + _OVER
        or box.top > setup.stock.width + _OVER
        for box in boxes
    )


def _found(setup: PlannedSetup, step: Step) -> Finding:
    height = setup.thickness - step.tip
    enough = height >= LEAST_EDGE
    message = msg(
        "{stock}, {face} face up: '{title}' runs over the edge of the stock, where fences and wedges stand; it leaves "
        "{height} of the edge below it.",
        stock=setup.stock.title,
        face=setup.face.value,
        title=step.title,
        height=mm(max(height, 0.0)),
    )
    low = msg("Keep fences and wedges lower than {height} above the spoilboard.", height=mm(max(height - 1.0, 0.0)))
    other = msg("Move the cut inward, use larger stock, or hold it with tape from below.")
    kind = kinds.FENCE_LOW if enough else kinds.FENCE_IN_CUT
    return kind.new(
        message,
        low if enough else other,
        source=setup.setup.source,
        part=step.part.key,
        operation=step.operation.name,
    )
