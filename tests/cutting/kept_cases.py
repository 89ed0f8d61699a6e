"""Sixteen hundred random cuts with every value that their settings hold, kept so that a change of the physics shows.

Run `python tests/cutting/kept_cases.py` to keep the present values; it prints which of them changed, in how many cuts
and by how much at most. A change of the form of the physics changes none of them.
"""

from __future__ import annotations

import gzip
import json
import pathlib
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

sys.path.insert(0, str(pathlib.Path(__file__).parent))

from inner_values import inner_values
from random_cuts import Case, machine_of, random_cases

from kitforge.cutting.settings import settings
from kitforge.model.settings import (
    Cut,
    CutSettings,
    CutterGeometry,
    CutterKind,
    Limit,
    NoWindow,
    Problem,
    RequestedSettings,
    Retention,
    Substrate,
    Window,
    Work,
)
from kitforge.model.workshop import Fact, MachineClass, Material, MaterialKind
from kitforge.workshop.cutting_data import cutting_data

KEPT = pathlib.Path(__file__).with_name("kept_cases.jsonl.gz")
SEED, COUNT = 20_261, 1_600
CLOSE = 1e-12
"""How far apart two values may lie, relative to the larger one."""

Value = float | str | bool | None
Values = dict[str, Value]


def values_of(case: Case) -> Values:
    """Return every value of the settings of a case, or of its refusal, by name."""
    found = settings(case.cut, case.cutter, case.material, case.machine, cutting_data(), case.wish)
    values = result_values(found)
    if isinstance(found, CutSettings):
        values.update(inner_values(case))
    return values


def result_values(found: CutSettings | NoWindow) -> Values:
    """Return every value of settings or of a refusal, by name."""
    return dict(_problems("refused", found.problems) if isinstance(found, NoWindow) else _settings(found))


def _settings(found: CutSettings) -> Iterator[tuple[str, Value]]:
    for window in found.windows:
        yield from _window(window)
    for name in ("passes", "stick_out", "cusp", "dial"):
        yield name, getattr(found, name)
    for record in ("entry", "chip", "loads"):
        for name, value in asdict(getattr(found, record)).items():
            yield f"{record}.{name}", value
    yield from _problems("note", found.notes)


def _window(window: Window) -> Iterator[tuple[str, Value]]:
    name = window.quantity
    yield f"{name}.unit", window.unit
    yield f"{name}.low", window.low
    yield f"{name}.start", window.start
    yield f"{name}.high", window.high
    yield f"{name}.why", str(window.start_reason)
    yield f"{name}.author", window.author
    yield f"{name}.low limit reason", str(window.low_limit.reason)
    yield f"{name}.high limit reason", str(window.high_limit.reason)
    for side, limits in (("low", window.lows), ("high", window.highs)):
        for place, limit in enumerate(limits):
            yield from _limit(f"{name}.{side} {place}", limit)


def _limit(name: str, limit: Limit) -> Iterator[tuple[str, Value]]:
    yield name, limit.value
    yield f"{name} reason", str(limit.reason)
    yield f"{name} hard", limit.hard


def _problems(name: str, problems: Sequence[Problem]) -> Iterator[tuple[str, Value]]:
    for place, problem in enumerate(problems):
        yield f"{name} {place}", problem.trouble.value
        yield f"{name} {place} message", _without_working(str(problem.message))
        yield f"{name} {place} helps", "; ".join(map(str, problem.remedies))
        yield f"{name} {place} blocking", problem.blocking


def _without_working(message: str) -> str:
    """Return a message without the formula of the limit that an author's value passes: its form is free."""
    return message.partition(": ")[0] if message.startswith("The author's") else message


def unlike(kept: Mapping[str, Value], now: Mapping[str, Value]) -> list[str]:
    """Return the names of the values that differ: numbers by more than a hair, anything else at all."""
    return [name for name in dict.fromkeys((*kept, *now)) if not _alike(kept.get(name), now.get(name))]


def _alike(one: Value, other: Value) -> bool:
    if type(one) in (int, float) and type(other) in (int, float):
        return abs(float(one) - float(other)) <= CLOSE * max(abs(float(one)), abs(float(other)))  # type: ignore[arg-type]
    return one == other


