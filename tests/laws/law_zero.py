"""The law of zero and depth, worked out anew from what the author wrote and from the height map of the cut stock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from kit_samples import Sample
from planted import Fault

from kitforge.drawings.write import layer_names
from kitforge.model.datum import AS_IT_CAME, Datum, Interval
from kitforge.model.kit import Face, Kit, OnionSkin, Operation, OperationKind, Part, PassOptions
from kitforge.model.steps import Phase, Step
from kitforge.planning import layers, order, steps
from kitforge.planning.areas import filled
from kitforge.surface.heightmap import Surface, simulate

LAW = "every depth counts from a surface that exists at that moment, and ends where the author wants it"
_HAIR = 2e-3  # mm: the height map keeps single precision
_CELL, _CEILING = 2.0, 40_000


def broken(sample: Sample) -> list[str]:
    """Return every step whose datum is not there, whose tip ends elsewhere, or whose layer says something else."""
    found = []
    for part in sample.kit.parts:
        own = sample.plan.steps_of(part.key)
        found += [*_without_datum(part, own), *_tips(sample.kit, part, own), *_layers(sample, part)]
    return [*found, *_faced_more_than_once(sample)]


def _without_datum(part: Part, own: tuple[Step, ...]) -> Iterator[str]:
    """Compare each step with the stock as the steps before it have left it."""
    for state in simulate(part, own, cell=_CELL, ceiling=_CEILING):
        step, highest = state.step, _highest(state.before, state.step.face)
        if abs(step.datum.below - highest) > _HAIR:
            yield f"{step.key} counts from {step.datum.below:g}, and the face is {highest:g} mm down"
        wood = state.before.thickness - highest - _highest(state.before, _other(step.face))
        if abs(step.wood - wood) > _HAIR:
            yield f"{step.key} finds {wood:g} mm of wood, not {step.wood:g}"
        if not 0 <= step.top < step.depth:
            yield f"{step.key} runs from {step.top:g} to {step.depth:g}"
        came_out = float(state.after.remaining().min()) <= 0 < float(state.before.remaining().min())
        if came_out and not step.through and step.operation.through:
            yield f"{step.key} comes out underneath and says it does not"


def _highest(surface: Surface, face: Face) -> float:
    own = surface.top if face is Face.TOP else surface.bottom
    return 0.0 if own is None else float(own.min())


def _other(face: Face) -> Face:
    return Face.BOTTOM if face is Face.TOP else Face.TOP


def _tips(kit: Kit, part: Part, own: tuple[Step, ...]) -> Iterator[str]:
    """Compare where a step ends, below the face as the stock came, with what the author asked for."""
    for step in own:
        operation, rough = step.operation, step.phase is Phase.ROUGHING and step.operation.roughing is not None
        if operation.does is OperationKind.ENGRAVE:
            continue
        lowered = _lowered(kit, part, own, step, step.face)
        left = step.operation.roughing.leave_floor if rough and step.operation.roughing else 0.0
        if operation.through:
            under = part.stock.actual - lowered - _lowered(kit, part, own, step, _other(step.face))
            skin = operation.hold.thickness if isinstance(operation.hold, OnionSkin) else 0.0
            out = 0.0 if skin or left else operation.allowance
            wanted = lowered + under - skin - left + out
        else:
            wanted = lowered + operation.depth - left
        if abs(step.tip - wanted) > _HAIR:
            yield f"{step.key} ends {step.tip:g} mm below the face as it came, {wanted:g} is wanted"


def _lowered(kit: Kit, part: Part, own: tuple[Step, ...], step: Step, face: Face) -> float:
    """Return how far whole facings cut before a step have lowered a face; a facing counts when its last pass is done.

    Facings of shapes that cover a whole part are left to the height map.
    """
    done = [one for one in own if one.number < step.number and one.operation is not step.operation]
    asked = [one.operation for one in done if one.operation.whole and one.face is face]
    return sum(operation.depth for operation in dict.fromkeys(asked)) if kit.part(part.key) is part else 0.0


def _layers(sample: Sample, part: Part) -> Iterator[str]:
    for drawing in layers.part_drawings(sample.plan, part):
        for operation in part.operations:
            skin = isinstance(operation.hold, OnionSkin) and operation.through
            note = str(drawing.notes.get(layer_names([operation.name])[operation.name], ""))
            if skin and "through" in note:
                yield f"the layer of {part.key}/{operation.name} goes through, and a skin is to stay"
            if operation.whole and note:
                yield f"{part.key}/{operation.name} faces the stock and is drawn on the part"


def _faced_more_than_once(sample: Sample) -> Iterator[str]:
    for setup in sample.plan.setups:
        facings = [sample.plan.step(key) for key in setup.steps if sample.plan.step(key).operation.whole]
        for one in facings:
            if one.part.key != facings[0].part.key:
                yield f"{setup.stock.key} is faced by {one.part.key} and by {facings[0].part.key}"
            low_x, low_y, high_x, high_y = one.cut.bounds if one.cut is not None else (0.0, 0.0, 0.0, 0.0)
            if low_x > 0 or low_y > 0 or high_x < setup.stock.length or high_y < setup.stock.width:
                yield f"{one.key} does not reach all of {setup.stock.key}"
        late = [key for key in setup.steps if sample.plan.step(key).operation.does is not OperationKind.FACE]
        first = setup.steps.index(late[0]) if late else len(setup.steps)
        if not sample.kit.order_as_written and any(setup.steps.index(one.key) > first for one in facings):
            yield f"{setup.stock.key} is faced after {late[0]}"


Depths = tuple[Datum, Interval]


def _wrong(patch: pytest.MonkeyPatch, change: object) -> None:
    """Put a wrong depth in the place of the right one: `change` gets it with what it was worked out from."""
    right = steps.depths_of

    def wrong(
        part: Part, operation: Operation, wish: PassOptions, phase: Phase, deepest: float | None = None
    ) -> Depths:
        datum, interval = right(part, operation, wish, phase, deepest)
        found: Depths = change(part, operation, datum, interval)  # type: ignore[operator]
        return found

    patch.setattr(steps, "depths_of", wrong)


def _no_datum(patch: pytest.MonkeyPatch) -> None:
    _wrong(patch, lambda _part, _operation, _datum, interval: (AS_IT_CAME, interval))


def _from_the_old_face(patch: pytest.MonkeyPatch) -> None:
    def change(_part: Part, _operation: Operation, datum: Datum, interval: Interval) -> Depths:
        return datum, Interval(interval.top, interval.tip + datum.below)

    _wrong(patch, change)


def _other_face_forgotten(patch: pytest.MonkeyPatch) -> None:
    def change(_part: Part, operation: Operation, datum: Datum, interval: Interval) -> Depths:
        more = datum.opposite if operation.through else 0.0
        return replace(datum, opposite=0.0), Interval(interval.top, interval.tip + more)

    _wrong(patch, change)


def _skin_cut_through(patch: pytest.MonkeyPatch) -> None:
    def change(_part: Part, operation: Operation, datum: Datum, interval: Interval) -> Depths:
        return datum, Interval(interval.top, interval.tip + (operation.skin and operation.skin + operation.allowance))

    _wrong(patch, change)


def _allowance_twice(patch: pytest.MonkeyPatch) -> None:
    def change(_part: Part, operation: Operation, datum: Datum, interval: Interval) -> Depths:
        return datum, Interval(interval.top, interval.tip + operation.allowance)

    _wrong(patch, change)


def _no_allowance(patch: pytest.MonkeyPatch) -> None:
    def change(part: Part, operation: Operation, datum: Datum, interval: Interval) -> Depths:
        wood = operation.datum.wood(part.stock.actual)
        return datum, Interval(interval.top, min(interval.tip, wood) if operation.through else interval.tip)

    _wrong(patch, change)


def _roughed_to_the_floor(patch: pytest.MonkeyPatch) -> None:
    right = steps.depths_of

    def wrong(
        part: Part, operation: Operation, wish: PassOptions, phase: Phase, deepest: float | None = None
    ) -> Depths:
        return right(part, operation, replace(wish, leave_floor=0.0), phase, deepest)

    patch.setattr(steps, "depths_of", wrong)


def _faced_last(patch: pytest.MonkeyPatch) -> None:
    right = order._computed
    patch.setattr(
        order, "_computed", lambda group: sorted(right(group), key=lambda s: s.operation.does is OperationKind.FACE)
    )


def _outline_faced(patch: pytest.MonkeyPatch) -> None:
    """The fault of old: facing without shapes cuts the outline of a part only."""
    right = steps.steps_of

    def wrong(kit: Kit) -> list[Step]:
        return [replace(s, cut=filled([s.part.outline])) if s.operation.whole else s for s in right(kit)]

    patch.setattr("kitforge.stages.planning.steps_of", wrong)


def _through_layer(patch: pytest.MonkeyPatch) -> None:
    right = layers.note_of
    patch.setattr(layers, "note_of", lambda one: "through" if one.through else right(one))


FACED = {"facing of the whole stock"}
FAULTS = (
    Fault("nobody notes that the face was lowered", _no_datum, FACED),
    Fault("depths after facing still count from the old face", _from_the_old_face, FACED),
    Fault("what was taken off the other face is forgotten", _other_face_forgotten, FACED | {"two faces"}),
    Fault("a skin is cut through into the spoilboard", _skin_cut_through, {"onion skin"}),
    Fault("a through cut goes its allowance twice", _allowance_twice),
    Fault("a through cut goes no further than the wood", _no_allowance),
    Fault("roughing goes down to the floor", _roughed_to_the_floor, {"two passes"}),
    Fault("facing comes last", _faced_last, FACED),
    Fault("facing reaches the outline of one part only", _outline_faced, FACED),
    Fault("the layer of a skin is called through", _through_layer, {"onion skin"}),
)
