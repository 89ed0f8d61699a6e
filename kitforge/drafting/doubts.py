"""What makes a first kit doubtful: lines around a part that do not close, a doubtful unit, lines in lines in lines."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator

from kitforge.drafting.names import says_notes
from kitforge.drafting.nest import Nest, Outline
from kitforge.drafting.records import DrawingSource
from kitforge.drawings import kinds
from kitforge.drawings.chain import REPORTED_GAP, chain
from kitforge.drawings.findings import join_for, size_of, source_of
from kitforge.drawings.frames import names_frame
from kitforge.drawings.left_lines import contains
from kitforge.model.drawing import Drawing, place
from kitforge.model.errors import KitforgeError
from kitforge.model.findings import Finding
from kitforge.model.messages import msg
from kitforge.model.path import Path
from kitforge.model.piece import Bounds
from kitforge.model.units import plain_number

_BEYOND = 0.5
"""How far work may reach beyond an outline without a question, mm. Taste."""

_NESTED_SHARE = 0.75
"""A closed line that fills more of the outline than this may be the outline once more. Taste."""


def refuse_unit(path: pathlib.Path, source: DrawingSource) -> None:
    """Raise KitforgeError where the stated unit is doubtful and another one fits: the caller is to say which."""
    problem = next((one for one in source.drawing.problems if one.kind == "unit-doubtful" and one.better), None)
    if source.unit is None and problem is not None:
        stated = source.drawing.unit if source.drawing.unit in ("mm", "cm", "m", "in", "ft") else ""
        other = f", or with --units {stated} if that is right" if stated else ""
        raise KitforgeError(f"{path}: {problem.message} Run this again with --units {problem.better}{other}.")


def refuse_open(path: pathlib.Path, source: DrawingSource, nest: Nest) -> None:
    """Raise KitforgeError where lines that do not close lie around a part: it may be an opening in what was meant.

    A gap is never closed unasked, but an outline that does not close must not make a hole in it the part either.
    """
    lines = _loose_lines(source.drawing)
    joined = chain(lines, join=max(REPORTED_GAP, source.join))
    around = [loop.bounds for loop in joined.closed]
    boxes = [line.bounds for line in lines]
    around += [*boxes, *([Bounds.around(boxes)] if boxes else [])]
    if not any(contains(box, part.path.bounds) for box in around for part in nest.parts):
        return
    raise KitforgeError(f"{place_of(path, source, lines)}: {open_outline(lines, source.join)}")


def place_of(path: pathlib.Path, source: DrawingSource, lines: list[Path]) -> str:
    """Return the file and, where it is known, the line in it of what is drawn at the end of the longest line."""
    line = source.drawing.origin_at(max(lines, key=lambda one: one.length).end).line
    return f"{path}:{line}" if line else str(path)


def open_outline(lines: list[Path], join: float = 0.0) -> str:
    """Return where lines do not close, and how to have them closed where only small gaps are left."""
    joined = chain(lines, join=max(REPORTED_GAP, join))
    gaps = [problem for problem in joined.problems if problem.kind == "gap-closed" and problem.size is not None]
    told = [problem for problem in chain(lines).problems if problem.kind == "gap"]
    if gaps and joined.closed:
        size = plain_number(join_for(max(gap.size or 0.0 for gap in gaps)), 1)
        listed = " ".join(str(gap.message) for gap in told[:5])
        return (
            f"The largest line does not close. {listed} Draw the ends together, or run this again with "
            f"--join {size} to have gaps up to {size} mm closed with a line."
        )
    longest = max(lines, key=lambda line: line.length)
    return (
        f"The largest line does not close: its ends are at {place(*longest.start)} and {place(*longest.end)}. "
        "Draw the outline as one closed line; a piece of it may be missing, or be hidden."
    )


def _loose_lines(drawing: Drawing) -> list[Path]:
    """Return the open lines, but for those on layers of frames, dimensions and help lines."""
    notes = [name for name in drawing.layers if says_notes(name) or names_frame(name)]
    left = {line for name in notes for line in drawing.layers[name].open}
    ends = {end for line in left for end in (line.start, line.end)}
    return [line for line in drawing.whole.open if line not in left and not {line.start, line.end} <= ends]


def nested(source: DrawingSource, nest: Nest) -> Iterator[Finding]:
    """Yield where closed lines lie in closed lines in an outline, so that it may be a sheet, a frame or drawn twice."""
    for part in nest.parts:
        twin = _twin(part)
        if twin is not None:
            said = msg(
                "Inside the outline of {size} lies a closed line of {inner}, nearly as large: it may be the part "
                "itself, and the outer one the path of a cutter, the edge of a stroke or a frame.",
                size=size_of(part.path.bounds),
                inner=size_of(twin.bounds),
            )
        elif part.depth > 1:
            said = msg(
                "Inside the outline of {size} lie closed lines that have closed lines in them: it may be a sheet or a "
                "frame with parts on it, or a part with parts in its openings.",
                size=size_of(part.path.bounds),
            )
        else:
            continue
        line = source.drawing.origin_at(part.path.start).line
        advice = msg("Look at the first kit; if the part is another line, draw only what is cut.")
        yield kinds.NESTED.new(said, advice, source=source_of(source.name, line), at=part.path.start)
    for frame in nest.frames:
        said = msg("The rectangle of {size} was taken for a frame or a page and left out.", size=size_of(frame.bounds))
        line = source.drawing.origin_at(frame.start).line
        advice = msg("Delete it; if it is the edge of the part, put it on a layer of another name.")
        yield kinds.FRAME.new(said, advice, source=source_of(source.name, line), at=frame.start)


def nearly_alike(source: DrawingSource, nest: Nest) -> Iterator[Finding]:
    """Yield the parts with the same outline that differ in what is inside: one of them may lack something."""
    for one, other in nest.nearly:
        said = msg(
            "Two parts have the same outline of {size} and differ in what is inside: the ones at {one} and {other}.",
            size=size_of(one.path.bounds),
            one=place(*one.path.start),
            other=place(*other.path.start),
        )
        line = source.drawing.origin_at(other.path.start).line
        advice = msg("Look whether one of them lacks a line or has it on another layer.")
        yield kinds.NEARLY_ALIKE.new(said, advice, source=source_of(source.name, line), at=other.path.start)


def outside(source: DrawingSource, nest: Nest) -> Iterator[Finding]:
    """Yield what lies in a part only in part: it was taken for work on it, and may be a help line."""
    from kitforge.geometry.region import line_of

    for part in nest.parts:
        around = part.area.buffer(_BEYOND)
        for item in part.items:
            if isinstance(item, Path) and not around.covers(line_of(item, 0.01)):
                said = msg(
                    "The line from {start} to {end} reaches beyond the outline of {size}; it was taken for work on "
                    "the part.",
                    start=place(*item.start),
                    end=place(*item.end),
                    size=size_of(part.path.bounds),
                )
                line = source.drawing.origin_at(item.start).line
                advice = msg("Look at it in the first kit; delete it if it is a help line.")
                yield kinds.OUTSIDE.new(said, advice, source=source_of(source.name, line), at=item.start)


def _twin(part: Outline) -> Path | None:
    """Return a closed line inside an outline that is nearly as large."""
    inner = [item for item in part.items if isinstance(item, Path) and item.closed]
    largest = max(inner, key=lambda path: abs(path.area), default=None)
    if largest is None or abs(largest.area) < _NESTED_SHARE * abs(part.path.area):
        return None
    return largest
