"""Which parts of a kit can be cut from the offcuts of a shop, and where they lie on them."""

from __future__ import annotations

from collections.abc import Sequence

from kitforge.model.family import Ladder
from kitforge.model.kit import Grain, Kit, Part, Stock
from kitforge.model.layout import Placement
from kitforge.model.messages import Message, mm, msg
from kitforge.model.offcuts import Offcut
from kitforge.model.record import record
from kitforge.planning.areas import filled
from kitforge.planning.layout import WEB, spacing_for
from kitforge.planning.nesting.records import ALL_TURNS, GRAIN_TURNS, Copies, LayoutTask, Room
from kitforge.planning.nesting.search import TRIES, search
from kitforge.planning.nesting.task import parts_of
from kitforge.planning.nesting.verified import faults

THICKNESS_PLAY = 0.1
"""How far an offcut may be from the thickness that the kit is drawn for, mm: half the least play of a slip fit that the
demo kits ask for (0.1 to 0.3 mm in all); common practice, no source."""
_ACROSS_TURNS = (90, 270)
_HAIR = 1e-6


@record
class OnOffcuts:
    """What of one stock fits on offcuts. used: each with what lies on it; left_over: copies that need stock.

    unsuited: offcuts that no part of this stock may be cut from, and why.
    """

    stock: Stock
    used: tuple[tuple[Offcut, tuple[Placement, ...]], ...]
    left_over: tuple[tuple[str, int], ...]
    unsuited: tuple[tuple[Offcut, Message], ...]
    faults: tuple[Message, ...] = ()


def on_offcuts(kit: Kit, offcuts: Sequence[Offcut], tries: int = TRIES, seed: int = 1) -> tuple[OnOffcuts, ...]:
    """Return what fits on offcuts, stock by stock; each offcut is used for one stock. The author's places do not count.

    Smaller offcuts are filled first. Every layout is measured on the true outlines.
    """
    free = list(offcuts)
    found = []
    for key, parts in parts_of(kit).items():
        whole = [part for part in parts if not filled([part.outline]).is_empty]
        one = _of_stock(kit.stock[key], whole, free, tries, seed)
        taken = {offcut.key for offcut, _row in one.used}
        free = [offcut for offcut in free if offcut.key not in taken]
        found.append(one)
    return tuple(found)


def _of_stock(stock: Stock, parts: Sequence[Part], offcuts: Sequence[Offcut], tries: int, seed: int) -> OnOffcuts:
    why = [(offcut, unsuited(offcut, stock)) for offcut in offcuts]
    suited = sorted((one for one, reason in why if reason is None), key=lambda one: (abs(one.outline.area), one.key))
    reasons = tuple((one, reason) for one, reason in why if reason is not None)
    copies = tuple((part.key, copy) for part in parts for copy in range(1, part.count + 1))
    if not suited or not copies:
        return OnOffcuts(stock, (), copies, reasons)
    gap = spacing_for(parts)
    task = LayoutTask(
        tuple(_room(offcut, stock, (gap - WEB) / 2) for offcut in suited),
        tuple(Copies(part.key, (part.outline,), tuple(range(1, part.count + 1))) for part in parts),
        gap,
        {},
    )
    laid = search(task, None, tries, seed).laid
    wrong = tuple(faults(task, laid))
    used = tuple((offcut, row) for offcut, row in zip(suited, laid.rooms, strict=True) if row)
    return OnOffcuts(stock, () if wrong else used, copies if wrong else laid.left_over, reasons, wrong)


def unsuited(offcut: Offcut, stock: Stock) -> Message | None:
    """Return why parts of a stock may not be cut from an offcut, None where they may."""
    if offcut.material.key != stock.material.key:
        return msg("it is {is_of}, the kit asks for {asked}", is_of=offcut.material.name, asked=stock.material.name)
    if stock.ladder is not None:
        return _off_rung(offcut, stock, stock.ladder)
    if abs(offcut.thickness - stock.actual) > THICKNESS_PLAY:
        return msg(
            "it is {thick} thick, the kit is drawn for {drawn}", thick=mm(offcut.thickness), drawn=mm(stock.actual)
        )
    return _no_grain(offcut, stock)


def _no_grain(offcut: Offcut, stock: Stock) -> Message | None:
    if offcut.grain is Grain.NONE and stock.grain is not Grain.NONE:
        return msg("its grain is not said, and these parts have one")
    return None


def rung_for(ladder: Ladder, thickness: float) -> float | None:
    """Return the rung to cut a piece of a measured thickness by, mm: the smallest that is not thinner.

    None for a piece thicker than all of them, and for one so thin that it would be looser than a rung allows.
    """
    step = ladder.rungs[1] - ladder.rungs[0] if len(ladder.rungs) > 1 else THICKNESS_PLAY
    found = next((rung for rung in ladder.rungs if rung >= thickness - _HAIR), None)
    return None if found is None or thickness < found - step - _HAIR else found


def _off_rung(offcut: Offcut, stock: Stock, ladder: Ladder) -> Message | None:
    """Return why an offcut is not cut by the rung that a stock is drawn for now."""
    rung = rung_for(ladder, offcut.thickness)
    if rung is None:
        return msg(
            "it is {thick} thick, and no drawing is for that: they are for {least} to {most}",
            thick=mm(offcut.thickness),
            least=mm(ladder.rungs[0]),
            most=mm(ladder.rungs[-1]),
        )
    if abs(rung - stock.actual) > _HAIR:
        return msg("it is {thick} thick and cut by the drawings for {rung}", thick=mm(offcut.thickness), rung=mm(rung))
    return _no_grain(offcut, stock)


def _room(offcut: Offcut, stock: Stock, cutter: float) -> Room:
    """Return an offcut as a room; the grain of parts runs as that of the offcut, which may mean a quarter turn."""
    along = GRAIN_TURNS if offcut.grain is stock.grain else _ACROSS_TURNS
    turns: tuple[int, ...] = ALL_TURNS if stock.grain is Grain.NONE else along
    bad = tuple((filled([line]), cutter) for line in offcut.bad)
    return Room(offcut.key, offcut.outline.to_polygon(0.001), offcut.margin, turns, bad)
