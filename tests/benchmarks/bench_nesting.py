"""Nesting: how densely and how long, for sets of the demo kits and for strip instances of a public collection.

    make bench                                              # the sets
    python tests/benchmarks/bench_nesting.py FOLDER         # strip instances in FOLDER as well, as *.json

Strip instances are in the JSON form of the public collection OR-Datasets (Cutting-and-Packing/2D-Irregular); the best
densities known are those of a table in European Journal of Operational Research 231 (2013), recalled.
Nothing timed is asserted; every layout is measured by `verified.faults`.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import shapely

from kitforge.model.kit import Kit
from kitforge.model.path import Path as Outline
from kitforge.model.path import Vertex
from kitforge.pipeline import load_kit
from kitforge.planning.layout import lay_out
from kitforge.planning.nesting.lay import lay_by_shape
from kitforge.planning.nesting.records import Copies, LayoutTask, Room
from kitforge.planning.nesting.search import search
from kitforge.planning.nesting.verified import faults
from kitforge.plugins import load_plugins

KITS = Path(__file__).parents[2] / "kits"
SETS = {
    "plant-stand x1, 600": (("plant-stand", 1),),
    "plant-stand x4, 1220": (("plant-stand", 4),),
    "plant-stand x8, 1220": (("plant-stand", 8),),
    "nest-box x4, 1220": (("nest-box", 4),),
    "plant-stand, herb-planter, wall-clock, lamp, 1220": (
        ("plant-stand", 1),
        ("herb-planter", 1),
        ("wall-clock", 1),
        ("bedside-lamp", 1),
    ),
}
BEST = {"fu": 92.41, "shapes0": 68.79, "shirts": 88.96, "swim": 75.94, "trousers": 91.00}
"""Highest densities known to us, per cent; recalled, not looked up."""
_STRIP_SCALE = 100.0


def set_of(wanted: tuple[tuple[str, int], ...], length: float, width: float) -> Kit:
    """Return the parts of some kits on sheets of one kind."""
    plugins = load_plugins()
    kits = [(load_kit(KITS / name, plugins), times) for name, times in wanted]
    first = kits[0][0]
    stock = replace(next(iter(first.stock.values())), length=length, width=width, count=None)
    parts = [
        replace(part, key=f"{number}-{part.key}", stock=stock, count=part.count * times, places=())
        for number, (kit, times) in enumerate(kits)
        for part in kit.parts
    ]
    return replace(first, parts=tuple(parts), stock={stock.key: stock}, setups=())


def report_set(name: str) -> str:
    """Return one line: sheets and length of today's rows, rectangles shortened, and shapes; density; seconds."""
    small = "600" in name
    kit = set_of(SETS[name], 2440.0 if not small else 1220.0, 1220.0 if not small else 600.0)
    today = lay_out(kit)
    right = max(place.box(kit.part(place.part).outline.bounds).right for place in today[-1].placements)
    start = time.process_time()
    (found,) = lay_by_shape(kit)
    took = time.process_time() - start
    copies = sum(len(sheet.placements) for sheet in found.sheets)
    return (
        f"{name}: {copies} parts; today {len(today)} x, {right + 10:.0f}; rectangles {found.before[0]} x, "
        f"{found.before[1]:.0f}; shapes {len(found.sheets)} x, {found.length:.0f} mm, {found.share:.1%} parts; "
        f"{found.tried} orders, {took:.1f} s"
    )


def report_strip(file: Path) -> str:
    """Return one line about a strip instance: density, its ratio to the best known, seconds."""
    told = json.loads(file.read_text(encoding="utf-8"))
    width = told["Strip"]["Height"] * _STRIP_SCALE
    parts, area = [], 0.0
    turns = tuple(int(one) for one in told["Items"][0]["AllowedOrientations"])
    for number, item in enumerate(told["Items"]):
        points = item["Shape"].get("Data") or item["Shape"]["Outer"]
        ring: Any = shapely.Polygon([(x * _STRIP_SCALE, y * _STRIP_SCALE) for x, y in points])
        area += ring.area * item["Demand"]
        corners = list(ring.normalize().exterior.coords)[:-1][::-1]
        path = Outline(tuple(Vertex(x, y) for x, y in corners))
        parts.append(Copies(str(number), (path,), tuple(range(1, item["Demand"] + 1))))
    room = Room("strip", shapely.box(0, 0, 4 * area / width, width), 0.0, turns)
    task = LayoutTask((room,), tuple(parts), 0.0, {}, small=0.0)
    start = time.process_time()
    found = search(task, None)
    took = time.process_time() - start
    density = area / (width * found.length)
    best = BEST.get(told["Name"])
    ratio = f", {100 * density / best:.1%} of the best known" if best else ""
    copies = sum(len(one.copies) for one in parts)
    sound = "sound" if not faults(task, found.laid) else "NOT SOUND"
    return f"{told['Name']}: {copies} parts, density {density:.1%}{ratio}; {found.tried} orders, {took:.1f} s; {sound}"


@pytest.mark.benchmark
@pytest.mark.parametrize("name", SETS)
def test_density_and_time(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = report_set(name)
    with capsys.disabled():
        print(f"\n{told}")


if __name__ == "__main__":
    for one in SETS:
        print(report_set(one))
    for given in sys.argv[1:]:
        for strip in sorted(Path(given).glob("*.json")):
            print(report_strip(strip))
