"""The dimensioned drawings of the parts, a view for each face that is cut, with the table of their letters."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.kit import Face
from kitforge.pictures.drawn.drawing import dimensioned_drawing, drawing_scale, face_words, next_scale, scale_words
from kitforge.pictures.drawn.views import face_views
from kitforge.print.figures import stock_title
from kitforge.print.sizes import made_words
from kitforge_booklet.records import DrawingPage, FeatureRow
from kitforge_booklet.step_records import LabelledFact

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.model.kit import Kit
    from kitforge.pictures.drawn.features import DrawnFeature
    from kitforge.pictures.drawn.views import FaceView
    from kitforge.print.figures import Units

_WIDTH, _HALF, _SHEET, _HEADING, _HEAD, _GAP = 174.0, 84.0, 242.0, 40.0, 15.5, 6.0
"""Width of the page and of half of it, height of the lower one of the two papers, what stands above the first drawing
and above each, and between two, mm."""
_TABLE_HEAD, _PER_ROW, _PER_LINE = 9.0, 6.6, 4.6
_LEAST = 90.0
"""Less height than this a drawing is not given, mm: a long table then runs on over the page."""
_SHARED_LEAST, _SHARED_MOST = 48.0, 8
"""A drawing is made smaller to share a page when its part stays as long as this on paper, mm, and simple; not
one of two views, whose letters stand close."""
_TITLE_LINE, _SIZE_LINE, _FACTS_LINE = 36, 24, 118


@dataclass(frozen=True, slots=True)
class _Run:
    """Drawings set in bands one below the other, of one drawing or of two side by side.

    pages: begun; shrunk: by how many steps of the scale drawings are smaller than need be; left: room, mm; beside:
    height of the drawing in the left half, beside which there is room for one more.
    """

    pages: int
    shrunk: int
    left: float
    blocks: tuple[DrawingPage, ...] = ()
    beside: float | None = None

    def with_blocks(self, blocks: Sequence[DrawingPage], grow: float, shrunk: int) -> _Run:
        """Return the run with more drawings, each on a page of its own where it does not fit below the last."""
        run = self
        for block in blocks:
            run = run._with_half(block, grow) if block.half else run._below(block, _height(block, grow), grow)
        return replace(run, shrunk=self.shrunk + shrunk)

    def _with_half(self, block: DrawingPage, grow: float) -> _Run:
        height = _height(block, grow)
        if self.beside is None:
            return replace(self._below(block, height, grow), beside=height)
        more = max(0.0, height - self.beside)
        blocks = (*self.blocks, block)
        if more <= self.left:
            return replace(self, left=self.left - more, blocks=blocks, beside=None)
        return _Run(self.pages + 1, self.shrunk, _SHEET - height - _GAP * grow, blocks)

    def _below(self, block: DrawingPage, height: float, grow: float) -> _Run:
        fits = height <= self.left or not self.blocks
        left = (self.left if fits else _SHEET) - height - _GAP * grow
        return _Run(self.pages + (not fits), self.shrunk, left, (*self.blocks, block))


def drawings(kit: Kit, units: Units, grow: float = 1.0, after: float = 0.0) -> tuple[DrawingPage, ...]:
    """Return the dimensioned drawings of every part; grow: how much larger than usual their words are.

    Each takes the largest scale at which it fits a page with its table, or the next one where that saves a page; both
    views of a part have one scale. Two simple ones that fit half the width stand side by side. after: height of what
    follows the drawings and should need no page alone, mm.
    """
    runs = [_Run(1, 0, _SHEET - _HEADING * grow)]
    for part in kit.parts:
        views = face_views(part)
        rooms = [_SHEET if index or runs[0].blocks else runs[0].left for index in range(len(views))]
        scale = min(_scale(view, units, grow, room) for view, room in zip(views, rooms, strict=True))
        full = [_block(view, units, grow, room, scale) for view, room in zip(views, rooms, strict=True)]
        runs = _longer(runs, views, full, units, grow)
    whole = [run for run in runs if run.beside is None]
    return min(whole, key=lambda run: (run.pages + (run.left < after), run.shrunk, -run.left)).blocks


def _longer(
    runs: list[_Run], views: Sequence[FaceView], full: list[DrawingPage], units: Units, grow: float
) -> list[_Run]:
    """Return the runs made longer by a part: drawn as large as can be, smaller, or in half the width."""
    found = [run.with_blocks(full, grow, 0) for run in runs if run.beside is None]
    smaller = [_smaller(view, units, grow, block) for view, block in zip(views, full, strict=True)]
    if all(smaller):
        found += [run.with_blocks([one for one in smaller if one], grow, 1) for run in runs if run.beside is None]
    half = _halved(views[0], units, grow, full[0]) if len(views) == 1 else None
    if half is not None:
        found += [run.with_blocks([half], grow, _steps_down(full[0].ratio, half.ratio)) for run in runs]
    return _best(found)


def _steps_down(scale: float, smaller: float) -> int:
    steps = 0
    while scale > smaller + 1e-9:
        scale, steps = next_scale(scale), steps + 1
    return steps


def _best(runs: list[_Run]) -> list[_Run]:
    """Return the runs that no other one beats in pages, in shrunk drawings and in room left."""
    kept: list[_Run] = []
    for run in sorted(runs, key=lambda one: (one.pages, one.shrunk, -one.left)):
        same = [one for one in kept if (one.beside is None) == (run.beside is None)]
        if not any(one.pages <= run.pages and one.shrunk <= run.shrunk and one.left >= run.left for one in same):
            kept.append(run)
    return kept


def _smaller(view: FaceView, units: Units, grow: float, block: DrawingPage) -> DrawingPage | None:
    """Return the drawing at the next scale if it can still be read there."""
    box = view.part.outline.bounds
    scale = next_scale(block.ratio)
    if not view.alone or len(view.features) > _SHARED_MOST or max(box.width, box.height) * scale < _SHARED_LEAST * grow:
        return None
    return _scaled(block, view, units, _WIDTH, grow, scale)


def _halved(view: FaceView, units: Units, grow: float, block: DrawingPage) -> DrawingPage | None:
    """Return the drawing in half the width, of a part that needs no table; None in large print, of one column."""
    if view.features or grow > 1:
        return None
    scale = min(block.ratio, drawing_scale(view, units, _HALF, _SHEET, grow))
    box = view.part.outline.bounds
    if scale < block.ratio and max(box.width, box.height) * scale < _SHARED_LEAST:
        return None
    return replace(_scaled(block, view, units, _HALF, grow, scale), half=True)


def _scaled(block: DrawingPage, view: FaceView, units: Units, width: float, grow: float, scale: float) -> DrawingPage:
    """Return the drawing at another scale in a room of some width, mm."""
    picture = dimensioned_drawing(view, units, width, _SHEET, grow, scale)
    return replace(block, picture=picture, scale=scale_words(scale), ratio=scale, facts=_facts(view, scale, units))


def _scale(view: FaceView, units: Units, grow: float, room: float) -> float:
    """Return the largest scale at which a view fits a room with its table."""
    return drawing_scale(view, units, *_size_for(_rows(view, units), grow, room), grow)


def _rows(view: FaceView, units: Units) -> tuple[FeatureRow, ...]:
    return tuple(_row(feature, units) for feature in view.features)


def _block(view: FaceView, units: Units, grow: float, room: float, scale: float) -> DrawingPage:
    rows = _rows(view, units)
    width, height = _size_for(rows, grow, room)
    return DrawingPage(
        title=_title(view),
        facts=_facts(view, scale, units),
        picture=dimensioned_drawing(view, units, width, height, grow, scale),
        scale=scale_words(scale),
        ratio=scale,
        rows=rows,
        runs_on=height + _table_height(rows) * grow > room,
    )


def _size_for(rows: tuple[FeatureRow, ...], grow: float, room: float) -> tuple[float, float]:
    """Return the size that a drawing may take on a page of so much room: all of it where the table is too long."""
    whole = room - _HEAD * grow
    beside = whole - _table_height(rows) * grow
    return _WIDTH, beside if beside >= _LEAST else whole


def _height(block: DrawingPage, grow: float) -> float:
    """Return about how tall a drawing is with title, facts and table, mm of paper."""
    facts = " · ".join(f"{fact.label} {fact.value} {fact.other}" for fact in block.facts)
    head = _HEAD + _PER_LINE * (len(facts) // (_FACTS_LINE // 2 if block.half else _FACTS_LINE))
    return block.picture.height + (head + _table_height(block.rows)) * grow


def _table_height(rows: tuple[FeatureRow, ...]) -> float:
    """Return about how tall the table is, mm."""
    if not rows:
        return 0.0
    return _TABLE_HEAD + sum(_PER_ROW + _PER_LINE * (_lines(row) - 1) for row in rows)


def _lines(row: FeatureRow) -> int:
    title = -(-len(row.title) // _TITLE_LINE) + bool(row.where)
    return max(title, -(-len(row.size) // _SIZE_LINE))


def _title(view: FaceView) -> str:
    """Return the part's title, with the face where there are two views or the only one is of the underside."""
    if view.alone and view.face is Face.TOP:
        return view.part.title
    return say("{part}, {face}", part=view.part.title, face=face_words(view.face))


