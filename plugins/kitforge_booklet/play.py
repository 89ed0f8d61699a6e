"""Where the design leaves the wood room to move, and where not much: seats and joints against the seasons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.needs import JointNeed, SeatNeed
from kitforge_booklet.seasons import climate_of, seasons

if TYPE_CHECKING:
    from collections.abc import Iterator

    from kitforge.kit import Kit, Stock
    from kitforge.print.figures import Units


def play_words(stock: Stock, kit: Kit, units: Units) -> tuple[str, ...]:
    """Return one sentence for each seat and joint of a stock: how much its opening moves, how much play there is."""
    return tuple(dict.fromkeys(_words(stock, kit, units)))


def _words(stock: Stock, kit: Kit, units: Units) -> Iterator[str]:
    where = climate_of(kit)
    for need in kit.needs:
        if not isinstance(need, SeatNeed | JointNeed) or kit.part(need.part).stock.key != stock.key:
            continue
        opening, play = _opening(need, kit)
        if play <= 0:
            continue
        found = seasons(stock, opening, where)
        if found is None:
            continue
        moved = found.change
        what = need.use or _title(kit, need)
        values = {"what": what, "change": units.length(moved, 2), "play": units.length(play, 2)}
        if play >= moved and where.outdoors:
            yield say(
                "The seat for {what} closes by at most {change} under cover and has {play} of play: enough where no "
                "rain wets it.",
                **values,
            )
        elif play >= moved:
            yield say(
                "The seat for {what} closes by at most {change} and has {play} of play: enough in any season.", **values
            )
        else:
            yield say(
                "The seat for {what} closes by at most {change} and has {play} of play: fit it in the room where it "
                "will stay.",
                **values,
            )


def _opening(need: SeatNeed | JointNeed, kit: Kit) -> tuple[float, float]:
    """Return how wide the opening is at most, and the play that it has in all, mm."""
    if isinstance(need, SeatNeed):
        return max(need.size) + 2 * need.clearance, 2 * need.clearance
    return kit.part(need.takes).thickness, need.clearance[0]


def _title(kit: Kit, need: SeatNeed | JointNeed) -> str:
    return next((op.title for op in kit.part(need.part).operations if op.name == need.feature), need.feature)
