"""The sizes of a family beside each other: every one resolved, none planned, for the small pictures of a pack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.model.errors import UnreadableKitError
from kitforge.model.family import KitChoice
from kitforge.stages.choosing import choose
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve

if TYPE_CHECKING:
    from pathlib import Path

    from kitforge.model.family import Family, SizePicture
    from kitforge.model.kit import Kit
    from kitforge.plugins import Plugins

_MOST = 6
"""So many sizes stand side by side in print; more are named alone."""


def with_sizes_shown(folder: Path, kits: Sequence[Kit], plugins: Plugins) -> list[Kit]:
    """Return kits of one family with pictures of all its sizes, which are the same for each. kits: at least one.

    Without them where there are many, where one cannot be read or drawn, and where the call set values: then the
    other sizes are not for sale as this one is.
    """
    shown = _shown(folder, kits[0].family, plugins)
    return [replace(kit, family=replace(kit.family, pictures=shown)) for kit in kits]


def _shown(folder: Path, family: Family, plugins: Plugins) -> tuple[SizePicture, ...]:
    from kitforge.pack.overall import overall_size
    from kitforge.pictures.shaded.family import size_pictures

    if not 1 < len(family.sizes) <= _MOST or family.values or family.order:
        return ()
    try:
        written = read(folder)
        kits = [resolve(choose(written, KitChoice(size=one.key)), plugins) for one in family.sizes]
    except UnreadableKitError:
        return ()
    pictures = size_pictures(kits)
    return tuple(replace(one, overall=overall_size(kit)) for one, kit in zip(pictures, kits, strict=False))
