"""releases.toml: which versions of a kit were released, from what and as what. Only `kitforge release` adds to it.

    [[release]]
    version = "1.0.0"
    size = "tall"     # of a kit that has sizes; left out for a pack of all of them
    date = 2026-11-29
    inputs = "..."    # a sum over every file of the kit
    zip = "name-signs-1.0.0.zip"
    sha256 = "..."
    [release.made_with]
    kitforge = "0.1.0"

A released version never changes silently: with other inputs it is an error, and a zip with other bytes never takes the
place of the released one.
"""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge.model.errors import KitforgeError
from kitforge.model.findings import KIT_FILE, Finding, FindingType, Severity, Source
from kitforge.model.messages import msg
from kitforge.model.record import record
from kitforge.release.toml_files import UnfitTomlError, key, quoted, read_toml

if TYPE_CHECKING:
    from kitforge.model.info import KitInfo
    from kitforge.model.kit import Kit

RELEASES = "releases.toml"
LARGEST = 4 << 20
_SUM = re.compile(r"[0-9a-f]{64}")
_HEAD = "# Versions that were released. Added to by `kitforge release` alone; nothing in it is ever changed.\n"

RELEASED_CHANGED = FindingType(
    "released-changed", Severity.ERROR, "The version was released already, from other files than the kit has now."
)
RELEASES_UNREADABLE = FindingType(
    "releases-unreadable", Severity.ERROR, "releases.toml cannot be read or is not as it must be."
)


@record
class Released:
    """A released version: its date, a sum over the kit's files, the zip with its sum, and what it was made with.

    size: of a kit that has sizes, '' for all of them together and for a kit of one size.
    """

    version: str
    date: datetime.date
    inputs: str
    zip: str
    sha256: str
    made_with: Mapping[str, str]
    size: str = ""


def inputs_sum(files: Mapping[str, bytes]) -> str:
    """Return a sum over the files of a kit, hexadecimal."""
    found = hashlib.sha256()
    for name in sorted(files):
        found.update(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n".encode("utf-8", "surrogatepass"))
    return found.hexdigest()


def read_releases(folder: Path) -> list[Released]:
    """Return the releases of the kit in `folder`, oldest first. Raises UnfitTomlError."""
    document = read_toml(folder / RELEASES, LARGEST)
    if document is None:
        return []
    entries = document.get("release", [])
    if set(document) - {"release"} or not isinstance(entries, list):
        raise UnfitTomlError(f"{RELEASES} holds something else than entries [[release]].")
    found = [_released(entry, number) for number, entry in enumerate(entries, 1)]
    versions = [(one.version, one.size) for one in found]
    if len(set(versions)) != len(versions):
        raise UnfitTomlError(f"{RELEASES} names a version twice.")
    return found


def _released(entry: object, number: int) -> Released:
    def text(name: str) -> str:
        value = entry.get(name) if isinstance(entry, dict) else None
        if not isinstance(value, str) or not value:
            raise UnfitTomlError(f"{RELEASES}: release {number} has no text '{name}'.")
        return value

    sums = {name: text(name) for name in ("inputs", "sha256")}
    size = entry.get("size", "") if isinstance(entry, dict) else ""
    made_with: Any = entry.get("made_with", {}) if isinstance(entry, dict) else {}
    date = entry.get("date") if isinstance(entry, dict) else None
    if not all(_SUM.fullmatch(one) for one in sums.values()):
        raise UnfitTomlError(f"{RELEASES}: release {number} has a sum that is none.")
    if not isinstance(size, str):
        raise UnfitTomlError(f"{RELEASES}: release {number} has a size that is no text.")
    if not isinstance(date, datetime.date) or isinstance(date, datetime.datetime):
        raise UnfitTomlError(f"{RELEASES}: release {number} has no date.")
    if not isinstance(made_with, dict) or not all(isinstance(one, str) for one in made_with.values()):
        raise UnfitTomlError(f"{RELEASES}: release {number} says something else than texts under 'made_with'.")
    return Released(text("version"), date, sums["inputs"], text("zip"), sums["sha256"], made_with, size)


def released_as(folder: Path, version: str, size: str = "") -> Released | None:
    """Return the release of a version in a size, None where there is none. Raises UnfitTomlError."""
    return next((one for one in read_releases(folder) if (one.version, one.size) == (version, size)), None)


def release_findings(folder: Path, kit: Kit) -> list[Finding]:
    """Return what is to be said of a kit whose version was released already."""
    try:
        found = next((one for one in read_releases(folder) if one.version == kit.info.version), None)
    except UnfitTomlError as error:
        advice = msg("Take it from the repository as it was; nothing in it is ever changed.")
        return [RELEASES_UNREADABLE.new(msg("{why}", why=str(error)), advice, source=Source(RELEASES))]
    if found is None or found.inputs == inputs_sum(kit.files):
        return []
    message = msg("Version {version} was released on {date} from other files than the kit has now.",
                  version=found.version, date=found.date.isoformat())  # fmt: skip
    advice = msg("Raise the version; `kitforge compare` with the released zip proposes one.")
    return [RELEASED_CHANGED.new(message, advice, source=Source(KIT_FILE))]


def require_ready(info: KitInfo, releases: list[Released]) -> datetime.date:
    """Return the day of the release of a kit. Raises KitforgeError unless version, date and changelog agree."""
    if info.released is None:
        raise KitforgeError("The kit says no day of its release; set `released` in kit.yaml, such as 2026-11-29.")
    entry = next((one for one in info.changes if one.version == info.version), None)
    if entry is None:
        raise KitforgeError(f"`changes` in kit.yaml has no entry for version {info.version}; say what is new in it.")
    if entry.date is not None and entry.date != info.released:
        raise KitforgeError(f"`released` is {info.released}, but `changes` dates {info.version} at {entry.date}.")
    latest = max(releases, key=lambda one: order_of(one.version), default=None)
    if latest is not None and order_of(info.version) < order_of(latest.version):
        raise KitforgeError(f"Version {info.version} is lower than {latest.version}, which was released already.")
    return datetime.date.fromisoformat(info.released)


def order_of(version: str) -> tuple[tuple[int, ...], bool, tuple[tuple[bool, int, str], ...]]:
    """Return what versions are ordered by (Semantic Versioning 2.0.0, section 11: a pre-release comes before)."""
    numbers, _, pre = version.partition("-")
    fields = tuple((not one.isdigit(), int(one) if one.isdigit() else 0, one) for one in pre.split("."))
    return tuple(int(one) for one in numbers.split(".")), not pre, fields if pre else ()


def with_release(text: str, new: Released) -> str:
    """Return the text of releases.toml with one more release at its end."""
    made_with = "".join(f"{key(name)} = {quoted(new.made_with[name])}\n" for name in sorted(new.made_with))
    size = f"size = {quoted(new.size)}\n" if new.size else ""
    entry = (
        f"\n[[release]]\nversion = {quoted(new.version)}\n{size}date = {new.date.isoformat()}\n"
        f"inputs = {quoted(new.inputs)}\nzip = {quoted(new.zip)}\n"
        f"sha256 = {quoted(new.sha256)}\n[release.made_with]\n{made_with}"
    )
    return (text.rstrip("\n") + "\n" if text else _HEAD) + entry
