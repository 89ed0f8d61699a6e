"""What to load for a step, and how to cut along it, in one sentence of the same shape on every page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitforge.language import later, say, say_as
from kitforge.model.kit import OperationKind, Side
from kitforge.model.steps import Phase
from kitforge.planning.layers import step_layers
from kitforge.print.figures import Units, listed

if TYPE_CHECKING:
    from kitforge.model.plan import Plan
    from kitforge.model.steps import Step
    from kitforge.print.settings import StepView

_MOST_NAMED = 3
"""Files that are named one by one; of more the first and the last are."""

_LINE = later("follow the line with the middle of the cutter")
_INSIDE = later("clear what lies inside the line")
_ON_SIDE = {
    Side.OUTSIDE: later("cut outside the line"),
    Side.INSIDE: later("cut inside the line"),
    Side.ON: later("cut with the middle of the cutter on the line"),
}
_BY_KIND = {
    OperationKind.POCKET: _INSIDE,
    OperationKind.DISH: _INSIDE,
    OperationKind.GROOVE: _LINE,
    OperationKind.CHAMFER: _LINE,
    OperationKind.ENGRAVE: later("lead the bit along the middle of the strokes"),
}


def load_words(plan: Plan, steps: Sequence[Step], units: Units, rows: Sequence[StepView]) -> str:
    """Return the sentence for steps that cut alike: which files and layers, where the cutter runs, how deep, in which
    passes.

    rows: their settings on the machine classes that are printed; several that differ leave the passes to their table.
    """
    how, passes = _how(steps[0]), _passes(steps[0], rows)
    where = where_words(plan, steps[0]) if len(steps) == 1 else _wheres(plan, steps)
    depths = list(dict.fromkeys(_depth(step, units) for step in steps))
    depth = depths[0] if len(depths) == 1 else say("as deep as the table says")
    if passes:
        return say("Load {where}; {how}, {depth}, {passes}.", where=where, how=how, depth=depth, passes=passes)
    return say("Load {where}; {how}, {depth}.", where=where, how=how, depth=depth)


def where_words(plan: Plan, step: Step) -> str:
    """Return the files and the layer of a step, e.g. 'sheet-board-1.dxf, layer OUTLINE'."""
    return listed([say("{files}, layer {layer}", files=files, layer=key) for files, key in _places(plan, step)])


def layer_names(plan: Plan, step: Step) -> tuple[str, ...]:
    """Return the layers on which a step lies, whatever the files."""
    return tuple(layer for _, layer in _places(plan, step))


def _wheres(plan: Plan, steps: Sequence[Step]) -> str:
    """Return the files of several steps with the layers in them: every one, or of many that their table has them."""
    found: dict[str, list[str]] = {}
    for step in steps:
        for files, layer in _places(plan, step):
            found.setdefault(files, []).append(layer)
    return listed(
        [
            say("{files}, layers {layers}", files=files, layers=listed(layers))
            if 1 < len(layers) <= _MOST_NAMED
            else say("{files}, layer {layer}", files=files, layer=layers[0])
            if len(layers) == 1
            else say("{files}, the {count} layers of the table", files=files, count=len(layers))
            for files, layers in found.items()
        ]
    )


def layers_words(plan: Plan, steps: Sequence[Step], units: Units) -> str:
    """Return the files of several steps, with the layer of each and how deep it goes there, in short."""
    found: dict[str, list[str]] = {}
    for step in steps:
        for files, layer in _places(plan, step):
            found.setdefault(files, []).append(f"{layer} {_short_depth(step, units)}")
    return "; ".join(f"{files}: {', '.join(layers)}" for files, layers in found.items())


def _short_depth(step: Step, units: Units) -> str:
    return say("through") if step.through else units.length(step.depth).main


def _places(plan: Plan, step: Step) -> list[tuple[str, str]]:
    """Return the files in which a step lies on one layer, in words, and that layer."""
    files: dict[str, list[str]] = {}
    for found in step_layers(plan, step):
        files.setdefault(found.layer, []).append(f"{found.drawing}.dxf")
    return [(_named(names), layer) for layer, names in files.items()]


def _named(files: Sequence[str]) -> str:
    if len(files) > _MOST_NAMED:
        return say("{first} to {last}", first=files[0], last=files[-1])
    return listed(list(files))


def _how(step: Step) -> str:
    operation = step.operation
    if operation.whole:
        return say("clear the whole face of the stock")
    if step.phase is Phase.WALLS:
        return say_as(_ON_SIDE[Side.INSIDE])
    if operation.does is OperationKind.PROFILE:
        return say_as(_ON_SIDE[operation.side])
    if operation.does is OperationKind.DRILL:
        return say("drill in the middle of each circle") if operation.points else say("clear what lies in each circle")
    if operation.points and not operation.shapes:
        return say("plunge in the middle of each circle")
    if operation.points:
        return say("clear what lies inside the line, plunge in the middle of each circle")
    return say_as(_BY_KIND.get(operation.does, _INSIDE))


def _depth(step: Step, units: Units) -> str:
    depth = units.length(step.depth).main
    if step.operation.does is OperationKind.ENGRAVE:
        return say("nowhere deeper than {depth}", depth=depth)
    if step.through:
        return say("{depth} deep (through)", depth=depth)
    if step.top > 0:
        return say("from {top} down to {depth}", top=units.length(step.top).main, depth=depth)
    return say("{depth} deep", depth=depth)


def _passes(step: Step, rows: Sequence[StepView]) -> str:
    """Return in how many passes, or nothing: a drill has none, and without settings nobody knows."""
    if not rows or (step.operation.does is OperationKind.DRILL and step.operation.points):
        return ""
    told = {_passes_of(row) for row in rows}
    return told.pop() if len(told) == 1 else ""


def _passes_of(row: StepView) -> str:
    count, last = row.passes.count, row.passes.last
    if count == 1:
        each = row.depth.start.main
        two = say("in a pass of {each} and a last one of {last}", each=each, last=last)
        return two if last else say("in one pass")
    if last:
        return say("in {count} equal passes and a last one of {last}", count=count, last=last)
    return say("in {count} equal passes", count=count)
