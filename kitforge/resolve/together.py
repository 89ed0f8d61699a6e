"""Where the parts stand in the finished piece: words for directions to vectors, and one place for every copy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kitforge.definition import kinds
from kitforge.definition.positions import Place
from kitforge.definition.schema import Definition
from kitforge.definition.together import StandingEntry, TurnEntry
from kitforge.definition.values import Raw
from kitforge.model.kit import AssemblyPose, Part
from kitforge.model.messages import msg, msg_many
from kitforge.resolve.each import Pieces
from kitforge.resolve.values import ANYWHERE, ResolveContext, ValueRange, label

Vector = tuple[float, float, float]

WAYS: dict[str, Vector] = {
    "right": (1.0, 0.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "front": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
_DEGREES = ValueRange(-360.0, 360.0)
_SHORTEST_PULL = 0.1


def resolve_together(
    sheet: ResolveContext, definition: Definition, parts: Sequence[Part], pieces: Pieces
) -> tuple[AssemblyPose, ...]:
    """Return where every copy stands, in the order written; what cannot be is reported on the sheet."""
    for index, entry in enumerate(definition.together):
        sheet.look_up({**definition.parts, **pieces.of}, entry.part, msg("part"), "together", index, "part")
    entries = [
        (index, entry.model_copy(update={"part": key}))
        for index, entry in enumerate(definition.together)
        for key in pieces.named(entry.part)
    ]
    if entries:
        _count(sheet, definition, entries)
    known = {part.key: part for part in parts}
    found = []
    for index, entry in entries:
        with sheet.values_of(entry.part):
            one = _standing(sheet, known.get(entry.part), entry, index)
        found.append(replace(one, step=_step(sheet, definition, entry, index)))
    return tuple(found)


def _step(sheet: ResolveContext, definition: Definition, entry: StandingEntry, index: int) -> int | None:
    """Return the step that puts a copy in: the one written, else the first that names its part and is no trial."""
    steps = definition.assembly
    if entry.step is None:
        return next((n for n, step in enumerate(steps) if entry.part in step.parts and not step.dry), None)
    return step_of(sheet, entry.step, len(steps), ("together", index, "step"))


def step_of(sheet: ResolveContext, written: int | None, count: int, place: Place) -> int | None:
    """Return the number of an assembly step, from 0; None, and a finding, where there is no such step."""
    if written is None:
        return None
    if written > count:
        message = msg(
            "{place}: there is no assembly step {step}; the last one is {count}.",
            place=label(place),
            step=written,
            count=count,
        )
        sheet.report(kinds.WRONG_VALUE, place, message, msg("Steps count from 1."))
        return None
    return written - 1


def _count(sheet: ResolveContext, definition: Definition, entries: Sequence[tuple[int, StandingEntry]]) -> None:
    """Report parts with more or fewer places than copies: at the first place too many, or at the part."""
    for key, part in definition.parts.items():
        places = [index for index, entry in entries if entry.part == key]
        if not places:
            message = msg("parts / {key}: it stands nowhere in the finished piece, so its pictures lack it.", key=key)
            advice = msg("Add it to `together`; leave it only if it is no part of the piece, such as a jig.")
            sheet.report(kinds.TOGETHER_MISSING, ("parts", key), message, advice, part=key, key=True)
        elif len(places) != part.count:
            extra = places[part.count] if len(places) > part.count else places[-1]
            place: Place = ("together", extra)
            message = msg(
                "{place}: {places} for {copies} of '{key}'.",
                place=label(place),
                places=msg_many("1 place", "{count} places", len(places)),
                copies=msg_many("1 copy", "{count} copies", part.count),
                key=key,
            )
            advice = msg("Give each copy one place, or change the `count` of '{key}'.", key=key)
            sheet.report(kinds.TOGETHER_COUNT, place, message, advice, part=key)


def _standing(sheet: ResolveContext, part: Part | None, entry: StandingEntry, index: int) -> AssemblyPose:
    place: Place = ("together", index)
    along_x, along_y = oriented(sheet, entry.face, entry.x_runs, entry.turn, place)
    pull, pull_by = _pull(sheet, entry.pull, (*place, "pull"))
    key = "at" if entry.at is not None else "centre"
    at = spot(sheet, entry.at or entry.centre or (), (*place, key))
    if entry.centre is not None and part is not None:
        box = part.outline.bounds
        at = _sum(at, along_x, -(box.left + box.right) / 2, along_y, -(box.bottom + box.top) / 2)
    return AssemblyPose(entry.part, at, along_x, along_y, sheet.where.of(*place), pull, pull_by)


def oriented(sheet: ResolveContext, face: str, x_runs: str, turn: TurnEntry, place: Place) -> tuple[Vector, Vector]:
    """Return which way x and y run of something whose face looks one way and which is then turned."""
    turns = [sheet.number(getattr(turn, axis), *place, "turn", axis, within=_DEGREES) for axis in "xyz"]
    normal, along_x = (_turned(WAYS[way], turns) for way in (face, x_runs))
    return along_x, _cross(normal, along_x)


def spot(sheet: ResolveContext, raw: Sequence[Raw], place: Place) -> Vector:
    """Return a place in the finished piece, mm."""
    x, y, z = (sheet.length(value, *place, index, within=ANYWHERE) for index, value in enumerate(raw))
    return x, y, z


def _pull(sheet: ResolveContext, raw: str | list[Raw] | None, place: Place) -> tuple[Vector | None, float | None]:
    """Return the direction of a pull, and how far where lengths are written."""
    if raw is None or isinstance(raw, str):
        return (WAYS[raw] if raw else None), None
    x, y, z = spot(sheet, raw, place)
    far = math.hypot(x, y, z)
    if far < _SHORTEST_PULL:
        sheet.report(
            kinds.BAD_NUMBER,
            place,
            msg("{place}: a pull of no length.", place=label(place)),
            msg("Write a direction such as up."),
        )
        return None, None
    return (x / far, y / far, z / far), far


def _turned(vector: Vector, turns: Sequence[float]) -> Vector:
    """Return a vector turned about x, then y, then z, degrees. Quarter turns are exact."""
    x, y, z = vector
    for axis, turn in enumerate(turns):
        c, s = _cosine(turn), _cosine(turn - 90.0)
        if axis == 0:
            y, z = c * y - s * z, s * y + c * z
        elif axis == 1:
            z, x = c * z - s * x, s * z + c * x
        else:
            x, y = c * x - s * y, s * x + c * y
    return x, y, z


def _cosine(degrees: float) -> float:
    quarter = degrees / 90
    return (1.0, 0.0, -1.0, 0.0)[int(quarter) % 4] if quarter % 1 == 0 else math.cos(math.radians(degrees))


def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _sum(at: Vector, a: Vector, by_a: float, b: Vector, by_b: float) -> Vector:
    x, y, z = (p + by_a * u + by_b * v for p, u, v in zip(at, a, b, strict=True))
    return x, y, z
