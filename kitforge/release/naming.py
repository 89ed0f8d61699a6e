"""Zips of one call: which kit has a name first, known before any work is done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from kitforge.model.errors import UnreadableKitError
from kitforge.pack.names import pack_name

if TYPE_CHECKING:
    from kitforge.model.workshop import MachineClass


def archives_before(folders: Sequence[Path], output: Path, machine: MachineClass | None) -> list[Mapping[Path, Path]]:
    """Return for each kit the zips that belong to kits before it, with their folders; of one name the first is kept."""
    if len(folders) < 2:
        return [{} for _ in folders]
    found: list[Mapping[Path, Path]] = []
    taken: dict[Path, Path] = {}
    for folder in folders:
        found.append(dict(taken))
        archive = _archive(folder, output, machine)
        if archive is not None:
            taken.setdefault(archive, folder)
    return found


def _archive(folder: Path, output: Path, machine: MachineClass | None) -> Path | None:
    from kitforge.stages.read import read

    try:
        info = read(folder).definition.kit
    except UnreadableKitError:
        return None
    return output / f"{pack_name(info.slug, info.version, machine.key if machine else None)}.zip"
