"""Parts, operations and steps without words and without their places in files: what geometry is worked out from.

What follows from these alone is kept, so that a step is worked out once for all plans in which it occurs: the plan
before and the plan after a save that `live` follows, trial pieces, the sizes and thicknesses that leave it as it is.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TypeAlias

from kitforge.model.findings import Source
from kitforge.model.identity import IdentityKey
from kitforge.model.kit import Cutter, Operation, Part, PassOptions, Setup, Stock
from kitforge.model.steps import Step

KEPT = 256
"""How many steps are kept: more than any kit is likely to have."""
_NOWHERE = Source("")

StepAreas: TypeAlias = tuple[IdentityKey[object], ...]


def bare_stock(stock: Stock) -> Stock:
    """Return a stock by its sizes and its material alone."""
    return replace(stock, title="", source=_NOWHERE, count=None, prepare=(), boards=None, planer=None, ladder=None)


def bare_part(part: Part) -> Part:
    """Return a part by its outline, its stock and what is faced off it."""
    return replace(
        part, title="", stock=bare_stock(part.stock), count=1, operations=(), source=_NOWHERE, outline_source=_NOWHERE,
        places=(), note=None, piece_of=None, rung_outlines=(),
    )  # fmt: skip


def bare_cutter(cutter: Cutter) -> Cutter:
    """Return a cutter by its sizes."""
    return replace(cutter, name="", source=_NOWHERE, note=None)


def bare_pass(wish: PassOptions) -> PassOptions:
    """Return what is asked of a pass, by the sizes of its cutter."""
    return replace(wish, cutter=bare_cutter(wish.cutter))


def bare_operation(operation: Operation) -> Operation:
    """Return an operation by what it cuts."""
    return replace(
        operation, title="", source=_NOWHERE, overrides=(), note=None, relief=None, unrelieved=(),
        roughing=operation.roughing and bare_pass(operation.roughing), finishing=bare_pass(operation.finishing),
    )  # fmt: skip


def bare_setup(setup: Setup) -> Setup:
    """Return a set-up by how it holds."""
    return replace(setup, source=_NOWHERE, note=None)


def bare_step(step: Step) -> Step:
    """Return a step by what and how it cuts, without its place in the order."""
    return replace(
        step, number=0, part=bare_part(step.part), operation=bare_operation(step.operation),
        cutter=bare_cutter(step.cutter), copies=1, geometry=None,
    )  # fmt: skip


def step_areas(step: Step) -> StepAreas:
    """Return what a step cuts, sweeps and travels, each equal only to itself: a step leaves them out of its own key."""
    return tuple(IdentityKey[object](one) for one in (step.cut, step.swept, step.travel))
