"""What a size of a kit comes to, and the same in words for every document that lists the sizes of a family."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.family import SizeFacts
from kitforge.pack.names import pack_name
from kitforge.pack.overall import overall_size
from kitforge.pack.times import size_times, time_lines
from kitforge.planning.preparing import pieces_of

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import MachinePlan, Plan

Sides = Callable[[Sequence[float]], str]


def size_facts(kit: Kit, plan: Plan) -> SizeFacts:
    """Return what the size that a kit is comes to, without the work by hand, for which its surface is needed."""
    info, size = kit.info, kit.family.size
    return SizeFacts(
        key=info.size,
        title=size.title if size else info.title,
        name=info.title,
        folder=pack_name(info.slug, info.version, size=info.size),
        overall=overall_size(kit),
        stock={key: (pieces_of(one, plan.sheets), one.length, one.width, one.actual) for key, one in kit.stock.items()},
        parts=sum(part.count for part in kit.parts),
        cutters=tuple(cutter.key for cutter in plan.cutters),
        seconds={one.machine.key: one.machine_seconds for one in plan.machines if one.sound},
    )


def timed_facts(kit: Kit, plan: Plan, machines: Sequence[MachinePlan]) -> SizeFacts:
    """Return what the size that a kit is comes to, with its times. machines: the classes that are printed."""
    return replace(size_facts(kit, plan), times=size_times(kit, plan, machines))


def size_lines(one: SizeFacts, sides: Sides) -> Iterator[str]:
    """Yield what a size comes to in words. sides: writes two or three lengths, mm, as the document writes them."""
    if one.overall is not None:
        yield say("Finished piece: {size}", size=sides(one.overall))
    for count, *lengths in one.stock.values():
        yield say("Stock: {count} × {size}", count=count, size=sides(lengths))
    yield say("Parts to cut: {count}", count=str(one.parts))
    if one.times is not None:
        yield from time_lines(one.times)
