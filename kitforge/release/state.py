"""A state of a kit to compare: from a folder, which is planned, or from the manifest in a zip, which may be hostile."""

from __future__ import annotations

import hashlib
import json
import math
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kitforge.files.reading import LARGEST_PACK
from kitforge.model.errors import KitforgeError

LARGEST_MANIFEST = 8 << 20
MOST_ENTRIES = 5000
_VERSION = re.compile(r"\d{1,4}\.\d{1,4}\.\d{1,4}(?:-[0-9A-Za-z.-]{1,30})?")
_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class KitState:
    """A kit as it was: where it was read, its title, version and facts, and the sums of files by name."""

    place: str
    title: str
    version: str
    facts: Mapping[str, Any]
    files: Mapping[str, str]


def state_of(place: Path, size: str = "") -> KitState:
    """Return the state of the kit in a folder, in a size, or of a pack.

    Raises KitforgeError, UnreadableKitError for a kit.
    """
    return _of_zip(place) if _is_zip(place) else _of_folder(place, size)


def size_of(place: Path) -> str:
    """Return the size that a pack holds, '' for a kit's folder and for a pack of no single size."""
    kit = read_manifest(place).get("kit") if _is_zip(place) else None
    size = kit.get("size") if isinstance(kit, dict) else None
    return size if isinstance(size, str) and len(size) <= _LONGEST else ""


def _is_zip(place: Path) -> bool:
    return place.is_file() and place.suffix.lower() == ".zip"


def _of_folder(folder: Path, size: str) -> KitState:
    from kitforge.model.family import KitChoice
    from kitforge.pack.facts import facts_of
    from kitforge.pipeline import plan_kit
    from kitforge.release.families import sizes_of
    from kitforge.release.work import plugins

    choice = KitChoice(size if size in sizes_of(folder) else "")
    kit, plan = plan_kit(folder, plugins(), choice=choice, whole=False)
    files = {f"kit: {name}": hashlib.sha256(data).hexdigest() for name, data in kit.files.items()}
    facts = json.loads(json.dumps(facts_of(kit, plan)))  # as a manifest would give them back
    return KitState(str(folder), kit.info.title, kit.info.version, facts, files)


def _of_zip(path: Path) -> KitState:
    manifest = read_manifest(path)
    kit, facts = manifest.get("kit"), manifest.get("facts")
    if not isinstance(kit, dict) or not isinstance(facts, dict):
        raise KitforgeError(f"{path} was built before packs could be compared; build its kit again.")
    if problem := next(faults_of(facts), ""):
        raise KitforgeError(f"{path} cannot be compared: its manifest has {problem}.")
    title, version = kit.get("title"), kit.get("version")
    if not isinstance(title, str) or not isinstance(version, str) or not _VERSION.fullmatch(version):
        raise KitforgeError(f"{path} cannot be compared: its manifest names no title or version.")
    files = {f"kit: {one['name']}": one["sha256"] for one in _entries(manifest.get("inputs"))}
    return KitState(str(path), title[:_LONGEST], version, facts, files)


def read_manifest(path: Path) -> dict[str, Any]:
    """Return the manifest of a pack. Raises KitforgeError for what is no pack of kitforge, or a hostile one."""
    try:
        if path.stat().st_size > LARGEST_PACK:
            raise KitforgeError(f"{path} is larger than {LARGEST_PACK >> 20} MiB; no pack is.")
        with zipfile.ZipFile(path) as archive:
            names = archive.namelist()
            found = [name for name in names if name.count("/") == 1 and name.endswith("/manifest.json")]
            if len(names) > MOST_ENTRIES or len(found) != 1:
                raise KitforgeError(f"{path} is no pack of kitforge: it has no manifest, or too many files.")
            with archive.open(found[0]) as file:
                data = file.read(LARGEST_MANIFEST + 1)
        manifest = json.loads(data, parse_constant=_refuse) if len(data) <= LARGEST_MANIFEST else None
    except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError, RuntimeError, EOFError, zlib.error) as error:
        raise KitforgeError(f"{path} cannot be read as a pack: {error}.") from None
    tool = manifest.get("tool") if isinstance(manifest, dict) else None
    if not isinstance(manifest, dict) or not isinstance(tool, dict) or tool.get("name") != "kitforge":
        raise KitforgeError(f"{path} is no pack of kitforge: its manifest says so, or is too large.")
    return manifest


def faults_of(facts: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is wrong with facts that were read: a stranger may have written them."""
    for key in ("parts", "stock", "cutters", "joints", "settings"):
        if not isinstance(facts.get(key), dict):
            yield f"no table '{key}'"
            return
    if not _texts(facts.get("steps")) or not _texts([*facts["stock"].values(), *facts["cutters"].values()]):
        yield "something else than texts for steps, stock or cutters"
    for part in facts["parts"].values():
        if not _is_part(part):
            yield "a part that is none"
    for joint in facts["joints"].values():
        if not _is_joint(joint):
            yield "a joint that is none"
    for steps in facts["settings"].values():
        if not isinstance(steps, dict) or not all(_are_settings(one) for one in steps.values()):
            yield "settings that are none"


def _is_part(part: object) -> bool:
    return (
        isinstance(part, dict)
        and _texts([part.get("title"), part.get("shape")])
        and isinstance(part.get("count"), int)
        and _numbers(part.get("size"), 3)
    )


def _is_joint(joint: object) -> bool:
    if not isinstance(joint, dict) or not _texts([joint.get("part"), joint.get("takes")]):
        return False
    slots = joint.get("slots")
    return isinstance(slots, list) and all(_numbers(one, 2) for one in slots)


def _are_settings(found: object) -> bool:
    return isinstance(found, dict) and all(_numbers(one, 1) or _numbers(one, 3) for one in found.values())


def _texts(values: object) -> bool:
    return isinstance(values, list) and all(isinstance(one, str) and len(one) < _LONGEST for one in values)


def _numbers(values: object, count: int) -> bool:
    if not isinstance(values, list) or len(values) != count:
        return False
    return all(isinstance(one, int | float) and not isinstance(one, bool) and math.isfinite(one) for one in values)


def _entries(entries: object) -> list[dict[str, str]]:
    listed = entries if isinstance(entries, list) else []
    return [one for one in listed if isinstance(one, dict) and _texts([one.get("name"), one.get("sha256")])]


def _refuse(word: str) -> float:
    raise ValueError(f"{word} is no number")
