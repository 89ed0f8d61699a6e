"""Where each finding belongs, and where it lies there.

A finding's `at` is in the coordinates of its part; what concerns the layout on the stock has its place on the sheet.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitforge.report.part_scene import PartScene, middle_of
from kitforge.report.records import Home, Located, Point

if TYPE_CHECKING:
    from collections.abc import Mapping

    from kitforge.model.findings import Finding
    from kitforge.pipeline import CheckedKit

_FAR = 1e7


def locate(checked: CheckedKit) -> list[Located]:
    """Return every finding with its home, in the order they were found."""
    scenes = {part.key: PartScene(part) for part in checked.kit.parts}
    return [_located(checked, finding, scenes) for finding in checked.findings]


def _located(checked: CheckedKit, finding: Finding, scenes: Mapping[str, PartScene]) -> Located:
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


def _on_sheet(checked: CheckedKit, finding: Finding) -> Located | None:
    """Return the place on the drawn sheet; a face that has no setup of its own is shown on the other one."""
    spot = finding.on_sheet
    if spot is None or not all(math.isfinite(value) and abs(value) < _FAR for value in (spot.x, spot.y)):
        return None
    homes = [
        (setup.face.value != spot.face, Home(setup=index, sheet=number))
        for index, setup in enumerate(checked.plan.setups)
        for number, sheet in enumerate(setup.sheets)
        if (sheet.stock.key, sheet.number) == (spot.stock, spot.number)
    ]
    if not homes:
        return None
    return Located(finding, min(homes, key=lambda pair: pair[0])[1], (spot.x, spot.y), (spot.x, spot.y))


def _home_of_source(checked: CheckedKit, finding: Finding) -> Home | None:
    """A finding about a setup or a stock piece belongs to the first sheet of it."""
    if finding.part is not None or not finding.source.line or finding.source == checked.kit.source:
        return None
    for index, setup in enumerate(checked.plan.setups):
        if finding.source in (setup.setup.source, setup.stock.source):
            return Home(setup=index)
    return None
