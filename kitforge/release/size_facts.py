"""What the sizes of a kit come to, side by side: overall size, stock, time, cutters and findings of each."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import KitChoice
from kitforge.model.record import record
from kitforge.release.findings.rows import KitResult

if TYPE_CHECKING:
    from kitforge.plugins import Plugins


@record
class SizeFacts:
    """One size. overall: the finished piece, x, y, z mm, None where nothing says how its parts stand; stock: pieces to
    buy and their length, width and thickness mm, by key; seconds: (short, long) at the machine by class, for those
    that it fits; result: its findings. A size that cannot be read has findings alone."""

    size: str
    title: str
    result: KitResult
    overall: tuple[float, float, float] | None = None
    stock: Mapping[str, tuple[int, float, float, float]] | None = None
    parts: int = 0
    cutters: tuple[str, ...] = ()
    seconds: Mapping[str, tuple[float, float]] | None = None


def size_facts(folder: Path, choice: KitChoice, plugins: Plugins) -> SizeFacts:
    """Return what one size of a kit comes to; its findings too where it cannot be read."""
    from kitforge.pack.overall import overall_size
    from kitforge.pipeline import check_kit
    from kitforge.release.beside import of_releases
    from kitforge.release.findings.gather import checked_result, unreadable_result

    try:
        checked = check_kit(folder, plugins, choice=choice)
    except UnreadableKitError as error:
        return SizeFacts(choice.size, choice.size, unreadable_result(folder, error, size=choice.size))
    kit, plan = checked.kit, checked.plan
    size = kit.family.size
    return SizeFacts(
        size=kit.info.size,
        title=size.title if size else kit.info.title,
        result=checked_result(folder, checked, of_releases(folder, checked)),
        overall=overall_size(kit),
        stock={
            key: (
                one.count or sum(sheet.stock.key == key for sheet in plan.sheets),
                one.length,
                one.width,
                one.actual,
            )
            for key, one in kit.stock.items()
        },
        parts=sum(part.count for part in kit.parts),
        cutters=tuple(cutter.key for cutter in plan.cutters),
        seconds={one.machine.key: one.machine_seconds for one in plan.machines if one.sound},
    )
