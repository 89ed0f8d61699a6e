"""Fasteners and clamps on the stock: clear of every cut and part, on the stock, and each at a place of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kitforge.model.findings import Finding, FindingType, OnSheet, Severity
from kitforge.model.kit import Kit
from kitforge.model.plan import FastenerPlace, Placement, Plan, PlannedSetup, Sheet, Step
from kitforge.model.units import format_mm, plain_number
from kitforge.model.workshop import HoldKind
from kitforge.planning.fasteners import FASTENED, HELD_AT_POINTS, LEAST, used_hold_down
from kitforge_holding import kinds
from kitforge_holding.areas import area_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

SLACK = 0.01


def check_fasteners(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield fasteners and clamps that are in the way, beside the stock, doubled, or without room."""
    for setup in plan.setups:
        yield from _room(setup)
        yield from _unused(setup)
        yield from _on_stock(setup)
        yield from _repeated(setup)
        steps = [plan.step(key) for key in setup.steps]
        for sheet in setup.sheets:
            yield from _in_way(setup, sheet, steps)
            yield from _in_parts(kit, setup, sheet)


def _found(
    kind: FindingType,
    setup: PlannedSetup,
    message: str,
    advice: str,
    step: Step | None = None,
    severity: Severity | None = None,
    place: FastenerPlace | None = None,
    sheet: Sheet | None = None,
) -> Finding:
    number = (sheet or setup.sheets[0]).number
    return kind.new(
        f"{setup.stock.title}, {setup.face.value} face up: {message}",
        advice,
        source=setup.setup.source,
        part=step.part.key if step else None,
        operation=step.operation.name if step else None,
        severity=severity,
        on_sheet=OnSheet(setup.stock.key, number, setup.face.value, place.x, place.y) if place else None,
    )


def _place(place: FastenerPlace) -> str:
    word = {HoldKind.CLAMPS.value: "clamp", HoldKind.SCREWS.value: "screw", HoldKind.BRADS.value: "brad"}
    return f"the {word.get(place.kind, 'fastener')} at ({plain_number(place.x, 1)}, {plain_number(place.y, 1)}) mm"


def _room(setup: PlannedSetup) -> Iterator[Finding]:
    hold = used_hold_down(setup.setup)
    if hold is None or any(not place.proposed for place in setup.fasteners) or len(setup.fasteners) >= LEAST:
        return
    if setup.setup.hold_downs[0] is hold or all(other.kind in HELD_AT_POINTS for other in setup.setup.hold_downs):
        count = len(setup.fasteners)
        yield _found(
            kinds.NO_FASTENER_ROOM,
            setup,
            f"{hold.name} needs at least {LEAST} places {format_mm(hold.keep_out)} clear of every cut and part; there "
            f"is room for {count}.",
            "Use larger stock, move the parts together, or hold the stock with tape or vacuum.",
            severity=Severity.WARNING if count else None,
        )


def places_of(setup: PlannedSetup) -> list[FastenerPlace]:
    """Return the planned fasteners, and the author's further places that the plan does not use."""
    planned = {(place.x, place.y) for place in setup.fasteners}
    given = [*((HoldKind.CLAMPS, at) for at in setup.setup.clamps), *((None, at) for at in setup.setup.fasteners)]
    more = [
        FastenerPlace(*at, _keep_out(setup, kind), (kind or HoldKind.SCREWS).value, proposed=False)
        for kind, at in given
        if at not in planned
    ]
    return [*setup.fasteners, *more]


def _keep_out(setup: PlannedSetup, kind: HoldKind | None) -> float:
    """Return the largest keep-out of the setup's clamps, or of its screws and brads; usual values if it lists none."""
    wanted = (kind,) if kind else FASTENED
    return max(
        (hold.keep_out for hold in setup.setup.hold_downs if hold.kind in wanted), default=30.0 if kind else 12.0
    )


