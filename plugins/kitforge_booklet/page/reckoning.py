"""What the page reckons with: the cuts of the steps, cutters, classes, woods and tables, as plain values.

The formulas are the worksheet's own, as the script that is generated from it; here is only what goes into them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from json import dumps
from typing import TYPE_CHECKING

from kitforge.cutting.worksheet.citations import cite
from kitforge.cutting.worksheet.expression import Call, Name, walk
from kitforge.cutting.worksheet.plain import Plain, plain, plain_tables
from kitforge.cutting.worksheet.program import generated_text, settings_sheet
from kitforge.cutting.worksheet.rows import LimitRow
from kitforge.cutting.worksheet.script_writer import write_script
from kitforge.cutting.worksheet.tables import tables_of
from kitforge.language import language, later, render_text, say_as, use_language
from kitforge.model.plan import served
from kitforge.model.workshop import Span
from kitforge.planning.fit import SAFE_HEIGHT, misfits
from kitforge.planning.stand_ins import drawing_allows
from kitforge.print.figures import stock_title, units_for
from kitforge.print.settings import class_numbers
from kitforge.surface.maps import maps_of
from kitforge.workshop.bounds import LIMITS
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop
from kitforge_booklet.page.holding_data import holding_data
from kitforge_booklet.page.step_data import rung_data, step_data, taken_of
from kitforge_booklet.page.words import in_languages, words_in

if TYPE_CHECKING:
    from kitforge.cutting.worksheet.rows import Case
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.steps import Step
    from kitforge.model.workshop import MachineClass

_MACHINE = (
    "key", "name", "area", "z_travel", "clearance", "lowest_speed", "highest_speed", "cutter_power", "side_force",
    "feed", "plunge", "acceleration", "shanks", "collet_text", "dial",
)  # fmt: skip
_FITS = {"table": "table", "travel": "travel", "clearance": "clearance", "collet": "collets"}
"""What keeps a kit off a machine, by the name of a value that only its message has."""

_OF_MACHINE = later("the machine: yours, or of the class that it is filled up from")
_OF_TABLES = later("the tables, for this wood or cutter")
_DERIVED = later("derived")


def worksheet_script(kit: Kit) -> str:
    """Return the worksheet as a script that reports each value as it goes, with the rows that plugins add."""
    if kit.cutting_rows:
        return write_script(settings_sheet(kit.cutting_rows), traced=True)
    return generated_text("settings_traced.js")


def reckoning_data(kit: Kit, plan: Plan, options: BuildOptions, script: str) -> dict[str, Plain]:
    """Return what the script takes. script: the text of it all, whose English words are translated."""
    data, units = cutting_data(), units_for(options.units, kit.info.units)
    steps = [step for step in plan.steps if taken_of(plan, step) is not None]
    fit = _fit(plan, options)
    script += dumps([fit["templates"], _OF_MACHINE, _OF_TABLES, _DERIVED], ensure_ascii=False)
    return {
        "units": {"first": units.first, "both": units.both},
        "languages": {code: _language(code, script) for code in options.languages},
        "data": plain_tables(settings_sheet(kit.cutting_rows), data),
        "tables": plain(tables_of(data)),
        "library": [machine_plain(one) for one in _by_rank(load_workshop().machines)],
        "classes": [_class(plan, machine) for machine in plan.machines],
        "collets": {name: _span(span) for name, span in data.collets.items()},
        "bounds": {name: list(limits) for name, limits in LIMITS.items()},
        "steps": [step_data(plan, step) for step in steps],
        "rungs": rung_data(plan, steps),
        "cutters": {key: _cutter(steps, key, options) for key in dict.fromkeys(step.cutter.key for step in steps)},
        "stock": [_stock(plan, key, options) for key in dict.fromkeys(step.part.stock.key for step in steps)],
        "woods": _woods(kit, options),
        "fit": fit,
        "setups": holding_data(plan, steps, options),
        "times": _times(plan),
        "maps": maps_of(plan, kit.parts),
        **_explanations(kit, plan),
    }


def machine_plain(machine: MachineClass) -> dict[str, Plain]:
    """Return a machine as the script takes it: both ends of each range, without sources."""
    return {name: _bare(getattr(machine, name)) for name in _MACHINE}


def _bare(value: object) -> Plain:
    if isinstance(value, Span):
        return _span(value)
    return [_bare(item) for item in value] if isinstance(value, tuple) else plain(value)


def _span(span: Span) -> dict[str, Plain]:
    return {"low": span.low, "high": span.high}


def _by_rank(machines: Mapping[str, MachineClass]) -> list[MachineClass]:
    return sorted(machines.values(), key=lambda one: one.rank)


def _class(plan: Plan, machine: MachinePlan) -> dict[str, Plain]:
    return {
        "number": class_numbers(plan)[machine.machine.key],
        "fits": machine in served(plan.machines),
        **machine_plain(machine.machine),
    }


def _language(code: str, script: str) -> dict[str, Plain]:
    spoken = language(code)
    texts = {text: said for text, said in spoken.texts.items() if dumps(text, ensure_ascii=False) in script}
    known: dict[str, Plain] = {**texts, **_names(code)}
    return {"code": code, "point": spoken.point, "texts": known, "words": dict[str, Plain](words_in(spoken))}


def _names(code: str) -> dict[str, str]:
    """Return names of the tables that go into messages: classes, their collets, what keeps the kit off a machine."""
    with use_language(code):
        library = load_workshop().machines.values()
        return {text: say_as(text) for one in library for text in (one.name, one.collet_text) if say_as(text) != text}


def _times(plan: Plan) -> dict[str, Plain]:
    """Return what times need beside the ways: easing and corners of controllers, s of set-ups and changes of cutter."""
    practice = cutting_data().motion
    return {
        "overhead": [practice.overhead.low, practice.overhead.high],
        "tolerance": practice.corner_tolerance_default.value,
        "handling": list(plan.machines[0].handling_seconds),
        "flattened": any(machine.flattening for machine in plan.machines),
    }


def _cutter(steps: Sequence[Step], key: str, options: BuildOptions) -> dict[str, Plain]:
    uses = [step for step in steps if step.cutter.key == key]
    cutter, (low, high) = uses[0].cutter, drawing_allows(uses)
    return {
        "names": in_languages(options, lambda: render_text(cutter.name)),
        "diameter": cutter.diameter,
        "low": low,
        "high": min(high, 1e6),
        "edge": cutter.cutting_length,
        "deepest": max(step.depth for step in uses),
        "flutes": cutter.flutes,
        "shank": cutter.shank,
        "marked": cutter.max_speed,
    }


def _stock(plan: Plan, key: str, options: BuildOptions) -> dict[str, Plain]:
    steps = [step for step in plan.steps if step.part.stock.key == key]
    stock = steps[0].part.stock
    through = [step.tip for step in steps if step.through]
    return {
        "key": key,
        "names": in_languages(options, lambda: stock_title(stock)),
        "wood": stock.material.key,
        "actual": stock.actual,
        "through": min(through, default=None),
    }


def _woods(kit: Kit, options: BuildOptions) -> list[Plain]:
    """Return the woods of the workshop and of the kit."""
    found = {**load_workshop().materials, **{stock.material.key: stock.material for stock in kit.stock.values()}}
    return [
        {
            "key": wood.key,
            "names": in_languages(options, partial(say_as, wood.name)),
            "name": wood.name,
            "kind": wood.kind.value,
            "density": wood.density.value,
        }
        for wood in found.values()
    ]


def _fit(plan: Plan, options: BuildOptions) -> dict[str, Plain]:
    """Return what has to go onto a machine, and how `misfits` says what does not."""
    spoilboard = max((one.setup.spoilboard for one in plan.setups), default=0.0)
    return {
        "sheets": [
            {
                "names": in_languages(options, partial(stock_title, sheet.stock)),
                "length": max(sheet.stock.length, sheet.stock.width),
                "width": min(sheet.stock.length, sheet.stock.width),
            }
            for sheet in plan.sheets
        ],
        "travel": max((step.tip + SAFE_HEIGHT for step in plan.steps), default=0.0),
        "thickest": max((step.part.stock.actual for step in plan.steps), default=0.0),
        "spoilboard": spoilboard,
        "safe": SAFE_HEIGHT,
        "templates": dict(_templates(plan, spoilboard)),
    }


def _templates(plan: Plan, spoilboard: float) -> Iterator[tuple[str, str]]:
    """Yield the template of each reason, by having a machine asked that is too small for everything."""
    nothing = Span(0.0, 0.0)
    small = replace(plan.machines[0].machine, area=(nothing, nothing), z_travel=nothing, clearance=nothing, shanks=())
    for message in misfits(small, plan.sheets, plan.steps, spoilboard):
        names = {name for name, _value in message.values}
        yield next(key for key, name in _FITS.items() if name in names), message.template


def _explanations(kit: Kit, plan: Plan) -> dict[str, Plain]:
    """Return the rows of the worksheet by the numbers of their cases, and the sources that they name by number.

    A row: symbol, unit, words, formula, source, the names in the formula, the side of a limit, what a search watches.
    """
    checked, sources = settings_sheet(kit.cutting_rows), dict[str, int]()
    records = _records(plan)
    rows: dict[str, Plain] = {}
    for _block, row in checked.sheet.rows():
        for case in row.cases:
            source = _source(case, records, checked.sheet.sources)
            place = sources.setdefault(source, len(sources))
            named = [str(node) for node in walk(case.formula) if isinstance(node, Name)]
            side = row.side if isinstance(row, LimitRow) else ""
            watched = next((one.part for one in walk(case.formula) if isinstance(one, Call) and one.part), "") or ""
            names: list[Plain] = [*dict.fromkeys(named)]
            rows[str(case.number)] = [row.symbol, row.unit, row.words, case.text, place, names, side, watched]
    return {"rows": rows, "sources": [*sources]}


def _records(plan: Plan) -> dict[str, object]:
    return {
        "material": plan.steps[0].part.stock.material,
        "machine": plan.machines[0].machine,
        "data": cutting_data(),
    }


def _source(case: Case, records: Mapping[str, object], named: Mapping[str, str]) -> str:
    """Return the source of a formula in words; of a figure of the machine that it is the reader's or of a class."""
    formula = case.formula if isinstance(case.formula, Name) else None
    if case.source.startswith("@machine") or (
        case.source.startswith("@") and formula and formula.parts[0] == "machine"
    ):
        return _OF_MACHINE
    if case.source.startswith("@") and formula is not None and formula.index is not None:
        return _OF_TABLES
    return cite(case.source, records, formula, None, named)
