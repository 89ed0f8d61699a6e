"""What the kit costs its maker, on the page where a file of prices lies beside kit.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.files.reading import read_bounded
from kitforge.language import current_language
from kitforge.report.wording import plain

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan


_LARGEST = 1 << 20


@dataclass(frozen=True, slots=True)
class CostRow:
    """What is paid for, how much of it, and the money in words, '' where nobody says the price."""

    what: str
    amount: str
    money: str


def prices_bytes(prices_file: Path) -> bytes:
    """Return what a file of prices holds, to see whether it has changed; nothing where it cannot be read."""
    try:
        return read_bounded(prices_file, _LARGEST)
    except OSError:
        return b""


def cost_piece(kit: Kit, plan: Plan, prices_file: Path) -> bytes:
    """Return what a kit costs by the prices in a file, or what is wrong with them; nothing where there is no file."""
    from kitforge.live.pieces import filled
    from kitforge.model.errors import UnreadableKitError
    from kitforge.model.findings import in_words
    from kitforge.release.cost import cost_of, money_words
    from kitforge.stages.read_prices import read_prices

    if not prices_file.is_file():
        return b""
    try:
        cost = cost_of(kit, plan, read_prices(prices_file, kit), plan.machines)
    except UnreadableKitError as error:
        worded = in_words(error.problems, current_language().wording(error.units))
        told = [plain(f"{one.source}: {one.message} {one.advice}") for one in worded]
        return filled("cost.html", {"cost": None, "problems": told})
    rows = [
        CostRow(plain(one.what, 200), plain(one.amount, 200), money_words(one.cost) if one.cost else "")
        for one in cost.lines
    ]
    return filled("cost.html", {"cost": cost, "rows": rows, "total": money_words(cost.total)})
