"""Where each finding belongs, and where it lies there.

A finding's `at` is in the coordinates of its part. What concerns the layout on the stock names its place in words, in
the sheet's coordinates; such a place counts only where the plan has something: a fastener, or a copy of the part.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from kitforge.report.part_scene import PartScene, middle_of
from kitforge.report.records import Home, Located, Point

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from kitforge.findings import Finding
    from kitforge.kit import Kit
    from kitforge.pipeline import Checked
    from kitforge.plan import Placement, Plan

_LAYOUT = frozenset({"parts-too-close", "part-off-stock", "part-too-large", "off-stock"})
_FASTENERS = frozenset({"fastener-in-cut", "fastener-in-part", "fastener-off-stock", "fastener-repeated"})
_NAMED = re.compile(r"\((-?\d{1,7}(?:\.\d{1,3})?), (-?\d{1,7}(?:\.\d{1,3})?)\) mm")
_SHEET = re.compile(r"\bon sheet (\d{1,4})\b")
_FAR = 1e7
_SAME = 0.06


def locate(checked: Checked) -> list[Located]:
    """Return every finding with its home, in the order they were found."""
    scenes = {part.key: PartScene(part) for part in checked.kit.parts}
    return [_located(checked, finding, scenes) for finding in checked.findings]


def _located(checked: Checked, finding: Finding, scenes: Mapping[str, PartScene]) -> Located:
    on_sheet = _on_sheet(checked, finding)
    if on_sheet:
        return on_sheet
    at = finding.at if finding.at and all(math.isfinite(v) and abs(v) < _FAR for v in finding.at) else None
    if finding.part is not None and finding.part in scenes:
        return _in_part(finding, scenes[finding.part], at)
    if at and finding.part is None:
        touched = [key for key, scene in scenes.items() if scene.touches(at)]
        if len(touched) == 1:
            return Located(finding, Home(part=touched[0]), at, at)
    return Located(finding, _home_of_source(checked, finding) or Home(), at)


def _in_part(finding: Finding, scene: PartScene, at: Point | None) -> Located:
    home = Home(part=scene.part.key)
    if at:
        return Located(finding, home, at, at)
    for operation in scene.part.operations:
        if operation.name == finding.operation:
            return Located(finding, home, None, middle_of(operation), len(operation.points) or len(operation.shapes))
    return Located(finding, home)


def _on_sheet(checked: Checked, finding: Finding) -> Located | None:
    if finding.code in _FASTENERS:
        return _at_fastener(checked.plan, finding)
    if finding.code in _LAYOUT:
        return _at_copy(checked.kit, checked.plan, finding)
    return None


def _named_places(finding: Finding) -> list[Point]:
    return [(float(x), float(y)) for x, y in _NAMED.findall(finding.message)]


def _at_fastener(plan: Plan, finding: Finding) -> Located | None:
    number = _SHEET.search(finding.message)
    for index, setup in enumerate(plan.setups):
        if setup.setup.source != finding.source or f" {setup.face.value} face up" not in finding.message:
            continue
        sheets = [n for n, sheet in enumerate(setup.sheets) if number is None or sheet.number == int(number[1])]
        home = Home(setup=index, sheet=sheets[0] if sheets else 0)
        known = [(place.x, place.y) for place in setup.fasteners]
        hit = (place for place in known for named in _named_places(finding) if _near(place, named))
        spot = next(hit, None)
        return Located(finding, home, spot, spot)
    return None


def _at_copy(kit: Kit, plan: Plan, finding: Finding) -> Located | None:
    named = _named_places(finding)
    for home, placement in _copies(plan, finding.part):
        if any(_near((placement.x, placement.y), place) for place in named):
            x, y = kit.part(placement.part).outline.bounds.centre
            middle = (placement.x + x, placement.y + y)
            return Located(finding, home, middle, middle)
        spot = (placement.x + finding.at[0], placement.y + finding.at[1]) if finding.at else None
        if spot and any(_near(spot, place) for place in named):
            return Located(finding, home, spot, spot)
    return None


def _copies(plan: Plan, part: str | None) -> Iterator[tuple[Home, Placement]]:
    for index, setup in enumerate(plan.setups):
        for number, sheet in enumerate(setup.sheets):
            for placement in sheet.placements:
                if placement.part == part:
                    yield Home(setup=index, sheet=number), placement


def _home_of_source(checked: Checked, finding: Finding) -> Home | None:
    """A finding about a setup or a stock piece belongs to the first sheet of it."""
    if finding.part is not None or not finding.source.line or finding.source == checked.kit.source:
        return None
    for index, setup in enumerate(checked.plan.setups):
        if finding.source in (setup.setup.source, setup.stock.source):
            return Home(setup=index)
    return None


def _near(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) <= _SAME and abs(one[1] - other[1]) <= _SAME
