"""All numbers of a planned kit and of its booklet, by a key that says where each one stands.

    step:board/lines:light_router:feed.high = 1340.5      of the plan, mm, N, W, s
    check:Board:Tray, depth = 9 0.354                         the numbers printed there, in their order

Words may be changed without a word here: only the numbers in a text count.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitforge.model.holds import HoldResult
    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan, PlannedSetup
    from kitforge.model.settings import Window
    from kitforge.model.steps import Step, StepSettings
    from kitforge_booklet.records import Booklet

_NUMBER = re.compile(r"\d+(?:[\u00a0\u202f]\d{3})*(?:[.,]\d+)*(?:/\d+)?")
_THOUSANDS = re.compile("[\u00a0\u202f]")
Numbered = Iterator[tuple[str, float | str]]


def numbers(kit: Kit, plan: Plan, booklet: Booklet) -> dict[str, str]:
    """Return every number as it is written in a file of numbers; a second one of the same key is told apart by #2."""
    found: dict[str, str] = {}
    for key, value in (*_of_plan(plan), *_of_booklet(booklet)):
        name, again = key, 1
        while name in found:
            again += 1
            name = f"{key}#{again}"
        found[name] = value if isinstance(value, str) else written(value)
    return found


def written(value: float) -> str:
    """Return a number with seven digits, which no other machine or library changes."""
    return f"{value + 0.0:.7g}" if abs(value) > 1e-9 else "0"


def lines(found: Mapping[str, str]) -> str:
    """Return numbers as a file holds them, sorted, one a line."""
    return "".join(f"{key} = {value}\n" for key, value in sorted(found.items()))


def read(text: str) -> dict[str, str]:
    """Return the numbers of a file."""
    pairs = (line.rpartition(" = ") for line in text.splitlines())
    return {key: value for key, _equals, value in pairs}


def same(one: str, other: str) -> bool:
    """Return whether two written numbers are equal but for their last digits."""
    if one == other:
        return True
    try:
        a, b = float(one), float(other)
    except ValueError:
        return False
    return abs(a - b) <= 2e-6 * max(abs(a), abs(b))


# ---------------------------------------------------------------------------------------------------------- the plan


def _of_plan(plan: Plan) -> Numbered:
    for step in plan.steps:
        yield from _of_step(step)
    for sheet in plan.sheets:
        for place in sheet.placements:
            key = f"place:{sheet.stock.key}:{sheet.number}:{place.part}.{place.copy}"
            yield from ((f"{key}.x", place.x), (f"{key}.y", place.y))
    for setup in plan.setups:
        yield from _of_setup(setup)
    for machine in plan.machines:
        yield from _of_machine(machine)


def _of_step(step: Step) -> Numbered:
    key = f"step:{step.key}"
    for name in ("number", "depth", "top", "copies", "leave_walls", "leave_floor", "path_length", "corners", "plunges"):
        yield f"{key}:{name}", float(getattr(step, name))
    if step.stepover is not None:
        yield f"{key}:stepover", step.stepover
    for name in ("cut", "swept"):
        area = getattr(step, name)
        if area is not None:
            yield f"{key}:{name}.area", float(f"{area.area:.4g}")
    yield f"{key}:tabs", len(step.tabs)
    for index, tab in enumerate(step.tabs, 1):
        for name in ("x", "y", "width", "height"):
            yield f"{key}:tab.{index}.{name}", round(getattr(tab, name), 2)


def _of_setup(setup: PlannedSetup) -> Numbered:
    key = f"setup:{_piece(setup.key)}"
    yield f"{key}:fasteners", len(setup.fasteners)
    for index, place in enumerate(setup.fasteners, 1):
        yield from ((f"{key}:fastener.{index}.x", place.x), (f"{key}:fastener.{index}.y", place.y))


def _piece(key: tuple[str, int, str]) -> str:
    """Return which face of which piece of stock; before, all pieces of a stock were one set-up."""
    stock, number, face = key
    return f"{stock}.{face}" if number == 1 else f"{stock} {number}.{face}"


def _of_machine(machine: MachinePlan) -> Numbered:
    name = machine.machine.key
    yield f"class:{name}:fits", float(machine.fits)
    yield f"class:{name}:blocked", len(machine.blocked)
    yield f"class:{name}:cutter_changes", machine.cutter_changes
    yield from _low_high(f"class:{name}:cutting_seconds", machine.cutting_seconds)
    yield from _low_high(f"class:{name}:handling_seconds", machine.handling_seconds)
    for key, settings in machine.settings.items():
        yield from _of_settings(f"step:{key}:{name}", settings)
    for setup, results in machine.holding.items():
        for result in results:
            yield from _of_hold(f"hold:{_piece(setup)}:{name}", result)


