"""Where the design leaves the wood room to move, and where not much: seats and joints against the seasons.

Opening and play are those that are drawn, as they measure with the corners that the cutter leaves, not what was asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.kit import Grain
from kitforge.model.needs import JointNeed, SeatNeed
from kitforge.planning.joints import slots_of
from kitforge.planning.sizes import made_by
from kitforge_booklet.seasons import climate_of, seasons

if TYPE_CHECKING:
    from collections.abc import Iterator

    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Kit, Stock
    from kitforge.model.plan import Plan
    from kitforge.print.figures import Units


def play_words(stock: Stock, kit: Kit, plan: Plan, units: Units) -> tuple[str, ...]:
    """Return one sentence for each seat and joint of a stock: how much its opening moves, how much play there is."""
    return tuple(dict.fromkeys(_words(stock, kit, plan, units)))


def _words(stock: Stock, kit: Kit, plan: Plan, units: Units) -> Iterator[str]:
    where = climate_of(kit)
    for need in kit.needs:
        if not isinstance(need, SeatNeed | JointNeed) or kit.part(need.part).stock.key != stock.key:
            continue
        openings = [one for one in _openings(need, kit, plan) if one[1] > 0]
        found = [(movement, play) for width, play in openings if (movement := seasons(stock, width, where)) is not None]
        if not found:
            continue
        moved, play = min(((movement.change, play) for movement, play in found), key=lambda pair: pair[1] - pair[0])
        what = need.use or kit.part(need.part).operation(need.feature).title
        values = {"what": what, "change": units.length(moved), "play": units.length(play)}
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


def _openings(need: SeatNeed | JointNeed, kit: Kit, plan: Plan) -> Iterator[tuple[float, float]]:
    """Yield how wide each opening is, mm, across the grain where that is known, and the play in it."""
    from kitforge.surface.seats import floors_of, play_in

    if isinstance(need, JointNeed):
        yield from ((fit.slot, fit.play) for slot in slots_of(kit, plan, need) for fit in slot.fits)
        return
    if need.clearance <= 0:
        return  # it may lie there as it likes: nobody fits it
    part = kit.part(need.part)
    upright = part.stock.grain is not Grain.WIDTH
    plays = [play_in(floor, need)[upright] for floor in floors_of(part, plan, need.feature)]
    extents = made_by(part.operation(need.feature)).extents
    if extents and plays:
        yield max(_across(one, upright=upright) for one in extents), min(plays)


def _across(extent: Extent, *, upright: bool) -> float:
    """Return the size of a shape along y or along x; the longer one where its axes lie askew."""
    if extent.is_turned:
        return extent.longer
    return extent.across if upright else extent.along
