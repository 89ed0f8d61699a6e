"""The dimensioned drawings of the parts, a view for each face that is cut, with the table of their letters.

Each part is drawn at several scales, and simple ones in half the width to stand side by side; the typesetter takes the
largest of which all need the fewest pages (`kitforge.print.courses`). A part with depths has a section in one of its
views; each of its scales is there without it as well, so that a section never costs a page.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from typing import TYPE_CHECKING

from kitforge.language import say
from kitforge.model.kit import Face
from kitforge.pictures.drawn.drawing import dimensioned_drawing, drawing_scale, face_words, next_scale
from kitforge.pictures.drawn.part_section import part_section
from kitforge.pictures.drawn.views import face_views
from kitforge.print.figures import scale_words, stock_title
from kitforge.print.sizes import made_words
from kitforge_booklet.records import DrawingChoice, DrawingPage, DrawingPages, FeatureRow
from kitforge_booklet.step_records import LabelledFact

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from kitforge.model.kit import Kit
    from kitforge.model.plan import Plan
    from kitforge.pictures.drawn.features import DrawnFeature
    from kitforge.pictures.drawn.part_section import PartSection
    from kitforge.pictures.drawn.views import FaceView
    from kitforge.print.figures import Units

_WIDTH, _HALF, _TALLEST = 174.0, 84.0, 250.0
"""Width of the page and of half of it, and the tallest drawing that is worth trying: the text of the taller paper is
272 mm high, of which the drawing's title and facts take some, mm."""
_LEAST, _FOR_MARK, _MOST = 48.0, 10.0, 8
"""A drawing is made smaller to share a page when its part stays as long as this on paper, mm, and so long for each of
its marks, and simple: with so many marks at most, else letters stand close. Else it is made smaller only to fit on a
page."""
_LEAST_PLAIN = 22.0
"""An outline alone, without marks or table, stays clear down to this length on paper, mm."""
_LOW = 120.0
"""A drawing lower than this on paper, mm, fits on a page with any table that is not too long for the page itself; in
large print, of which a table takes more, one as much lower."""
_NO_SECTION = 2
"""What is lost where a section is left out: rather one step of the scale is given up than a section, and that rather
than two."""
_SCALES, _FEWER, _DRAWINGS = 5, 2, 150
"""So many scales are tried, from the largest that fits the width; fewer of so many parts that there would be more
drawings than that."""


