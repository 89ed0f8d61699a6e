"""kit.lock: the numbers of a kit, one line a setting, so that a review sees which ones a change moves.

    [light_router."sign/recess"]
    feed = [1390, 1730, 2500]  # low, start, high

A table for each machine class and step, in alphabetical order: no counters, line numbers, dates or totals, so that two
branches merge unless they move the same number. Numbers have four digits and are sticky: one that stays within its own
rounding keeps its old figure, so that noise in the last digits moves nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge import __version__
from kitforge.model.findings import Finding, FindingType, Severity, Source
from kitforge.model.messages import msg, msg_many
from kitforge.model.record import record
from kitforge.release.toml_files import UnfitTomlError, key, quoted, read_toml

if TYPE_CHECKING:
    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan

LOCK = "kit.lock"
DIGITS = 4
LARGEST = 8 << 20
_FORMAT = 1
_LARGEST_NUMBER = 10**9
_HEAD = f"""\
# The numbers of this kit, to see in a review which ones a change moves. Written by `kitforge lock`, not by hand: after
# a clash take one side and lock again. mm, mm/min, min-1; three figures are low, start, high.
kitforge_lock = {_FORMAT}
"""

Figures = tuple[float, ...]
Settings = Mapping[str, Mapping[str, Mapping[str, Figures]]]
"""By machine class, step and setting."""

Locks = Mapping[str, "Lock"]
"""By size; a kit of one size has '' alone."""

LOCK_DIFFERS = FindingType("lock-differs", Severity.WARNING, "Numbers of the kit are not those of its kit.lock.")
LOCK_UNREADABLE = FindingType("lock-unreadable", Severity.ERROR, "kit.lock cannot be read or is not as it must be.")


@record
class Lock:
    """Settings, and what they were computed with: kitforge, a sum over the tables, versions of the libraries."""

    settings: Settings
    made_with: Mapping[str, str]


@record
class LockChange:
    """A setting that differs; old or new is empty where there is none."""

    machine: str
    step: str
    setting: str
    old: Figures
    new: Figures

    def __str__(self) -> str:
        old, new = (_written(one) if one else "nothing" for one in (self.old, self.new))
        return f"{self.machine}, {self.step}, {self.setting}: {old} -> {new}"


def lock_of(kit: Kit, plan: Plan, old: Lock | None = None) -> Lock:
    """Return the lock of a kit; numbers stick to those of `old`."""
    from kitforge.pack.facts import facts_of, library_versions, tables_sum

    settings = {
        machine: {step: {name: tuple(figures) for name, figures in found.items()} for step, found in steps.items()}
        for machine, steps in facts_of(kit, plan)["settings"].items()
    }
    libraries = " ".join(f"{name} {version}" for name, version in library_versions().items() if name in _COMPUTE)
    made_with = {"kitforge": __version__, "tables": tables_sum()[:16], "libraries": libraries}
    return stuck(Lock(settings, made_with), old)


_COMPUTE = ("numpy", "scipy", "shapely", "python")


def stuck(new: Lock, old: Lock | None) -> Lock:
    """Return a lock whose numbers are rounded and keep the old figures where they still round to them."""
    before = old.settings if old else {}
    settings = {
        machine: {
            step: {
                name: _stuck_all(figures, before.get(machine, {}).get(step, {}).get(name, ()))
                for name, figures in found.items()
            }
            for step, found in steps.items()
        }
        for machine, steps in new.settings.items()
    }
    return Lock(settings, new.made_with)


def _stuck_all(new: Figures, old: Figures) -> Figures:
    if len(new) != len(old):
        return tuple(sticky(value, None) for value in new)
    return tuple(sticky(value, before) for value, before in zip(new, old, strict=True))


def sticky(new: float, old: float | None, digits: int = DIGITS) -> float:
    """Return a number rounded to some digits; the old figure where the number lies within its rounding and a hair."""
    rounded = float(f"{new:.{digits}g}")
    if old is None or rounded == old or new == 0:
        return rounded
    unit = 10.0 ** (math.floor(math.log10(abs(new))) - digits + 1)
    return old if abs(new - old) <= 0.5 * unit * (1 + 1e-6) else rounded


def text_of(locks: Locks) -> str:
    """Return the text of kit.lock."""
    lock = next(iter(locks.values()))
    blocks = [
        _HEAD,
        "[made_with]\n" + "".join(f"{name} = {quoted(lock.made_with[name])}\n" for name in sorted(lock.made_with)),
    ]
    for size in sorted(locks):
        blocks += _blocks(locks[size].settings, f"sizes.{key(size)}.settings" if size else "settings")
    return "\n".join(blocks)


def _blocks(settings: Settings, table: str) -> Iterator[str]:
    for machine in sorted(settings):
        for step in sorted(settings[machine]):
            found = settings[machine][step]
            lines = "".join(f"{name} = {_written(found[name])}\n" for name in sorted(found))
            yield f"[{table}.{key(machine)}.{key(step)}]\n{lines}"


def read_locks(folder: Path) -> Locks | None:
    """Return the locks of the kit in `folder`, one for each size, None where it has none. Raises UnfitTomlError."""
    document = read_toml(folder / LOCK, LARGEST)
    return None if document is None else _locks(document)


def _locks(document: Mapping[str, Any]) -> Locks:
    if document.get("kitforge_lock") != _FORMAT:
        raise UnfitTomlError(f"{LOCK} is of another format than {_FORMAT}; write it anew with `kitforge lock`.")
    made_with = document.get("made_with", {})
    if not isinstance(made_with, dict) or not all(isinstance(one, str) for one in made_with.values()):
        raise UnfitTomlError(f"{LOCK}: 'made_with' holds something else than texts.")
    sizes = _table(document.get("sizes", {}), "sizes")
    if sizes:
        return {size: Lock(_settings(_table(one, size).get("settings", {})), made_with) for size, one in sizes.items()}
    return {"": Lock(_settings(document.get("settings", {})), made_with)}


def _settings(document: object) -> Settings:
    return {
        machine: {
            step: {name: _figures(value, f"{machine}, {step}, {name}") for name, value in _table(found, step).items()}
            for step, found in _table(steps, machine).items()
        }
        for machine, steps in _table(document, "settings").items()
    }


def _table(value: object, where: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise UnfitTomlError(f"{LOCK}: '{where}' is no table.")
    return value


def _figures(value: object, where: str) -> Figures:
    figures = value if isinstance(value, list) else [value]
    numbers = [one for one in figures if isinstance(one, int | float) and not isinstance(one, bool)]
    if len(numbers) != len(figures) or len(figures) not in (1, 3) or not all(map(_is_sound, numbers)):
        raise UnfitTomlError(f"{LOCK}: {where} is not one number or three.")
    return tuple(float(one) for one in numbers)


def _is_sound(number: float) -> bool:
    return -_LARGEST_NUMBER < number < _LARGEST_NUMBER  # false for what is no number; a whole one may be huge


def changes(old: Lock, new: Lock) -> Iterator[LockChange]:
    """Yield every setting that differs, by class, step and name; both locks are rounded already."""
    for machine in _both(old.settings, new.settings):
        before, after = old.settings.get(machine, {}), new.settings.get(machine, {})
        for step in _both(before, after):
            was, now = before.get(step, {}), after.get(step, {})
            for name in _both(was, now):
                if was.get(name) != now.get(name):
                    yield LockChange(machine, step, name, was.get(name, ()), now.get(name, ()))


def reason(old: Lock, new: Lock) -> str:
    """Return why numbers may differ: the versions that moved, else the kit itself."""
    words = {"kitforge": "kitforge", "tables": "the workshop's tables", "libraries": "libraries that compute"}
    moved = [words[key] for key in words if old.made_with.get(key) != new.made_with.get(key)]
    return f"other {', other '.join(moved)}, or the kit" if moved else "the kit"


def lock_findings(folder: Path, kit: Kit, plan: Plan) -> list[Finding]:
    """Return what is to be said of a kit's lock; nothing where it has none."""
    try:
        locks = read_locks(folder)
    except UnfitTomlError as error:
        advice = msg("Write it anew with `kitforge lock`.")
        return [LOCK_UNREADABLE.new(msg("{why}", why=str(error)), advice, source=Source(LOCK))]
    if locks is None:
        return []
    old = locks.get(kit.info.size, Lock({}, {}))
    new = lock_of(kit, plan, old)
    found = list(changes(old, new))
    if not found:
        return []
    message = msg_many(
        "One number is not that of kit.lock, because of {why}: {first}.",
        "{count} numbers are not those of kit.lock, because of {why}; the first: {first}.",
        len(found),
        why=reason(old, new),
        first=str(found[0]),
    )
    advice = msg("Look at them with `kitforge lock --check`; if they are meant, write them with `kitforge lock`.")
    return [LOCK_DIFFERS.new(message, advice, source=Source(LOCK))]


def _both(one: Iterable[str], other: Iterable[str]) -> list[str]:
    return sorted({*one, *other})


def _written(figures: Figures) -> str:
    words = [_number(one) for one in figures]
    return words[0] if len(words) == 1 else f"[{', '.join(words)}]"


def _number(value: float) -> str:
    text = f"{value:.{DIGITS + 3}g}"
    return str(int(value)) if value == int(value) and abs(value) < 1e9 else repr(float(text))
