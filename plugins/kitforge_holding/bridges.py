"""Holding tabs and onion skins: size, number, place. Bounds are common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kitforge.geometry.corners import SMOOTH_TURN, turn_between
from kitforge.model.findings import Finding, FindingType, Severity
from kitforge.model.kit import OnionSkin, Side, Tabs
from kitforge.model.path import Path
from kitforge.model.plan import Plan, Step
from kitforge.model.units import format_mm, plain_number
from kitforge.workshop.cutting_data import cutting_data
from kitforge_holding import kinds
from kitforge_holding.areas import area_of

# A place for a tab may be this far from the line, mm: common practice, no source.
OFF_LINE = 2.0
# A skin thicker than this is a floor, mm: common practice, no source.
THICKEST_SKIN = 1.0
SLACK = 0.01

Point = tuple[float, float]


def check_bridges(plan: Plan) -> Iterator[Finding]:
    """Yield what is wrong with the tabs and skins of through cuts."""
    for step in plan.steps:
        hold = step.operation.hold
        if not step.operation.through or step.operation.finishing.cutter is not step.cutter:
            continue
        if isinstance(hold, Tabs):
            yield from _sizes(step, hold)
            yield from _places(step, hold)
            yield from _frame(plan, step)
        elif isinstance(hold, OnionSkin):
            yield from _skin(step, hold)


def _found(
    kind: FindingType, step: Step, message: str, advice: str, at: Point | None = None, severity: Severity | None = None
) -> Finding:
    return kind.new(
        f"'{step.title}' of {step.part.title}: {message}",
        advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        at=at,
        severity=severity,
    )


def _sizes(step: Step, hold: Tabs) -> Iterator[Finding]:
    practice, thickness = cutting_data().tabs, step.wood
    size = f"{format_mm(hold.width)} wide and {format_mm(hold.height)} high"
    least = int(practice.count.value)
    if step.frees and len(step.tabs) < least:
        given = hold.count is not None or bool(hold.at)
        yield _found(
            kinds.TABS_FEW,
            step,
            f"the part hangs on {len(step.tabs)} tab(s).",
            f"Give at least {least}, evenly spread."
            if given
            else "It is too small for more: better use an onion skin.",
            severity=None if given else Severity.NOTE,
        )
    if hold.width < practice.width.low - SLACK or hold.height < practice.thickness.low - SLACK:
        smallest = f"{format_mm(practice.width.low)} wide and {format_mm(practice.thickness.low)} high"
        yield _found(
            kinds.TAB_SMALL, step, f"tabs of {size} may break by themselves.", f"Make them at least {smallest}."
        )
    if hold.height >= thickness - SLACK:
        yield _found(
            kinds.TAB_UNCUT,
            step,
            f"tabs {format_mm(hold.height)} high in stock of {format_mm(thickness)} leave the line uncut.",
            f"Make them lower: {format_mm(min(3.0, thickness / 3), 1)} is usual.",
        )
    elif hold.height > thickness / 2 + SLACK:
        yield _found(
            kinds.TAB_THICK,
            step,
            f"tabs {format_mm(hold.height)} high are thicker than half of the stock ({format_mm(thickness)}).",
            f"Make them lower: {format_mm(min(3.0, thickness / 3), 1)} is usual; wide tabs hold as well as high ones.",
        )


def _places(step: Step, hold: Tabs) -> Iterator[Finding]:
    closed = [path for path in step.operation.shapes if path.closed]
    corners = [corner for path in closed for corner in _corners(path)]
    clear = hold.width / 2 + step.cutter.radius
    for tab in step.tabs:
        near = min((math.dist((tab.x, tab.y), corner) for corner in corners), default=math.inf)
        if near < clear - SLACK:
            yield _found(
                kinds.TAB_IN_CORNER,
                step,
                f"the tab at {_place((tab.x, tab.y))} is {format_mm(near)} from a corner; half its width and the "
                f"cutter need {format_mm(clear)}.",
                "Move it to a straight run of the outline.",
                at=(tab.x, tab.y),
            )
    for given, tab in zip(hold.at, step.tabs, strict=False):
        off = math.dist(given, (tab.x, tab.y))
        if off > OFF_LINE:
            yield _found(
                kinds.TAB_OFF_OUTLINE,
                step,
                f"the tab at {_place(given)} is {format_mm(off)} off the line; the nearest place on it is "
                f"{_place((tab.x, tab.y))}.",
                "Correct the place; tabs are given in the part's own coordinates.",
                at=given,
            )


def _corners(path: Path) -> list[Point]:
    """Return the sharp corners of a path."""
    pieces = [piece for piece in path.pieces() if piece.chord > 0]
    joints = zip(pieces[-1:] + pieces[:-1], pieces, strict=True)
    return [(after.x0, after.y0) for before, after in joints if abs(turn_between(before, after)) > SMOOTH_TURN]


def _frame(plan: Plan, step: Step) -> Iterator[Finding]:
    """Yield tabs whose far end would lie beyond the stock."""
    if step.operation.side is not Side.OUTSIDE:
        return
    ends = _far_ends(step)
    for sheet in plan.sheets:
        for placement in sheet.placements:
            if placement.part != step.part.key:
                continue
            for tab, (x, y) in zip(step.tabs, ends, strict=True):
                beyond = max(
                    -(x + placement.x), -(y + placement.y),
                    x + placement.x - sheet.stock.length, y + placement.y - sheet.stock.width,
                )  # fmt: skip
                if beyond > SLACK:
                    yield _found(
                        kinds.TAB_NO_FRAME,
                        step,
                        f"the tab at {_place((tab.x, tab.y))} of copy {placement.copy} would end {format_mm(beyond)} "
                        "beyond the edge of the stock, so it holds nothing.",
                        "Move the part inward on the stock, or the tab to another side.",
                        at=(tab.x, tab.y),
                    )


def _far_ends(step: Step) -> list[Point]:
    """Return for each tab the far side of the cut opposite to it, 1 mm into the frame."""
    from shapely import contains_xy

    reach = step.cutter.diameter + 1.0
    area = area_of(step.part)
    ends = []
    for tab in step.tabs:
        turn = math.radians(tab.angle + 90)
        dx, dy = reach * math.cos(turn), reach * math.sin(turn)
        inward = contains_xy(area, tab.x + dx, tab.y + dy)
        ends.append((tab.x - dx, tab.y - dy) if inward else (tab.x + dx, tab.y + dy))
    return ends


def _skin(step: Step, hold: OnionSkin) -> Iterator[Finding]:
    thickness, limits = hold.thickness, cutting_data().tabs.onion_skin
    usual = f"{plain_number(limits.low, 2)} to {format_mm(limits.high)}"
    if thickness > min(THICKEST_SKIN, step.wood / 2) + SLACK:
        yield _found(
            kinds.SKIN_THICK,
            step,
            f"a skin of {format_mm(thickness)} has to be sawn, not sanded or cut with a knife.",
            f"{usual} is usual; use tabs if that does not hold.",
        )
    elif thickness < limits.low - 1e-6:
        yield _found(
            kinds.SKIN_THIN,
            step,
            f"a skin of {format_mm(thickness)} is thinner than stock and spoilboard are even, so it tears in places.",
            f"{usual} is usual; face the spoilboard first.",
        )


def _place(at: Point) -> str:
    return f"({plain_number(at[0], 2)}, {plain_number(at[1], 2)}) mm"