def drawings(kit: Kit, units: Units, grow: float = 1.0, plan: Plan | None = None) -> DrawingPages:
    """Return the dimensioned drawings of every part; grow: how much larger than usual their words are.

    Both views of a part have one scale. Two simple ones that fit half the width may stand side by side, the last one
    beside what follows the drawings. plan: whose steps the sections are cut by; None for no sections.
    """
    parts = [face_views(part) for part in kit.parts]
    cut = [None if plan is None else part_section(part, plan.steps_of(part.key), own)
           for part, own in zip(kit.parts, parts, strict=True)]  # fmt: skip
    count = max(_FEWER, min(_SCALES, _DRAWINGS // len(parts)))
    plain = [list(_scaled(views, units, grow, count)) for views in parts]
    whole = [
        [_with_section(views, pages, section, units, grow) for pages in scales]
        for views, scales, section in zip(parts, plain, cut, strict=True)
    ]
    choices = [
        choice
        for index, (views, scales, with_section) in enumerate(zip(parts, plain, whole, strict=True))
        for choice in _choices(index, views, scales, with_section, grow)
    ]
    halves = [_halved(views, units, grow, scales[0][0]) for views, scales in zip(parts, plain, strict=True)]
    for index, (left, right) in enumerate(pairwise(halves)):
        pairs: dict[int, tuple[DrawingPage, DrawingPage]] = {}
        for (one, first), (other, second) in product(left, right):
            pairs.setdefault(one + other, (first, second))
        choices += [DrawingChoice(index, index + 2, loss, False, pair) for loss, pair in sorted(pairs.items())]
    last = len(parts) - 1
    choices += [DrawingChoice(last, last + 2, loss, False, (page,)) for loss, page in halves[last] if last]
    usual = (_usual(scales, cut) for scales, cut in zip(plain, whole, strict=True))
    return DrawingPages(tuple(page for pages in usual for page in pages), tuple(choices))


def _usual(
    scales: Sequence[tuple[DrawingPage, ...]], cut: Sequence[tuple[DrawingPage, ...]]
) -> tuple[DrawingPage, ...]:
    """Return the largest drawings of a part that have room for its section, else the largest."""
    return next((own for pages, own in zip(scales, cut, strict=True) if own != pages), scales[0])


def _choices(
    index: int,
    views: Sequence[FaceView],
    scales: Sequence[tuple[DrawingPage, ...]],
    with_section: Sequence[tuple[DrawingPage, ...]],
    grow: float,
) -> Iterator[DrawingChoice]:
    """Yield a part at its scales; a last resort only below a drawing that is tall enough to need one."""
    for steps, (found, cut) in enumerate(zip(scales, with_section, strict=True)):
        resort = _last_resort(views, found[0].ratio, grow, steps)
        if resort and all(page.picture.height < _LOW / grow for page in scales[steps - 1]):
            return
        if cut is found or cut != found:
            yield DrawingChoice(index, index + 1, _loss(steps), resort, cut)
        if cut is not found:
            yield DrawingChoice(index, index + 1, _loss(steps) + _NO_SECTION, resort, found)


def _with_section(
    views: Sequence[FaceView],
    pages: tuple[DrawingPage, ...],
    section: tuple[PartSection, FaceView] | None,
    units: Units,
    grow: float,
) -> tuple[DrawingPage, ...]:
    """Return the views of a part at a scale with its section in one of them."""
    if section is None:
        return pages
    cut, shown = section
    return tuple(
        _page(view, units, _WIDTH, grow, page.ratio, cut) if view is shown else page
        for view, page in zip(views, pages, strict=True)
    )


def _scaled(views: Sequence[FaceView], units: Units, grow: float, count: int) -> Iterator[tuple[DrawingPage, ...]]:
    """Yield the views of a part at the largest scale that fits the width, and at smaller ones, so many in all."""
    scale = min(drawing_scale(view, units, _WIDTH, _TALLEST, grow) for view in views)
    for _ in range(count):
        yield tuple(_page(view, units, _WIDTH, grow, scale) for view in views)
        if next_scale(scale) == scale:
            return
        scale = next_scale(scale)


def _loss(steps: int) -> int:
    """Return what a drawing loses by so many steps of the scale: rather two by one step than one by two."""
    return steps**2


def _last_resort(views: Sequence[FaceView], scale: float, grow: float, steps: int) -> bool:
    """Whether a part is drawn so small only where it does not fit on a page otherwise."""
    simple = all(len(view.features) <= _MOST for view in views)
    least = max(_LEAST, *(_FOR_MARK * len(view.features) for view in views))
    return steps > 0 and not (simple and _long(views[0], scale) >= least * grow)


def _halved(views: Sequence[FaceView], units: Units, grow: float, usual: DrawingPage) -> list[tuple[int, DrawingPage]]:
    """Return the drawing in half the width, of a part that needs no table, at one or two scales, and what each loses.

    None in large print, of one column.
    """
    view = views[0]
    if len(views) > 1 or view.features or grow > 1:
        return []
    found: list[tuple[int, DrawingPage]] = []
    scale = min(usual.ratio, drawing_scale(view, units, _HALF, _TALLEST, grow))
    for _ in range(2):
        if scale == usual.ratio or _long(view, scale) >= _LEAST_PLAIN:
            loss = _loss(_steps_down(usual.ratio, scale))
            found.append((loss, replace(_page(view, units, _HALF, grow, scale), half=True)))
        scale = next_scale(scale)
    return found


def _long(view: FaceView, scale: float) -> float:
    """Return how long the part is on paper, mm."""
    box = view.part.outline.bounds
    return max(box.width, box.height) * scale


def _steps_down(scale: float, smaller: float) -> int:
    steps = 0
    while scale > smaller + 1e-9:
        scale, steps = next_scale(scale), steps + 1
    return steps


def _page(
    view: FaceView, units: Units, width: float, grow: float, scale: float, section: PartSection | None = None
) -> DrawingPage:
    """Return the drawing at a scale in a room of some width, mm."""
    return DrawingPage(
        title=_title(view),
        facts=_facts(view, scale, units),
        picture=dimensioned_drawing(view, units, width, _TALLEST, grow, scale, section),
        scale=scale_words(scale),
        ratio=scale,
        rows=tuple(_row(feature, units) for feature in view.features),
    )


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
