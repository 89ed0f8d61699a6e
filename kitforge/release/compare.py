"""Two states of a kit in the buyer's order: do cut parts still fit, what to buy, what to set, in which order, words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from kitforge.release.state import KitState

Facts = Mapping[str, Any]
Figures = Sequence[float]
NOTABLE = 0.05
"""A setting that starts this share higher or lower is told, though it lies in the old range; common practice, no
source."""


class Weight(IntEnum):
    """How much a change means to those who have the old pack, least first: it proposes the next version."""

    WORDS = 0
    NEW_NUMBERS = 1
    NO_LONGER_FITS = 2


@dataclass(frozen=True, slots=True)
class Topic:
    """What one question of the buyer's is answered with; nothing under it means that nothing changed."""

    question: str
    answer: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that differs, and what follows from it."""

    old: KitState
    new: KitState
    topics: tuple[Topic, ...]
    weight: Weight

    @property
    def changed(self) -> bool:
        """Whether anything differs."""
        return any(topic.lines for topic in self.topics)


def compare(old: KitState, new: KitState) -> Comparison:
    """Return what differs between two states of a kit."""
    mates, fits, weight = _mating(old.facts, new.facts)
    buying = [*_differing("Wood", old.facts["stock"], new.facts["stock"]),
              *_differing("Cutter", old.facts["cutters"], new.facts["cutters"])]  # fmt: skip
    settings = list(_settings(old.facts["settings"], new.facts["settings"]))
    order = list(_order(old.facts["steps"], new.facts["steps"]))
    numbers = bool(buying or settings or order)
    words = sorted(name for name in old.files.keys() | new.files.keys() if old.files.get(name) != new.files.get(name))
    topics = (
        Topic("Do parts that are cut already still fit?", fits, tuple(mates)),
        Topic("Is other wood or are other cutters needed?", "yes" if buying else "no", tuple(buying)),
        Topic("Are there other settings for a class of machine?", "yes" if settings else "no", tuple(settings)),
        Topic("Is the order of the steps another?", "yes" if order else "no", tuple(order)),
        Topic("Do other files differ?", "yes" if words else "no", tuple(words)),
    )
    return Comparison(old, new, topics, max(weight, Weight.NEW_NUMBERS if numbers else Weight.WORDS))


def _mating(old: Facts, new: Facts) -> tuple[list[str], str, Weight]:
    """Return what changed in the parts, whether old and new ones go together, and how much that weighs."""
    lines = list(_parts(old["parts"], new["parts"]))
    touched = {key for key in old["parts"].keys() | new["parts"].keys()
               if _shape(old["parts"].get(key)) != _shape(new["parts"].get(key))}  # fmt: skip
    if not touched:
        return lines, "yes", Weight.NEW_NUMBERS if lines else Weight.WORDS
    checked: set[str] = set()
    tight = False
    for name in sorted(old["joints"].keys() & new["joints"].keys()):
        was, now = old["joints"][name], new["joints"][name]
        play = _worst_play(was, now)
        if play is None:
            continue
        checked |= {was["part"], was["takes"]}
        tight = tight or play <= 0
        words = f"{play:.2f} mm of play" if play > 0 else f"{-play:.2f} mm too tight"
        lines.append(f"{name}: at worst, old and new pieces together have {words}.")
    if tight:
        return lines, "no: old and new pieces do not go together", Weight.NO_LONGER_FITS
    if touched <= checked:
        return lines, "yes: every joint has play with old and new pieces mixed", Weight.NEW_NUMBERS
    return lines, "unknown: the kit states no joint for some parts that changed", Weight.NO_LONGER_FITS


def _shape(part: Mapping[str, Any] | None) -> object:
    return part and (part["shape"], part["size"])


def _parts(old: Facts, new: Facts) -> Iterator[str]:
    for key in sorted(old.keys() | new.keys()):
        was, now = old.get(key), new.get(key)
        if was is None or now is None:
            yield f"{(was or now)['title']}: {'new' if was is None else 'no longer there'}."  # type: ignore[index]
        elif was["size"] != now["size"]:
            yield f"{now['title']}: {_box(was['size'])} became {_box(now['size'])}."
        elif was["shape"] != now["shape"]:
            yield f"{now['title']}: its shape or what is cut into it is another."
        elif was["count"] != now["count"]:
            yield f"{now['title']}: {was['count']} became {now['count']} pieces."


def _box(size: Sequence[float]) -> str:
    return " × ".join(f"{side:.4g}" for side in size) + " mm"


def _worst_play(was: Mapping[str, Any], now: Mapping[str, Any]) -> float | None:
    """Return the least play of any slot, old or new, with what goes in, new or old, mm; None where it is not known."""
    if len(was["slots"]) != len(now["slots"]) or not was["slots"]:
        return None
    pairs: Iterator[tuple[Figures, Figures]] = zip(was["slots"], now["slots"], strict=True)
    return min(min(a[0] - b[1], b[0] - a[1], a[0] - a[1], b[0] - b[1]) for a, b in pairs)


def _differing(what: str, old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[str]:
    for key in sorted(old.keys() | new.keys()):
        if old.get(key) != new.get(key):
            yield f"{what} {key}: {old.get(key, 'none')} became {new.get(key, 'none')}."


def _settings(old: Facts, new: Facts) -> Iterator[str]:
    for machine in sorted(old.keys() | new.keys()):
        if machine not in old or machine not in new:
            yield f"{machine}: {'new' if machine not in old else 'no longer there'}."
            continue
        for step in sorted(old[machine].keys() & new[machine].keys()):
            was, now = old[machine][step], new[machine][step]
            for name in sorted(was.keys() & now.keys()):
                if words := _moved(was[name], now[name]):
                    yield f"{machine}, {step}: {name} {words}."


def _moved(was: Sequence[float], now: Sequence[float]) -> str:
    """Return how a setting moved so that its reader must know, or ''."""
    start, then = (one[len(one) // 2] for one in (was, now))
    if math.isclose(start, then, rel_tol=1e-6, abs_tol=1e-9):
        return ""
    outside = len(was) == 3 and not was[0] - 1e-9 <= then <= was[2] + 1e-9
    far = abs(then - start) > NOTABLE * abs(start)
    if not (outside or far or len(was) == 1):
        return ""
    return f"{start:.4g} became {then:.4g}" + (", outside the old range" if outside else "")


def _order(old: Sequence[str], new: Sequence[str]) -> Iterator[str]:
    kept = [step for step in old if step in set(new)]
    if kept != [step for step in new if step in set(old)]:
        yield f"The order is now: {', '.join(new)}."
    yield from (f"New step: {step}." for step in new if step not in set(old))
    yield from (f"No longer a step: {step}." for step in old if step not in set(new))


# -------------------------------------------------------------------------------------------------- what follows


def next_version(version: str, weight: Weight) -> str:
    """Return the version that a change asks for (Semantic Versioning 2.0.0, read for things that are cut)."""
    major, minor, patch = (int(one) for one in version.partition("-")[0].split("."))
    if weight is Weight.NO_LONGER_FITS:
        return f"{major + 1}.0.0"
    return f"{major}.{minor + 1}.0" if weight is Weight.NEW_NUMBERS else f"{major}.{minor}.{patch + 1}"


def changes_entry(found: Comparison, day: str) -> str:
    """Return a draft of the entry for `changes` in kit.yaml, to be put into the author's words."""
    lines = [line for topic in found.topics[:-1] for line in topic.lines] or ["Words only; no number has changed."]
    texts = "".join(f"      - {_yaml(line)}\n" for line in lines[:_MOST_LINES])
    more = f"      - {_yaml(f'and {len(lines) - _MOST_LINES} more')}\n" if len(lines) > _MOST_LINES else ""
    version = next_version(found.old.version, found.weight)
    return f"changes:\n  - version: {version}\n    date: {day}\n    text:\n{texts}{more}"


