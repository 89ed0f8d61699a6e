"""The parts on their stock: large enough, at their places, apart from each other, on as many pieces as there are."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from shapely import MultiPolygon, Point, STRtree, get_coordinates, union, union_all
from shapely.geometry.base import BaseGeometry

from kitforge.model.findings import Finding, OnSheet
from kitforge.model.kit import Face, Kit, Part
from kitforge.model.messages import area_mm2, listed, mm, msg, point_mm, size_mm
from kitforge.model.plan import Placement, Plan, Sheet
from kitforge.model.record import record
from kitforge_outline import kinds
from kitforge_outline.features import enclosed

# Rounding of places, mm, and of areas, mm2, that nobody can see.
SLACK = 0.01
_MOST_FINDINGS = 20


@record(eq=False)
class _Lying:
    """A copy of a part on a sheet: its area and what the cutter sweeps for it, in the sheet's coordinates."""

    part: Part
    placement: Placement
    area: MultiPolygon
    swept: BaseGeometry


def check_sheets(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what is wrong with the layout of a kit on its stock."""
    for sheet in plan.sheets:
        yield from _too_large(kit, sheet)
        yield from _off_stock(kit, sheet)
        yield from _too_close(kit, plan, sheet)
    yield from _too_few(kit, plan)


def _too_large(kit: Kit, sheet: Sheet) -> Iterator[Finding]:
    for key in sheet.overflow:
        part, stock = kit.part(key), sheet.stock
        box = part.outline.bounds
        length, width = stock.length - 2 * stock.margin, stock.width - 2 * stock.margin
        yield kinds.PART_TOO_LARGE.new(
            msg(
                "'{title}' is {size}, but {title_2} gives {size_2} inside its margin of {margin}.",
                title=part.title,
                size=size_mm(box.width, box.height),
                title_2=stock.title,
                size_2=size_mm(length, width),
                margin=mm(stock.margin),
            ),
            msg("Use larger stock, turn the part in its drawing, or give it a place of its own on the stock."),
            source=part.source,
            part=part.key,
        )


def _off_stock(kit: Kit, sheet: Sheet) -> Iterator[Finding]:
    for lying in sheet.placements:
        part = kit.part(lying.part)
        box = lying.box(part.outline.bounds)
        beyond = max(-box.left, -box.bottom, box.right - sheet.stock.length, box.top - sheet.stock.width)
        if beyond <= SLACK:
            continue
        stock = sheet.stock
        fits = box.width <= stock.length + SLACK and box.height <= stock.width + SLACK
        kind = kinds.PART_OFF_STOCK if fits else kinds.PART_TOO_LARGE
        yield kind.new(
            msg(
                "'{title}' ({size}) at {at} reaches {beyond} beyond {title_2} ({size_2}).",
                title=part.title,
                size=size_mm(box.width, box.height),
                at=point_mm((lying.x, lying.y)),
                beyond=mm(beyond),
                title_2=stock.title,
                size_2=size_mm(stock.length, stock.width),
            ),
            msg("Move the part's place on the stock.") if fits else msg("Use larger stock or a smaller part."),
            source=part.source,
            part=part.key,
            on_sheet=_spot(sheet, *box.centre),
        )


def _too_close(kit: Kit, plan: Plan, sheet: Sheet) -> Iterator[Finding]:
    if len(sheet.placements) < 2:
        return
    shapes = {key: _shape(kit.part(key), plan) for key in {placement.part for placement in sheet.placements}}
    lying = [_lying(kit.part(placement.part), placement, *shapes[placement.part]) for placement in sheet.placements]
    areas = [entry.area for entry in lying]
    swept, area = STRtree(areas).query([entry.swept for entry in lying], predicate="intersects")
    pairs = {(min(a, b), max(a, b)) for a, b in zip(swept.tolist(), area.tolist(), strict=True) if a != b}
    findings = (finding for one, other in sorted(pairs) for finding in _closeness(sheet, lying[one], lying[other]))
    yield from islice(findings, _MOST_FINDINGS)


def _shape(part: Part, plan: Plan) -> tuple[MultiPolygon, BaseGeometry]:
    """Return the area of a part, and that with all that the cutter sweeps for it, in the part's coordinates."""
    area = enclosed([part.outline])
    own = [step for step in plan.steps_of(part.key) if not step.operation.whole]
    return area, union_all([area, *(step.swept for step in own if step.swept is not None)])


def _lying(part: Part, at: Placement, area: MultiPolygon, swept: BaseGeometry) -> _Lying:
    return _Lying(part, at, at.shape(area), at.shape(swept))


def _reach(one: _Lying, other: _Lying) -> float:
    """Return how far a cut of one part reaches beyond it, in mm, there where it cuts into another part."""
    common = one.swept.intersection(other.area)
    return max((one.area.distance(Point(x, y)) for x, y in get_coordinates(common)), default=0.0)


def _closeness(sheet: Sheet, one: _Lying, other: _Lying) -> Iterator[Finding]:
    common = union(one.swept.intersection(other.area), other.swept.intersection(one.area))
    if common.area <= SLACK:
        return
    overlap = one.area.intersection(other.area).area
    gap = one.area.distance(other.area)
    widest = max((o.cutter.diameter for p in (one.part, other.part) for o in p.operations if o.frees), default=0.0)
    at = common.representative_point()
    names = listed(msg("'{title}' (copy {copy})", title=x.part.title, copy=x.placement.copy) for x in (one, other))
    needed = widest if overlap > SLACK else max(_reach(one, other), _reach(other, one))
    what = (
        msg("overlap by {area}", area=area_mm2(overlap, 1))
        if overlap > SLACK
        else msg("lie {gap} apart, and a cut of one of them reaches {reach} beyond it", gap=mm(gap), reach=mm(needed))
    )
    yield kinds.PARTS_TOO_CLOSE.new(
        msg("{names} {what} on the stock near {at}.", names=names, what=what, at=point_mm((at.x, at.y))),
        msg("Leave at least {needed} between them, better more, so that a web of wood stays there.", needed=mm(needed)),
        source=other.part.source,
        part=other.part.key,
        at=other.placement.back(at.x, at.y),
        on_sheet=_spot(sheet, at.x, at.y),
    )


def _spot(sheet: Sheet, x: float, y: float) -> OnSheet:
    return OnSheet(sheet.stock.key, sheet.number, Face.TOP.value, x, y)


def _too_few(kit: Kit, plan: Plan) -> Iterator[Finding]:
    for stock in kit.stock.values():
        needed = max((sheet.number for sheet in plan.sheets if sheet.stock.key == stock.key), default=0)
        if stock.count is not None and needed > stock.count:
            yield kinds.SHEETS_SHORT.new(
                msg(
                    "The parts need {needed} pieces of {title}, but the kit lists {count}.",
                    needed=needed,
                    title=stock.title,
                    count=stock.count,
                ),
                msg("Set the count of this stock to {needed}, or use larger pieces.", needed=needed),
                source=stock.source,
            )
