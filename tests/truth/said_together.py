"""Everything that a pack says, and what follows from it for something else that is printed as well."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence

import said_in_booklet
import said_in_files
from sayings import Length, Saying, of_lengths
from unset_packs import Unset

_THIN = 36
"""Of more passes than this each is so thin that there may be fewer of them in inches, as `model.passes` says."""
_OF_A_FEATURE = ("depth", "goes through", "count", "measures")
Told = dict[str, list[Saying]]


def everything(pack: Unset) -> list[Saying]:
    """Return what all documents of a pack say, and what follows from it."""
    plain = [*said_in_booklet.said(pack), *said_in_files.said(pack)]
    told: Told = defaultdict(list)
    for one in plain:
        told[one.about].append(one)
    features = [*_features(plain, told)]
    for one in features:
        told[one.about].append(one)
    return [*plain, *features, *_thickness(told), *_floors(told), *_tabs(told), *_single(told), *_in_the_table(told)]


def _features(plain: Sequence[Saying], told: Told) -> Iterator[Saying]:
    """What a step that finishes a feature says is said of the feature."""
    for one in plain:
        step = re.fullmatch(r"step (\d+): (.*)", one.about)
        if step is not None and step[2] in _OF_A_FEATURE and not told[f"step {step[1]}: is roughing"]:
            part, title = told[f"step {step[1]}: part"][0].value, told[f"step {step[1]}: title"][0].value
            yield Saying(f"feature {part}/{title}: {step[2]}", one.value, one.place, one.slack)
            if step[2] == "goes through":  # what falls out with its skin leaves a hole as well
                opened = one.value == "True" or bool(told[f"feature {part}/{title}: skin"])
                yield Saying(f"feature {part}/{title}: open when finished", str(opened), one.place)


def _value(told: Told, about: str) -> Length | None:
    """Return the length said of a thing with the least slack."""
    found = [one for one in told[about] if not isinstance(one.value, str)]
    best = min(found, key=lambda one: one.slack, default=None)
    return None if best is None else Length(float(best.value), best.slack)


def _thickness(told: Told) -> Iterator[Saying]:
    """A cut that goes through is as deep as the part is thick and what goes into the spoilboard."""
    for about in list(told):
        if (step := re.fullmatch(r"step (\d+): into the spoilboard", about)) is not None:
            depth, under = _value(told, f"step {step[1]}: depth"), _value(told, about)
            part = told[f"step {step[1]}: part"][0].value
            if depth is not None and under is not None:
                thick = Length(depth.value - under.value, depth.slack + under.slack)
                yield from of_lengths(f"part {part}: thickness", [thick], f"booklet, depth of step {step[1]}")


def _floors(told: Told) -> Iterator[Saying]:
    """What is left under the deepest hollow of a part is its thinnest floor, if none is cut over another."""
    for about in list(told):
        if (part := re.fullmatch(r"part (.*): thinnest floor", about)) is not None:
            thick = _value(told, f"part {part[1]}: thickness")
            deep = [
                one
                for key in list(told)
                if key.startswith(f"feature {part[1]}/") and key.endswith(": depth") and "/Outline: " not in key
                and told[key.replace(": depth", ": open when finished")][0].value == "False"
                and not told[key.replace(": depth", ": bevel")] and (one := _value(told, key)) is not None
            ]  # fmt: skip
            if thick is not None and deep and not told[f"part {part[1]}: cut from below"]:
                deepest = max(deep, key=lambda one: one.value)
                floor = Length(thick.value - deepest.value, thick.slack + deepest.slack + 0.005)
                yield from of_lengths(about, [floor], "booklet, depths and thickness")


def _tabs(told: Told) -> Iterator[Saying]:
    for about in list(told):
        if (step := re.fullmatch(r"step (\d+): tabs", about)) is not None and _frees(told, step[1]):
            part = told[f"step {step[1]}: part"][0].value
            yield from (Saying(f"part {part}: tabs", one.value, one.place) for one in told[about])


def _frees(told: Told, step: str) -> bool:
    return str(told[f"step {step}: title"][0].value).startswith("Outline")


def _single(told: Told) -> Iterator[Saying]:
    """The only part of a kit, and the largest of several, is as large as the listing says."""
    parts = [m[1] for about in told if (m := re.fullmatch(r"part (.*): length", about))]
    sizes = {
        part: [_value(told, f"part {part}: {side}") for side in ("length", "width", "thickness")] for part in parts
    }
    known = {part: found for part, found in sizes.items() if None not in found}
    if not known:
        return
    largest = max(known, key=lambda part: (_area(known[part]), known[part][2].value))  # type: ignore[union-attr]
    for side, one in zip(("length", "width", "thickness"), known[largest], strict=True):
        if one is not None:
            yield from of_lengths(f"largest part: {side}", [one], "listing, largest of the parts")
            yield from of_lengths(f"part of the kit: {side}", [one], "listing, the part") if len(parts) == 1 else ()


def _area(sides: Sequence[Length | None]) -> float:
    length, width = (one.value for one in sides[:2] if one is not None)
    return length * width


def _in_the_table(told: Told) -> Iterator[Saying]:
    """settings.csv tells the last pass in a row of its own, and none where it is like the others."""
    for about, said in list(told.items()):
        if (passes := re.fullmatch(r"(step \d+ on .*): passes in the table", about)) is not None:
            table = int(said[0].value) + len(told[f"{passes[1]}: last pass in the table"])
            if table > _THIN:
                continue
            yield Saying(f"{passes[1]}: passes, with the last", table, said[0].place)
            for one, last in zip(told[f"{passes[1]}: passes"], told[f"{passes[1]}: last pass"], strict=True):
                yield Saying(
                    f"{passes[1]}: passes, with the last", int(one.value) + str(last.value).startswith("+"), one.place
                )
