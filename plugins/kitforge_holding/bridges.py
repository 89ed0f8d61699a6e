"""Holding tabs and onion skins: size, number, place. Bounds are common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import contains_xy

from kitforge.geometry.corners import SMOOTH_TURN, turn_between
from kitforge.model.findings import Finding, FindingType, Mend, Severity
from kitforge.model.kit import OnionSkin, Side, Tabs
from kitforge.model.messages import Message, bare_mm, mm, msg, point_mm
from kitforge.model.path import Path
from kitforge.model.plan import Plan
from kitforge.model.steps import Step
from kitforge.workshop.cutting_data import TabPractice, cutting_data
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
            yield from _sizes(step, hold, frees=plan.frees(step))
            yield from _places(step, hold)
            yield from _frame(plan, step)
        elif isinstance(hold, OnionSkin):
            yield from _skin(step, hold)


def _found(
    kind: FindingType,
    step: Step,
    message: Message,
    advice: Message,
    at: Point | None = None,
    severity: Severity | None = None,
    mend: Mend | None = None,
) -> Finding:
    return kind.new(
        msg("'{step}' of {part}: {message}", step=step.title, part=step.part.title, message=message),
        advice,
        source=step.operation.source,
        part=step.part.key,
        operation=step.operation.name,
        at=at,
        severity=severity,
        mend=mend,
    )


def _sides(**lengths: float) -> Mend:
    """Return sides of the tabs as they are to be written, mm; number and places stay."""
    return Mend(("hold", "tabs"), tuple(lengths.items()), beside=True)


def _larger(hold: Tabs, practice: TabPractice, thickness: float) -> Mend | None:
    """Return the smallest tabs of usual size, None in a stock that is too thin for them."""
    if practice.thickness.low > thickness / 2:
        return None
    return _sides(width=max(hold.width, practice.width.low), height=max(hold.height, practice.thickness.low))


def _usual_height(thickness: float) -> float:
    """Return how high tabs usually are at most in a stock, mm, as it is printed. Common practice, no source."""
    return math.floor(min(3.0, thickness / 3) * 10 + 1e-6) / 10


def _sizes(step: Step, hold: Tabs, *, frees: bool) -> Iterator[Finding]:
    practice, thickness = cutting_data().tabs, step.wood
    size = msg("{width} wide and {height} high", width=mm(hold.width), height=mm(hold.height))
    least = int(practice.count.value)
    if frees and len(step.tabs) < least:
        given = hold.count is not None or bool(hold.at)
        yield _found(
            kinds.TABS_FEW,
            step,
            msg("the part hangs on {count} tab(s).", count=len(step.tabs)),
            msg("Give at least {least}, evenly spread.", least=least)
            if given
            else msg("It is too small for more: better use an onion skin."),
            severity=None if given else Severity.NOTE,
        )
    if hold.width < practice.width.low - SLACK or hold.height < practice.thickness.low - SLACK:
        smallest = msg(
            "{width} wide and {height} high", width=mm(practice.width.low), height=mm(practice.thickness.low)
        )
        yield _found(
            kinds.TAB_SMALL,
            step,
            msg("tabs of {size} may break by themselves.", size=size),
            msg("Make them at least {size}.", size=smallest),
            mend=_larger(hold, practice, thickness),
        )
    if hold.height >= thickness - SLACK:
        yield _found(
            kinds.TAB_UNCUT,
            step,
            msg(
                "tabs {height} high in stock of {thickness} leave the line uncut.",
                height=mm(hold.height),
                thickness=mm(thickness),
            ),
            msg("Make them lower: {height} is usual.", height=mm(_usual_height(thickness), 1)),
            mend=_sides(height=_usual_height(thickness)),
        )
    elif hold.height > thickness / 2 + SLACK:
        yield _found(
            kinds.TAB_THICK,
            step,
            msg(
                "tabs {height} high are thicker than half of the stock ({thickness}).",
                height=mm(hold.height),
                thickness=mm(thickness),
            ),
            msg(
                "Make them lower: {height} is usual; wide tabs hold as well as high ones.",
                height=mm(_usual_height(thickness), 1),
            ),
            mend=_sides(height=_usual_height(thickness)),
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
                msg(
                    "the tab at {at} is {near} from a corner; half its width and the cutter need {clear}.",
                    at=point_mm((tab.x, tab.y)),
                    near=mm(near),
                    clear=mm(clear),
                ),
                msg("Move it to a straight run of the outline."),
                at=(tab.x, tab.y),
            )
    for given, tab in zip(hold.at, step.tabs, strict=False):
        off = math.dist(given, (tab.x, tab.y))
        if off > OFF_LINE:
            yield _found(
                kinds.TAB_OFF_OUTLINE,
                step,
                msg(
                    "the tab at {at} is {off} off the line; the nearest place on it is {nearest}.",
                    at=point_mm(given),
                    off=mm(off),
                    nearest=point_mm((tab.x, tab.y)),
                ),
                msg("Correct the place; tabs are given in the part's own coordinates."),
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
            for tab, end in zip(step.tabs, ends, strict=True):
                x, y = placement.spot(*end)
                beyond = max(-x, -y, x - sheet.stock.length, y - sheet.stock.width)
                if beyond > SLACK:
                    yield _found(
                        kinds.TAB_NO_FRAME,
                        step,
                        msg(
                            "the tab at {at} of copy {copy} would end {beyond} beyond the edge of the stock, so it "
                            "holds "
                            "nothing.",
                            at=point_mm((tab.x, tab.y)),
                            copy=placement.copy,
                            beyond=mm(beyond),
                        ),
                        msg("Move the part inward on the stock, or the tab to another side."),
                        at=(tab.x, tab.y),
                    )


def _far_ends(step: Step) -> list[Point]:
    """Return for each tab the far side of the cut opposite to it, 1 mm into the frame."""
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
    usual = msg("{low} to {high}", low=bare_mm(limits.low), high=mm(limits.high))
    if thickness > min(THICKEST_SKIN, step.wood / 2) + SLACK:
        yield _found(
            kinds.SKIN_THICK,
            step,
            msg("a skin of {thickness} has to be sawn, not sanded or cut with a knife.", thickness=mm(thickness)),
            msg("{usual} is usual; use tabs if that does not hold.", usual=usual),
        )
    elif thickness < limits.low - 1e-6:
        yield _found(
            kinds.SKIN_THIN,
            step,
            msg(
                "a skin of {thickness} is thinner than stock and spoilboard are even, so it tears in places.",
                thickness=mm(thickness),
            ),
            msg("{usual} is usual; face the spoilboard first.", usual=usual),
        )
