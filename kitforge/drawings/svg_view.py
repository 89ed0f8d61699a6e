"""Where an SVG's user units lie in mm: the root's size, its view box, and what the author says about the unit."""

from __future__ import annotations

from dataclasses import dataclass

from kitforge.drawings.svg_tree import SvgElement
from kitforge.drawings.svg_values import MM_PER_PX, Length, ViewBox, fit_view_box, parse_length, parse_view_box
from kitforge.drawings.unit import unit_size
from kitforge.geometry.affine import Affine, scaling
from kitforge.model.drawing import DrawingProblem, ProblemKind, reason_of
from kitforge.model.messages import msg

_PIXELS = ("", "px")


@dataclass(frozen=True, slots=True)
class Page:
    """The root's viewport. matrix: user units to mm, y still downwards; height in mm, None if nobody states it."""

    matrix: Affine
    view: tuple[float, float]
    height: float | None
    unit: str
    problems: tuple[DrawingProblem, ...]

    @property
    def size(self) -> tuple[float, float] | None:
        """Width and height in mm, None where nobody states them."""
        if self.height is None:
            return None
        return abs(self.matrix.a) * self.view[0], self.height


def page_of(root: SvgElement, unit: str | None) -> Page:
    """Return the page of an SVG. Raises DrawingError for sizes and view boxes that make no sense."""
    width, height, box = _stated(root, "width"), _stated(root, "height"), view_box_of(root)
    if unit is not None:
        return _page_by_word(unit, width, height, box)
    problems = _doubts(width, height)
    if box is None:
        size = tuple(length.px(0.0) if length else 0.0 for length in (width, height))
        tall = size[1] * MM_PER_PX if height else None
        return Page(scaling(MM_PER_PX), (size[0] or 100.0, size[1] or 100.0), tall, "px", problems)
    wide_mm, tall_mm = _physical(width, height, box)
    matrix = fitted(root, box, wide_mm, tall_mm)
    return Page(matrix, (box.width, box.height), tall_mm, _unit_name(width, height), problems)


def view_box_of(node: SvgElement) -> ViewBox | None:
    """Return an element's view box, or None if it has none."""
    text = node.attributes.get("viewBox")
    try:
        return parse_view_box(text) if text is not None else None
    except ValueError as error:
        raise node.fault(reason_of(error)) from error


def fitted(node: SvgElement, box: ViewBox, width: float, height: float) -> Affine:
    """Return the transformation from an element's view box to its viewport."""
    try:
        return fit_view_box(box, width, height, node.attributes.get("preserveAspectRatio", ""))
    except ValueError as error:
        raise node.fault(reason_of(error)) from error


def _stated(root: SvgElement, name: str) -> Length | None:
    """Return the root's width or height; a share of the window states nothing."""
    text = root.attributes.get(name, "auto").strip()
    if text == "auto":
        return None
    try:
        length = parse_length(text)
    except ValueError as error:
        raise root.fault(msg("{name}: {reason}", name=name, reason=reason_of(error))) from error
    if length.unit == "%":
        return None
    if length.value <= 0:
        raise root.fault(msg("{name} must be above 0", name=name))
    return length


def _page_by_word(unit: str, width: Length | None, height: Length | None, box: ViewBox | None) -> Page:
    """Return the page of a drawing whose author says what one user unit is; sizes in the file then do not count."""
    size = unit_size(unit)
    if box is not None:
        return Page(Affine(size, 0.0, 0.0, size, -box.x * size, -box.y * size), box[2:], box.height * size, unit, ())
    sides = tuple(length.px(0.0) if length else 0.0 for length in (width, height))
    return Page(scaling(size), (sides[0] or 100.0, sides[1] or 100.0), sides[1] * size if height else None, unit, ())


def _physical(width: Length | None, height: Length | None, box: ViewBox) -> tuple[float, float]:
    """Return the size of the viewport in mm; a side that is not stated follows from the other and the view box."""
    wide = width.px(0.0) * MM_PER_PX if width else None
    tall = height.px(0.0) * MM_PER_PX if height else None
    if wide is None and tall is None:
        return box.width * MM_PER_PX, box.height * MM_PER_PX
    if wide is None:
        wide = (tall or 0.0) * box.width / box.height
    return wide, tall if tall is not None else wide * box.height / box.width


def _unit_name(width: Length | None, height: Length | None) -> str:
    length = width or height
    return (length.unit or "px") if length else "px"


def _doubts(width: Length | None, height: Length | None) -> tuple[DrawingProblem, ...]:
    given = [length for length in (width, height) if length]
    if any(length.unit not in _PIXELS for length in given):
        return ()
    if given:
        text = msg(
            "The drawing's size is given in pixels and was read at 96 pixels per inch; a width and height in mm would "
            "leave no doubt."
        )
        return (DrawingProblem(ProblemKind.UNIT_DOUBTFUL, text),)
    text = msg("The drawing does not state its size; 1 unit was taken as 1 pixel of 1/96 inch.")
    return (DrawingProblem(ProblemKind.UNIT_MISSING, text),)
