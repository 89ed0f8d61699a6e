"""Our windows beside the published charts: the table in the README of kitforge/cutting, which it writes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import kitforge.cutting
from kitforge.cutting.settings import settings
from kitforge.model.settings import (
    Cut,
    CutSettings,
    CutterGeometry,
    CutterKind,
    NoWindow,
    RequestedSettings,
    Substrate,
    Work,
)
from kitforge.model.units import plain_number
from kitforge.model.workshop import MachineClass, Material, MaterialKind, Workshop
from kitforge.workshop.cutting_data import cutting_data
from kitforge.workshop.load import load_workshop

README = Path(kitforge.cutting.__file__).with_name("README.md")
START, END = "<!-- charts: generated -->", "<!-- charts: end -->"
CHART_SPEED = 18_000.0
_SHANKS = (3.175, 6.35, 8.0)


def comparison_table() -> str:
    """Return the table as Markdown: each chart, diameter and material, and the window of each class beside it.

    A slot of one pass deep at 18 000 min-1 with two flutes; per class low - start - high in micrometres per tooth, the
    ratio of the start to the chart's middle, and what bounds the high end.
    """
    shop = load_workshop()
    head = ["chart", "material", "D mm", "chart um", *shop.machines]
    rows = [head, ["---"] * len(head), *_rows(shop)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def readme_with_table(text: str) -> str:
    """Return the README's text with the table between its marks replaced by the present one."""
    before, rest = text.split(START, 1)
    after = rest.split(END, 1)[1]
    return f"{before}{START}\n\n{comparison_table()}\n\n{END}{after}"


def main() -> None:
    """Write the present table into the README."""
    README.write_text(readme_with_table(README.read_text(encoding="utf-8")), encoding="utf-8")


def _rows(shop: Workshop) -> Iterator[list[str]]:
    data = cutting_data()
    for chart in data.chip_charts:
        for row in chart.rows:
            for kind in row.kinds:
                label = "rigid machine" if chart.rigid_machine else "spiral"
                yield _row(shop, label, kind, _end_mill(row.diameter), (row.low, row.high))
    for kind, known in data.v_groove_chip_load.items():
        yield _row(shop, "V-groove", kind, _V_BIT, (known.value, known.value))


def _row(
    shop: Workshop, label: str, kind: MaterialKind, cutter: CutterGeometry, chart: tuple[float, float]
) -> list[str]:
    material = _typical(shop.materials.values(), kind)
    shown = _micro(chart[0]) if chart[0] == chart[1] else f"{_micro(chart[0])}-{_micro(chart[1])}"
    cells = [_cell(cutter, material, machine, chart) for machine in shop.machines.values()]
    return [label, f"{kind} ({material.name})", plain_number(cutter.diameter, 3), shown, *cells]


def _cell(cutter: CutterGeometry, material: Material, machine: MachineClass, chart: tuple[float, float]) -> str:
    cut = Cut(Work.GROOVE, 2.0) if cutter.shape is CutterKind.V_BIT else Cut(Work.PROFILE, cutter.diameter)
    wish = RequestedSettings(speed=min(CHART_SPEED, machine.fastest))
    found = settings(cut, cutter, material, machine, cutting_data(), wish)
    if isinstance(found, NoWindow):
        return found.problems[0].trouble.value
    low, start, high = _feeds_per_tooth(found, cutter.flutes)
    ratio = start / (sum(chart) / 2)
    return f"{_micro(low)}-{_micro(start)}-{_micro(high)}, {ratio:.2f}, {found.feed.high_limit.reason}"


def _feeds_per_tooth(found: CutSettings, flutes: int) -> tuple[float, float, float]:
    window, speed = found.feed, found.speed.start
    turns = flutes * speed
    return window.low / turns, window.start / turns, window.high / turns


def _micro(value: float) -> str:
    return f"{value * 1000:.0f}"


def _typical(materials: Iterable[Material], kind: MaterialKind) -> Material:
    """Return the densest material of a kind: what is hardest on the machine."""
    found = [material for material in materials if material.kind is kind]
    return max(found, key=lambda material: material.density.value)


def _end_mill(diameter: float) -> CutterGeometry:
    shank = min(_SHANKS, key=lambda size: abs(size - diameter))
    return CutterGeometry(CutterKind.UP_CUT, diameter, 3 * diameter, shank, 3 * diameter + 32, 2)


_V_BIT = CutterGeometry(CutterKind.V_BIT, 12.7, 11, 6.35, 45, 2, angle=60, substrate=Substrate.TIPPED)


if __name__ == "__main__":
    main()
