"""The prices that the maker of a kit pays, from a file that no build reads."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.definition.prices import PricesFile, WoodPrice
from kitforge.definition.reader import read_as
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Severity, sort_findings
from kitforge.model.messages import msg
from kitforge.model.prices import Prices, WoodPriceOf
from kitforge.planning.buying import BOARD_FOOT
from kitforge.resolve.values import ResolveContext
from kitforge.stages.printable import report_texts
from kitforge.stages.read_machine import bytes_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit

_WANTED = msg("Write it beside kit.yaml, or name another one with --prices; the README shows what stands in it.")
_LITRE, _HOUR = 1e6, 3600.0  # mm³, s


def read_prices(path: Path, kit: Kit) -> Prices:
    """Return the prices in a YAML file. Raises UnreadableKitError with every problem found: a stock or a piece of
    hardware that the kit does not have is one."""
    entry, where, problems = read_as(PricesFile, bytes_of(path, _WANTED), path.name)
    if entry is None:
        raise UnreadableKitError(sort_findings(problems))
    sheet = ResolveContext("mm", where, problems=problems)
    report_texts(sheet, entry)
    things = {str(one.item): one for one in kit.hardware}
    for name in entry.wood:
        sheet.look_up(kit.stock, name, msg("stock"), "wood", name)
    for name in entry.hardware:
        sheet.look_up(things, name, msg("piece of hardware"), "hardware", name)
    if any(problem.severity is Severity.ERROR for problem in sheet.problems):
        raise UnreadableKitError(sort_findings(sheet.problems))
    return Prices(
        entry.currency,
        entry.on,
        {key: _of_wood(one) for key, one in entry.wood.items()},
        _per(entry.finish_litre, _LITRE),
        dict(entry.hardware),
        _per(entry.hour.machine, _HOUR),
        _per(entry.hour.hand, _HOUR),
    )


def _of_wood(one: WoodPrice) -> WoodPriceOf:
    if one.square_metre is not None:
        return WoodPriceOf(one.square_metre / 1e6, None)
    if one.cubic_metre is not None:
        return WoodPriceOf(None, one.cubic_metre / 1e9)
    return WoodPriceOf(None, _per(one.board_foot, BOARD_FOOT))


def _per(price: float | None, many: float) -> float | None:
    return None if price is None else price / many
