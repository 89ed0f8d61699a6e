"""A new layout for a kit: searched, verified, tried in a whole check, and only then written beside kit.yaml."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.errors import KitforgeError
from kitforge.model.family import AS_WRITTEN, KitChoice, Ladder
from kitforge.model.findings import Finding, Severity
from kitforge.model.layout import layout_file
from kitforge.model.record import record
from kitforge.planning.nesting.lay import StockLayout, lay_by_shape
from kitforge.planning.nesting.locked import LockedLayout, made_for, text_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.offcuts import Offcut
    from kitforge.plugins import Plugins


@record
class Nested:
    """What nesting a kit gave. layout: what to write, None where nothing was found that may be cut.

    stocks: by stock; new: errors that the check has with the layout and not without it, which forbid it; more: warnings
    likewise, which do not.
    """

    kit: Kit
    stocks: tuple[StockLayout, ...]
    layout: LockedLayout | None
    new: tuple[Finding, ...] = ()
    more: tuple[Finding, ...] = ()


def nested(folder: Path, plugins: Plugins, tries: int, seed: int, choice: KitChoice = AS_WRITTEN) -> Nested:
    """Return a layout of the kit in a folder, in the size chosen, whatever layout.lock it has.

    Where the check finds an error with the true shapes (no place for a screw, a piece that nothing holds), rectangles
    are tried; where it finds one there too, there is no layout. Raises UnreadableKitError.
    """
    kit = _without_lock(folder, plugins, choice)
    before = _errors(kit, plugins)
    best: Nested | None = None
    for most in (tries, None):
        stocks = lay_by_shape(kit, most, seed)
        sheets = tuple(sheet for stock in stocks for sheet in stock.sheets)
        if not sheets:
            return Nested(kit, stocks, None)
        after = _errors(replace(kit, layout=sheets), plugins)
        new, more = (_only_after(before, after, severity) for severity in (Severity.ERROR, Severity.WARNING))
        if not new:
            return Nested(kit, stocks, LockedLayout(sheets, _made_for(kit, stocks), _how(stocks, seed)), (), more)
        best = best or Nested(kit, stocks, None, new, more)
    assert best is not None
    return best


def kits_at_rungs(
    folder: Path, plugins: Plugins, choice: KitChoice, offcuts: Sequence[Offcut]
) -> list[tuple[float | None, Kit]]:
    """Return a kit at each rung of its ladders by which an offcut of its wood is cut; the kit as it is without any.

    Raises UnreadableKitError.
    """
    from kitforge.pipeline import load_kit
    from kitforge.planning.nesting.offcuts import rung_for
    from kitforge.stages.rungs import at_rung

    kit = load_kit(folder, plugins, choice=choice)
    wanted: dict[tuple[str, float], Ladder] = {}
    for stock in kit.stock.values():
        if stock.ladder is not None:
            thick = sorted(one.thickness for one in offcuts if one.material.key == stock.material.key)
            rungs = (rung_for(stock.ladder, one) for one in thick)
            wanted |= {(stock.ladder.of, rung): stock.ladder for rung in rungs if rung is not None}
    found: list[tuple[float | None, Kit]] = [
        (rung, load_kit(folder, plugins, choice=at_rung(choice, ladder, rung))) for (_, rung), ladder in wanted.items()
    ]
    return found or [(None, kit)]


def text_for(found: Nested) -> bytes:
    """Return what to write into layout.lock. Raises KitforgeError where there is no layout."""
    if found.layout is None:
        raise KitforgeError("There is no layout to write.")
    return text_of(found.layout).encode("utf-8")


def _without_lock(folder: Path, plugins: Plugins, choice: KitChoice) -> Kit:
    from kitforge.stages.choosing import choose
    from kitforge.stages.read import read
    from kitforge.stages.resolve import resolve
    from kitforge.stages.rungs import rungs_of

    written = choose(read(folder), choice)
    files = {name: data for name, data in written.files.items() if name != layout_file(written.family.chosen)}
    written = replace(written, files=files)
    return rungs_of(written, choice, resolve(written, plugins), plugins).kit


def _errors(kit: Kit, plugins: Plugins) -> list[Finding]:
    from kitforge.stages.checking import check
    from kitforge.stages.planning import plan

    return list(check(kit, plan(kit, plugins), plugins))


def _only_after(before: list[Finding], after: list[Finding], severity: Severity) -> tuple[Finding, ...]:
    """Return the findings that are there more often than before, by what they are of and what they regard."""
    left = [(one.code, one.part, one.operation) for one in before]
    found = []
    for one in after:
        key = (one.code, one.part, one.operation)
        if one.severity is not severity:
            continue
        if key in left:
            left.remove(key)
        else:
            found.append(one)
    return tuple(found)


def _made_for(kit: Kit, stocks: tuple[StockLayout, ...]) -> str:
    return made_for(kit, [one.stock.key for one in stocks if one.sheets])


def _how(stocks: tuple[StockLayout, ...], seed: int) -> str:
    shapes = [f"{one.stock.key}: {'rectangles' if one.rectangles else 'outlines'}" for one in stocks if one.sheets]
    tried = sum(one.tried for one in stocks)
    text = f"{', '.join(shapes)}; {tried} orders, seed {seed}"
    return text if len(text) <= 200 else f"{tried} orders, seed {seed}"