def _facts(view: FaceView, scale: float, units: Units) -> tuple[LabelledFact, ...]:
    part = view.part
    thickness = units.length(part.thickness)
    facts = [
        LabelledFact(say("Count"), str(part.count)),
        LabelledFact(say("Stock"), stock_title(part.stock)),
        LabelledFact(say("Thickness"), thickness.main, thickness.other),
        LabelledFact(say("Scale"), scale_words(scale)),
    ]
    if view.face is Face.BOTTOM:
        facts.append(LabelledFact(say("Seen"), say("turned over from left to right, as it lies when this face is cut")))
    if view.zero is not None:
        x, y = (units.length(value).main for value in view.zero)
        corner = say("the lower left corner of the part; the drawing's own zero is at X {x}, Y {y}", x=x, y=y)
        facts.append(LabelledFact(say("Measured from"), corner))
    if part.note and (view.alone or view.face is Face.TOP):
        facts.append(LabelledFact(say("Note:"), part.note))
    return tuple(facts)


def _row(feature: DrawnFeature, units: Units) -> FeatureRow:
    ring = feature.ring
    return FeatureRow(
        feature.letter,
        feature.title,
        feature.count,
        "" if feature.x is None else units.length(feature.x + 0.0).main,
        "" if feature.y is None else units.length(feature.y + 0.0).main,
        made_words(feature.made, feature.sizes, units),
        say("through") if feature.through else units.length(feature.depth).main,
        say("on a circle of {radius} radius", radius=units.length(ring, 1).main) if ring else "",
    )