def _of_settings(key: str, settings: StepSettings) -> Numbered:
    for name in ("speed", "feed", "plunge", "depth_per_pass", "stepover"):
        window: Window | None = getattr(settings, name)
        if window is not None:
            for end in ("low", "start", "high"):
                yield f"{key}:{name}.{end}", getattr(window, end)
    for name in ("passes", "stick_out", "chip", "force", "lift", "power", "deflection", "cusp"):
        value = getattr(settings, name)
        if value is not None:
            yield f"{key}:{name}", float(value)
    yield f"{key}:problems", len(settings.problems)
    yield from _low_high(f"{key}:seconds", settings.seconds)
    yield from _in_text(f"{key}:entry", settings.entry)


def _of_hold(key: str, result: HoldResult) -> Numbered:
    by = result.hold_down.key if result.hold_down else f"part.{result.step}"
    for name in ("capacity", "demand", "lift_capacity", "lift_demand"):
        yield f"{key}:{by}:{name}", getattr(result, name)


def _low_high(key: str, pair: tuple[float, float]) -> Numbered:
    yield from ((f"{key}.low", pair[0]), (f"{key}.high", pair[1]))


# ------------------------------------------------------------------------------------------------------- the booklet


def _of_booklet(booklet: Booklet) -> Numbered:
    for fact in booklet.cover.facts:
        yield from _in_text(f"cover:{fact.label}", fact.value, fact.other)
    for fit in booklet.fits:
        yield from _in_text(f"fit:{fit.machine}:time", fit.time)
    yield from _of_needs(booklet)
    yield from _of_work(booklet)
    yield from _of_drawings(booklet)
    for amount in booklet.amounts:
        yield from _in_text(f"amount:{amount.what}:uses", amount.uses)
        yield from _in_text(f"amount:{amount.what}:buy", amount.buy)
    for plan in booklet.stock_plans:
        for name in ("glueing", "flattening", "movement"):
            yield from _in_text(f"stock:{plan.title}:{name}", *getattr(plan, name))
    for row in booklet.checks:
        yield from _in_text(f"check:{row.part}:{row.what}:size", row.should.main, row.should.other)
        yield from _in_text(f"check:{row.part}:{row.what}:tolerance", row.tolerance)


def _of_needs(booklet: Booklet) -> Numbered:
    for name in ("stock", "hold_down", "hardware", "finishing", "tools", "protection"):
        for item in getattr(booklet.needs, name):
            yield from _in_text(f"need:{name}:{item.name}", item.detail, item.count)
    for cutter in booklet.needs.cutters:
        yield from _in_text(f"need:cutter:{cutter.name}", cutter.detail)


def _of_work(booklet: Booklet) -> Numbered:
    for step in booklet.steps:
        key = f"work:{step.part}:{step.title}"
        yield from _in_text(f"{key}:depth", step.depth)
        yield from _in_text(f"{key}:time", step.time)
        for fact in step.facts:
            yield from _in_text(f"{key}:{fact.label}", fact.value, fact.other)
    if booklet.schedule is not None:
        for row in booklet.schedule.rows:
            yield from _in_text(f"sanding:{row.grit}", row.paper, row.time)
        for area in booklet.schedule.areas:
            yield from _in_text(f"sanding:{area.what}", area.area)
    if booklet.finish is not None:
        yield from _in_text("coats", *(fact.value for fact in booklet.finish.facts))


def _of_drawings(booklet: Booklet) -> Numbered:
    for page in booklet.drawings:
        yield f"drawing:{page.title}:ratio", page.ratio
        for fact in page.facts:
            yield from _in_text(f"drawing:{page.title}:{fact.label}", fact.value, fact.other)
        for row in page.rows:
            key = f"drawing:{page.title}:{row.title}"
            yield f"{key}:count", row.count
            for name in ("x", "y", "size", "depth", "where"):
                yield from _in_text(f"{key}:{name}", getattr(row, name))


def _in_text(key: str, *texts: object) -> Numbered:
    found = [_THOUSANDS.sub("", number) for text in texts for number in _NUMBER.findall(str(text))]
    if found:
        yield key, " ".join(found)