def read_kept() -> list[tuple[Case, Values]]:
    """Return the kept cases with their values."""
    lines = gzip.decompress(KEPT.read_bytes()).decode().splitlines()
    return [(case_from(line["case"]), line["values"]) for line in map(json.loads, lines)]


def case_from(kept: Mapping[str, Any]) -> Case:
    """Return a case from its plain form."""
    cut, cutter, machine = dict(kept["cut"]), dict(kept["cutter"]), dict(kept["machine"])
    held = cut.pop("keeping", None)
    cut["work"] = Work(cut["work"])
    cutter["shape"] = CutterKind(cutter["shape"])
    cutter["substrate"] = Substrate(cutter.get("substrate", Substrate.CARBIDE.value))
    kind, density = kept["material"]
    return Case(
        Cut(**cut, keeping=Retention(held[0], held[1], lifts=held[2] if len(held) > 2 else None) if held else None),
        CutterGeometry(**cutter),
        Material("wood", "Wood of the test", MaterialKind(kind), Fact(density, machine["source"])),
        machine_of(**machine),
        RequestedSettings(**kept["wish"]),
    )


def _machine(machine: MachineClass) -> dict[str, Any]:
    """Return a machine in its plain form: what `machine_of` takes."""
    power = machine.cutter_power
    return {
        "name": machine.name,
        "rpm": (machine.slowest, machine.fastest, machine.lowest_speed.source),
        "cutter_power": (power.low, power.high, power.source),
        "force_limit": machine.force_limit,
        "feed_limit": machine.feed_limit,
        "plunge_limit": machine.plunge_limit,
        "shanks": [(shank.low, shank.high) for shank in machine.shanks],
        "collet_text": machine.collet_text,
        "dial": machine.dial,
        "source": machine.side_force.source,
    }


def plain(case: Case) -> dict[str, Any]:
    """Return a case in its plain form: what differs from the defaults."""
    cut = _set(case.cut)
    if case.cut.keeping is not None:
        cut["keeping"] = (case.cut.keeping.name, case.cut.keeping.bears, case.cut.keeping.lifts)
    material = (case.material.kind.value, case.material.density.value)
    return {
        "cut": cut,
        "cutter": _set(case.cutter),
        "material": material,
        "machine": _machine(case.machine),
        "wish": _set(case.wish),
    }


def _set(record: Cut | CutterGeometry | RequestedSettings) -> dict[str, Any]:
    pairs = {field.name: (getattr(record, field.name), field.default) for field in fields(record)}
    return {name: value for name, (value, usual) in pairs.items() if value != usual}


def keep(cases: Sequence[Case]) -> None:
    """Write the cases with their present values; the same bytes for the same values."""
    lines = []
    for case in cases:
        values = {name: _rounded(value) for name, value in values_of(case).items()}
        lines.append(json.dumps({"case": plain(case), "values": values}, separators=(",", ":")))
    KEPT.write_bytes(gzip.compress("\n".join(lines).encode(), 9, mtime=0))


def _rounded(value: Value) -> Value:
    return float(f"{value:.14g}") if isinstance(value, float) else value


def changes(kept: Sequence[tuple[Case, Values]]) -> Iterator[str]:
    """Yield one line for each value that changed: its name, in how many cuts, and by how much at most."""
    found: dict[str, list[tuple[Value, Value]]] = defaultdict(list)
    for case, before in kept:
        now = values_of(case)
        for name in unlike(before, now):
            found[name].append((before.get(name), now.get(name)))
    for name, pairs in found.items():
        numbers = [
            (one, other) for one, other in pairs if type(one) in (int, float) and type(other) in (int, float) and one
        ]
        ratios = sorted(float(other) / float(one) for one, other in numbers)  # type: ignore[arg-type]
        spread = f", to {ratios[0]:.6g} .. {ratios[-1]:.6g} of what it was" if ratios else ""
        yield f"{name}: {len(pairs)} of {len(kept)} cuts{spread}; e.g. {pairs[0][0]!r} -> {pairs[0][1]!r}"


def main() -> None:
    """Say what changed, and keep the present values."""
    cases = random_cases(SEED, COUNT)
    if KEPT.exists():
        kept = read_kept()
        print("\n".join(changes(kept)) or "no value has changed")
        cases = [case for case, _values in kept]
    keep(cases)


if __name__ == "__main__":
    main()
