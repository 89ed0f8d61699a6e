"""What to buy of the wood, in words: the same sheets and boards wherever a document or a command tells of them."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.language import capital, decimal, say, say_as, say_counted, say_many
from kitforge.model.units import MM_PER_INCH, plain_number
from kitforge.planning.buying import BOARD_FOOT, purchases
from kitforge.print.figures import Measure, Units, listed, stock_title
from kitforge.workshop.sold import region_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import GlueUp, Plan, Prepared
    from kitforge.planning.buying import BoardsToBuy, PanelsToBuy, Purchase

_CUT_OFF = 0.5
"""Share of what is sold below which a cut-off or a piece sawn to size is worth asking for: a bound of taste."""


@dataclass(frozen=True, slots=True)
class ToBuy:
    """What to buy for stocks of one material and thickness. purchase: where the first units are in use; ready: these
    stocks; bought: in both unit systems, each with the sizes that are sold where it is in use."""

    purchase: Purchase
    ready: tuple[Prepared, ...]
    bought: Measure

    @property
    def title(self) -> str:
        """The stock's title, or what several of them have in common."""
        if len(self.purchase.stocks) == 1:
            return stock_title(self.purchase.stocks[0])
        first = self.ready[0]
        thickness = first.quarters or f"{plain_number(first.stock.actual, 2)} mm"
        return f"{say_as(first.stock.material.name)}, {thickness}"


def to_buy(kit: Kit, plan: Plan, units: Units) -> tuple[ToBuy, ...]:
    """Return the sheets and boards to buy for a kit, for each material and thickness."""
    metric, inch = (purchases(kit, plan, region_of(unit)) for unit in ("mm", "in"))
    ready = {one.stock.key: one for one in plan.prepared}
    return tuple(
        ToBuy(
            two if units.first == "in" else one,
            tuple(ready[stock.key] for stock in one.stocks),
            units.pick(bought_words(one, _MM), bought_words(two, _IN)),
        )
        for one, two in zip(metric, inch, strict=True)
    )


def bought_lines(kit: Kit, plan: Plan, units: Units) -> list[str]:
    """Return what to buy as a line for each material and thickness, which it names where there are several."""
    found = to_buy(kit, plan, units)
    if len(found) == 1:
        return [say("To buy: {what}", what=found[0].bought)]
    return [say("To buy of {stock}: {what}", stock=one.title, what=one.bought) for one in found]


def bought_words(one: Purchase, units: Units) -> str:
    """Return what is bought in the first unit system: the least of the sheets that do, or all boards."""
    if one.unsold or not (one.panels or one.boards):
        return say("larger than what is usually sold")
    if one.panels:
        return panel_words(one.panels[0], units)
    assert one.boards is not None
    return boards_words(one.boards, units)


def panel_words(panel: PanelsToBuy, units: Units) -> str:
    """Return how many sheets of which size, such as '2 sheets, 1220 × 600 mm', in the first unit system."""
    return say_many("{count} sheet, {size}", "{count} sheets, {size}", panel.sheets, size=_sides(panel.size, units))


def boards_words(boards: BoardsToBuy, units: Units) -> str:
    """Return how many boards of which length and width, and their volume as the trade counts it."""
    lengths = Counter(board.length for board in boards.boards)
    words = [
        say_many("{count} board, {size}", "{count} boards, {size}", count, size=_sides((length, boards.width), units))
        for length, count in lengths.items()
    ]
    return "; ".join([*words, volume_text(boards.volume, units)])


def cuts_words(boards: BoardsToBuy, board: Iterable[int], units: Units) -> str:
    """Return what is sawn from a board or from all of them, such as '3 × 700 mm'. board: numbers of pieces."""
    counts = Counter(boards.pieces[number] for number in board)
    return listed([f"{count} × {units.length(piece, 0).main}" for piece, count in counts.items()])


def how_words(one: ToBuy, units: Units) -> str:
    """Return how the sheets or boards were found, and what is left of them."""
    found = one.purchase
    if found.unsold or not (found.panels or found.boards):
        return say("No usual sheet or board is so large: ask your timber yard.")
    if found.panels:
        return _how_panels(found.panels[0])
    assert found.boards is not None
    return " ".join([*_strips(one, units), *_how_boards(found.boards, units)])


def _how_panels(panel: PanelsToBuy) -> str:
    if panel.taken < _CUT_OFF:
        return say("The least of the usual sheets. A cut-off that is large enough does as well.")
    return say(
        "The least of the usual sheets, with saw cuts between the pieces; {waste} % of it is left over as waste.",
        waste=_percent(panel.waste),
    )


def _how_boards(boards: BoardsToBuy, units: Units) -> list[str]:
    pieces = [number for board in boards.boards for number in board.pieces]
    values = {
        "quarters": boards.quarters,
        "thick": units.length(boards.thickness, 1).main,
        "cuts": cuts_words(boards, pieces, units),
        "length": units.length(boards.least, 0).main,
    }
    words = [
        say("Counted as {quarters}, {thick} thick. {cuts} takes {length} with saw cuts and squared ends.", **values)
        if len(pieces) == 1
        else say("Counted as {quarters}, {thick} thick. {cuts} take {length} with saw cuts and squared ends.", **values)
    ]
    if boards.rows > 1:
        words += [say("Each gives {count} strips side by side.", count=boards.rows)]
    if boards.least < _CUT_OFF * sum(board.length for board in boards.boards):
        return [*words, say("A cut-off that is large enough does as well.")]
    waste = say("{waste} % of what you buy is left over as waste.", waste=_percent(boards.waste))
    return [*words, waste, say("Where a knot or a split is in the way, take a longer board.")]


def _percent(share: float) -> str:
    return f"{100 * share:.0f}"


def _strips(one: ToBuy, units: Units) -> list[str]:
    return [_strip(ready.pieces, ready.glue, units) for ready in one.ready if ready.glue is not None]


def _strip(pieces: int, glue: GlueUp, units: Units) -> str:
    words = say_counted(
        "One strip of {size}.",
        "{count} strips of {size}.",
        pieces * glue.strips,
        size=units.size(glue.length, glue.sawn, places=1).main,
    )
    return capital(words)


def _sides(sides: Iterable[float], units: Units) -> str:
    if units.first == "in":
        return decimal(f"{' × '.join(plain_number(side / MM_PER_INCH, 2) for side in sides)} in")
    return f"{' × '.join(plain_number(side, 0) for side in sides)} mm"


def volume_text(volume: float, units: Units) -> str:
    """Return a volume of wood in m³ (cm³ below a thousandth) and board feet, rounded up to two figures."""
    litres = math.ceil(volume / 1e5 - 1e-9) / 10
    feet = math.ceil(volume / BOARD_FOOT * 10 - 1e-9) / 10
    places = 4 if litres < 10 else 3 if litres < 100 else 2
    cubic_metres = math.ceil(volume / 1e9 * 10**places - 1e-9) / 10**places
    metric = f"{cubic_metres:.{places}f} m³" if litres >= 1 else f"{1000 * litres:.0f} cm³"
    return str(units.pick(metric, say("{feet:.1f} board feet", feet=feet)))


_MM, _IN = Units("mm", both=False), Units("in", both=False)
