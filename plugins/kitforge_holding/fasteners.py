"""Fasteners and clamps on the stock: clear of every cut and part, on the stock, and each at a place of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from shapely import contains_xy, distance, points
from shapely.geometry.base import BaseGeometry

from kitforge.model.findings import Finding, FindingType, OnSheet, Severity
from kitforge.model.holds import FastenerPlace
from kitforge.model.kit import Kit
from kitforge.model.messages import Message, Value, mm, msg, term
from kitforge.model.plan import Placement, Plan, PlannedSetup, Sheet
from kitforge.model.steps import Step
from kitforge.model.workshop import HoldKind
from kitforge.planning.acting import places_for
from kitforge.planning.fasteners import FASTENED, HELD_AT_POINTS, LEAST, placed_hold_downs
from kitforge_holding import kinds
from kitforge_holding.areas import area_of
from kitforge_holding.words import named, where

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
    message: Message,
    advice: Message,
    step: Step | None = None,
    severity: Severity | None = None,
    place: FastenerPlace | None = None,
    sheet: Sheet | None = None,
) -> Finding:
    number = (sheet or setup.sheets[0]).number
    return kind.new(
        msg("{where}: {message}", where=where(setup), message=message),
        advice,
        source=setup.setup.source,
        part=step.part.key if step else None,
        operation=step.operation.name if step else None,
        severity=severity,
        on_sheet=OnSheet(setup.stock.key, number, setup.face.value, place.x, place.y) if place else None,
    )


def _room(setup: PlannedSetup) -> Iterator[Finding]:
    hold = next(iter(placed_hold_downs(setup.setup)), None)
    if hold is None:
        return
    places = places_for(hold, setup.fasteners)
    if any(not place.proposed for place in places) or len(places) >= LEAST:
        return
    if setup.setup.hold_downs[0].kind is hold.kind or all(
        other.kind in HELD_AT_POINTS for other in setup.setup.hold_downs
    ):
        count = len(places)
        yield _found(
            kinds.NO_FASTENER_ROOM,
            setup,
            msg(
                "{hold_down} needs at least {least} places {clear} clear of every cut and part; there is room for "
                "{count}.",
                hold_down=term(hold.name),
                least=LEAST,
                clear=mm(hold.keep_out),
                count=count,
            ),
            msg("Use larger stock, move the parts together, or hold the stock with tape or vacuum."),
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
    pairs = (
        (msg("fasteners"), setup.setup.fasteners, FASTENED),
        (msg("clamps"), setup.setup.clamps, (HoldKind.CLAMPS,)),
    )
    for word, places, wanted in pairs:
        if places and not listed.intersection(wanted):
            yield _found(
                kinds.FASTENER_UNUSED,
                setup,
                msg(
                    "{count} place(s) for {kind} are given, but the hold-downs list none that uses them.",
                    count=len(places),
                    kind=word,
                ),
                msg("Add the hold-down that belongs to them, or delete the places."),
            )


def _on_stock(setup: PlannedSetup) -> Iterator[Finding]:
    for place in places_of(setup):
        beyond = max(-place.x, -place.y, place.x - setup.stock.length, place.y - setup.stock.width)
        if beyond > SLACK:
            yield _found(
                kinds.FASTENER_OFF_STOCK,
                setup,
                msg("{fastener} is {beyond} beside the stock.", fastener=named(place), beyond=mm(beyond)),
                msg("Give places on the stock, measured from its lower left corner."),
                place=place,
            )


def _repeated(setup: PlannedSetup) -> Iterator[Finding]:
    places = places_of(setup)
    by_key = {(round(place.x, 1), round(place.y, 1), place.kind): place for place in places}
    for key, count in Counter((round(place.x, 1), round(place.y, 1), place.kind) for place in places).items():
        if count > 1:
            yield _found(
                kinds.FASTENER_REPEATED,
                setup,
                msg("{fastener} is given {count} times.", fastener=named(by_key[key]), count=count),
                msg("Delete the copies; they do not hold twice."),
                place=by_key[key],
            )


def _in_way(setup: PlannedSetup, sheet: Sheet, steps: Sequence[Step]) -> Iterator[Finding]:
    for step in steps:
        if step.swept is not None and not step.swept.is_empty:
            for placement in sheet.runs(step):
                yield from _struck(setup, sheet, placement, step)


def _struck(setup: PlannedSetup, sheet: Sheet, placement: Placement, step: Step) -> Iterator[Finding]:
    places = places_of(setup)
    for place, away in zip(places, _distances(step.swept, places, placement), strict=True):
        if away < place.keep_out - SLACK:
            yield _found(
                kinds.FASTENER_IN_CUT,
                setup,
                _near_cut(place, away, sheet, placement, step),
                msg("Move it: a cutter that meets metal breaks and throws the pieces."),
                step,
                place=place,
                sheet=sheet,
            )


def _near_cut(place: FastenerPlace, distance: float, sheet: Sheet, placement: Placement, step: Step) -> Message:
    cut = msg(
        "the cut of step {number} ('{step}' of {part}, copy {copy})",
        number=step.number,
        step=step.title,
        part=step.part.title,
        copy=placement.copy,
    )
    values: dict[str, Value] = {
        "fastener": named(place),
        "sheet": sheet.number,
        "cut": cut,
        "clear": mm(place.keep_out),
    }
    if distance <= 0:
        return msg("{fastener} on sheet {sheet} is inside {cut}; it must be {clear} clear.", **values)
    return msg(
        "{fastener} on sheet {sheet} is {distance} from {cut}; it must be {clear} clear.",
        distance=mm(distance),
        **values,
    )


def _distances(shape: BaseGeometry | None, places: Sequence[FastenerPlace], placement: Placement) -> Sequence[float]:
    """Return how far each fastener lies from a shape in the part's coordinates, mm; 0 inside."""
    if not places or shape is None:
        return ()
    spots = points([placement.back(place.x, place.y) for place in places])
    found: list[float] = distance(shape, spots).tolist()
    return found


def _in_waste(setup: PlannedSetup, place: FastenerPlace) -> bool:
    """Return whether a fastener stands in waste that is cut out of a part: there it holds what would come loose."""
    last = setup.divisions[-1].pieces if setup.divisions else ()
    return any(not one.of_part and one.part and contains_xy(one.outline, place.x, place.y) for one in last)


def _in_parts(kit: Kit, setup: PlannedSetup, sheet: Sheet) -> Iterator[Finding]:
    piercing = [place for place in places_of(setup) if place.kind != HoldKind.CLAMPS.value]
    for placement in sheet.placements:
        part = kit.part(placement.part)
        distances = _distances(area_of(part), piercing, placement)
        for place, away in zip(piercing, distances, strict=True):
            if away <= 0 and not _in_waste(setup, place):
                yield _found(
                    kinds.FASTENER_IN_PART,
                    setup,
                    msg(
                        "{fastener} on sheet {sheet} goes through {part}, copy {copy}.",
                        fastener=named(place),
                        sheet=sheet.number,
                        part=part.title,
                        copy=placement.copy,
                    ),
                    msg("Move it into the waste, unless the hole belongs to the part."),
                    place=place,
                    sheet=sheet,
                )