_MOST_LINES = 12


def errata_notice(found: Comparison) -> str:
    """Return a notice for those who have the old pack: what they must know, in the order in which they would ask."""
    head = f"{found.new.title}, version {found.old.version}: notice to those who have it\n"
    told = [topic for topic in found.topics[:-1] if topic.lines]
    if not told:
        return f"{head}\nNothing that you cut, buy or set has changed.\n"
    blocks: list[str] = []
    for topic in told:
        lines: Sequence[str] = topic.lines[:_MOST_LINES]
        more = [f"  - and {len(topic.lines) - _MOST_LINES} more; see the new pack"] if topic.lines[_MOST_LINES:] else []
        blocks.append("\n".join([f"{topic.question} {topic.answer[0].upper()}{topic.answer[1:]}.",
                                 *(f"  - {line}" for line in lines), *more]))  # fmt: skip
    return head + "\n" + "\n\n".join(blocks) + "\n"


def told(found: Comparison, emit: Callable[[str], None]) -> None:
    """Tell a comparison line by line."""
    emit(f"{found.old.title}: {found.old.version} ({found.old.place}) and {found.new.version} ({found.new.place})")
    for topic in found.topics:
        emit(f"{topic.question} {topic.answer}")
        for line in topic.lines:
            emit(f"    {line}")


def _yaml(text: str) -> str:
    import json

    return json.dumps(text, ensure_ascii=False)