def _unused(setup: PlannedSetup) -> Iterator[Finding]:
    listed = {hold.kind for hold in setup.setup.hold_downs}
    pairs = (("fasteners", setup.setup.fasteners, FASTENED), ("clamps", setup.setup.clamps, (HoldKind.CLAMPS,)))
    for word, places, wanted in pairs:
        if places and not listed.intersection(wanted):
            yield _found(
                kinds.FASTENER_UNUSED,
                setup,
                f"{len(places)} place(s) for {word} are given, but the hold-downs list none that uses them.",
                "Add the hold-down that belongs to them, or delete the places.",
            )


def _on_stock(setup: PlannedSetup) -> Iterator[Finding]:
    for place in places_of(setup):
        beyond = max(-place.x, -place.y, place.x - setup.stock.length, place.y - setup.stock.width)
        if beyond > SLACK:
            yield _found(
                kinds.FASTENER_OFF_STOCK,
                setup,
                f"{_place(place)} is {format_mm(beyond)} beside the stock.",
                "Give places on the stock, measured from its lower left corner.",
                place=place,
            )


def _repeated(setup: PlannedSetup) -> Iterator[Finding]:
    places = places_of(setup)
    by_key = {(round(place.x, 1), round(place.y, 1)): place for place in places}
    for key, count in Counter((round(place.x, 1), round(place.y, 1)) for place in places).items():
        if count > 1:
            yield _found(
                kinds.FASTENER_REPEATED,
                setup,
                f"{_place(by_key[key])} is given {count} times.",
                "Delete the copies; they do not hold twice.",
                place=by_key[key],
            )


def _in_way(setup: PlannedSetup, sheet: Sheet, steps: Sequence[Step]) -> Iterator[Finding]:
    for step in steps:
        if step.swept is not None and not step.swept.is_empty:
            for placement in sheet.runs(step):
                yield from _struck(setup, sheet, placement, step)


def _struck(setup: PlannedSetup, sheet: Sheet, placement: Placement, step: Step) -> Iterator[Finding]:
    places = places_of(setup)
    for place, distance in zip(places, _distances(step.swept, places, placement), strict=True):
        if distance < place.keep_out - SLACK:
            how = "inside" if distance <= 0 else f"{format_mm(distance)} from"
            yield _found(
                kinds.FASTENER_IN_CUT,
                setup,
                f"{_place(place)} on sheet {sheet.number} is {how} the cut of step {step.number} ('{step.title}' of "
                f"{step.part.title}, copy {placement.copy}); it must be {format_mm(place.keep_out)} clear.",
                "Move it: a cutter that meets metal breaks and throws the pieces.",
                step,
                place=place,
                sheet=sheet,
            )


def _distances(shape: BaseGeometry | None, places: Sequence[FastenerPlace], placement: Placement) -> Sequence[float]:
    """Return how far each fastener lies from a shape in the part's coordinates, mm; 0 inside."""
    from shapely import distance, points

    if not places or shape is None:
        return ()
    spots = points([(place.x - placement.x, place.y - placement.y) for place in places])
    found: list[float] = distance(shape, spots).tolist()
    return found


def _in_waste(setup: PlannedSetup, place: FastenerPlace) -> bool:
    """Return whether a fastener stands in waste that is cut out of a part: there it holds what would come loose."""
    from shapely import contains_xy

    last = setup.divisions[-1].pieces if setup.divisions else ()
    return any(not one.of_part and one.part and contains_xy(one.outline, place.x, place.y) for one in last)


def _in_parts(kit: Kit, setup: PlannedSetup, sheet: Sheet) -> Iterator[Finding]:
    piercing = [place for place in places_of(setup) if place.kind != HoldKind.CLAMPS.value]
    for placement in sheet.placements:
        part = kit.part(placement.part)
        distances = _distances(area_of(part), piercing, placement)
        for place, distance in zip(piercing, distances, strict=True):
            if distance <= 0 and not _in_waste(setup, place):
                yield _found(
                    kinds.FASTENER_IN_PART,
                    setup,
                    f"{_place(place)} on sheet {sheet.number} goes through {part.title}, copy {placement.copy}.",
                    "Move it into the waste, unless the hole belongs to the part.",
                    place=place,
                    sheet=sheet,
                )
