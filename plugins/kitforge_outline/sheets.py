"""The parts on their stock: large enough, at their places, apart from each other, on as many pieces as there are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from kitforge.findings import Finding, OnSheet
from kitforge.kit import Face, Kit, Part
from kitforge.plan import Placement, Plan, Sheet
from kitforge.units import format_mm, plain_number
from kitforge_outline import kinds
from kitforge_outline.features import enclosed
from kitforge_outline.words import place

if TYPE_CHECKING:
    from shapely import MultiPolygon
    from shapely.geometry.base import BaseGeometry

# Rounding of places, mm, and of areas, mm2, that nobody can see.
SLACK = 0.01
_MOST_FINDINGS = 20


@dataclass(frozen=True, slots=True, eq=False)
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
        yield kinds.PART_TOO_LARGE.found(
            f"'{part.title}' is {_size(box.width, box.height)} mm, but {stock.title} gives {_size(length, width)} mm "
            f"inside its margin of {format_mm(stock.margin)}.",
            "Use larger stock, turn the part in its drawing, or give it a place of its own on the stock.",
            source=part.source, part=part.key,
        )  # fmt: skip


def _size(x: float, y: float) -> str:
    return f"{plain_number(x, 1)} × {plain_number(y, 1)}"


def _off_stock(kit: Kit, sheet: Sheet) -> Iterator[Finding]:
    for lying in sheet.placements:
        part = kit.part(lying.part)
        box = part.outline.bounds
        beyond = max(
            -(box.left + lying.x), -(box.bottom + lying.y),
            box.right + lying.x - sheet.stock.length, box.top + lying.y - sheet.stock.width,
        )  # fmt: skip
        if beyond <= SLACK:
            continue
        stock = sheet.stock
        fits = box.width <= stock.length + SLACK and box.height <= stock.width + SLACK
        kind = kinds.PART_OFF_STOCK if fits else kinds.PART_TOO_LARGE
        yield kind.found(
            f"'{part.title}' ({_size(box.width, box.height)} mm) at {place((lying.x, lying.y))} reaches "
            f"{format_mm(beyond)} beyond {stock.title} ({_size(stock.length, stock.width)} mm).",
            "Move the part's place on the stock." if fits else "Use larger stock or a smaller part.",
            source=part.source, part=part.key,
            on_sheet=_spot(sheet, lying.x + box.centre[0], lying.y + box.centre[1]),
        )  # fmt: skip


def _too_close(kit: Kit, plan: Plan, sheet: Sheet) -> Iterator[Finding]:
    from shapely import STRtree

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
    from shapely import union_all

    area = enclosed([part.outline])
    own = [step for step in plan.steps_of(part.key) if not step.operation.whole]
    return area, union_all([area, *(step.swept for step in own if step.swept is not None)])


def _lying(part: Part, at: Placement, area: MultiPolygon, swept: BaseGeometry) -> _Lying:
    from shapely import affinity

    return _Lying(part, at, affinity.translate(area, at.x, at.y), affinity.translate(swept, at.x, at.y))


def _closeness(sheet: Sheet, one: _Lying, other: _Lying) -> Iterator[Finding]:
    from shapely import union

    common = union(one.swept.intersection(other.area), other.swept.intersection(one.area))
    if common.area <= SLACK:
        return
    overlap = one.area.intersection(other.area).area
    gap = one.area.distance(other.area)
    widest = max((o.cutter.diameter for p in (one.part, other.part) for o in p.operations if o.frees), default=0.0)
    at = common.representative_point()
    names = f"'{one.part.title}' (copy {one.placement.copy}) and '{other.part.title}' (copy {other.placement.copy})"
    what = f"overlap by {overlap:.1f} mm²" if overlap > SLACK else f"lie {format_mm(gap)} apart and are cut into"
    yield kinds.PARTS_TOO_CLOSE.found(
        f"{names} {what} on the stock near {place((at.x, at.y))}; the widest cut along an outline is "
        f"{format_mm(widest)}.",
        f"Move them at least {format_mm(widest)} apart, better more, so that a web of wood stays between them.",
        source=other.part.source, part=other.part.key, at=(at.x - other.placement.x, at.y - other.placement.y),
        on_sheet=_spot(sheet, at.x, at.y),
    )  # fmt: skip


def _spot(sheet: Sheet, x: float, y: float) -> OnSheet:
    return OnSheet(sheet.stock.key, sheet.number, Face.TOP.value, x, y)


def _too_few(kit: Kit, plan: Plan) -> Iterator[Finding]:
    for stock in kit.stock.values():
        needed = max((sheet.number for sheet in plan.sheets if sheet.stock.key == stock.key), default=0)
        if stock.count is not None and needed > stock.count:
            yield kinds.SHEETS_SHORT.found(
                f"The parts need {needed} pieces of {stock.title}, but the kit lists {stock.count}.",
                f"Set the count of this stock to {needed}, or use larger pieces.",
                source=stock.source,
            )
