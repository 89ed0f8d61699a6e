"""SVG files to a drawing in mm, y upwards: shapes by the ids and labels of their groups and of themselves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kitforge.drawings.limits import Budget, ReadingLimits, collector_paused, finite, within_reach
from kitforge.drawings.svg_found import FoundInTree, FoundShape, finished, nothing, turn_over
from kitforge.drawings.svg_paint import Paint
from kitforge.drawings.svg_path import Subpath
from kitforge.drawings.svg_shapes import SHAPES, Viewport
from kitforge.drawings.svg_style import Styles
from kitforge.drawings.svg_tree import SvgElement, is_svg, parse_svg
from kitforge.drawings.svg_values import parse_length, parse_transform
from kitforge.drawings.svg_view import Page, fitted, page_of, view_box_of
from kitforge.geometry.affine import Affine, translation
from kitforge.model.drawing import (
    Drawing,
    DrawingError,
    DrawingProblem,
    MisfitError,
    Origin,
    ProblemKind,
    reason_of,
    shown,
)
from kitforge.model.identity import IdentityKey
from kitforge.model.messages import Message, msg
from kitforge.model.path import Path

__all__ = ["is_svg", "read_svg"]

_GROUPS = ("g", "a", "svg", "switch")
_NOT_LINES = ("text", "image", "foreignObject", "script", "video", "audio", "canvas", "iframe")
_SAME = 1e-9


@dataclass(slots=True)
class _State:
    """What a place in the tree passes on: user units to mm, viewport in user units, visibility, uses so far, group."""

    matrix: Affine
    view: Viewport
    visible: bool
    uses: tuple[str, ...]
    group: int
    paint: Paint = field(default_factory=Paint)


def read_svg(
    data: bytes, unit: str | None = None, *, join: float = 0.0, check: bool = True, limits: ReadingLimits | None = None
) -> Drawing:
    """Return the shapes of an SVG file in mm, y upwards from the bottom of the page.

    Each id and each label (an attribute named `label`, or `name`) of a group or element is a layer. unit: what the
    author says one user unit of the root is ('mm', 'in', ...); it counts before the sizes in the file. join: gaps up
    to so many mm are closed. check: look for doubled lines, overlaps and shapes that cross themselves. Raises
    DrawingError, with the line, for a file that cannot be read whole; ValueError for a unit that is not known.
    """
    with collector_paused():
        return _read(data, unit, join, check, limits or ReadingLimits())


def _read(data: bytes, unit: str | None, join: float, check: bool, limits: ReadingLimits) -> Drawing:
    root = parse_svg(data, limits)
    page = page_of(root, unit)
    found = _Walk(root, Budget(limits)).run(page)
    if not found.drawn:
        raise nothing(found)
    turn_over(found, page)
    return finished(found, page, join, check)


class _Walk:
    """Walks the tree as a renderer would, and gathers shapes."""

    def __init__(self, root: SvgElement, budget: Budget) -> None:
        self.root = root
        self.budget = budget
        self.styles = Styles(root)
        self.found = FoundInTree()
        self._shown: dict[tuple[IdentityKey[SvgElement], Viewport], list[Subpath]] = {}
        self.by_id = {node.key: node for node in reversed(_all_nodes(root)) if node.key}
        for said in dict.fromkeys(self.styles.unread):
            self._note(ProblemKind.UNRESOLVED, said)

    def run(self, page: Page) -> FoundInTree:
        state = _State(page.matrix, page.view, visible=True, uses=(), group=0)
        self._enter(self.root, state, lambda inner: self._children(self.root, inner))
        return self.found

    def _note(self, kind: ProblemKind, said: Message, node: SvgElement | None = None) -> None:
        entity, line = (node.key or None, node.line) if node is not None else (None, 0)
        self.found.problems.setdefault(said, DrawingProblem(kind, said, entity=entity, line=line))

    def _visit(self, node: SvgElement, state: _State) -> None:
        self.budget.take_entities()
        if node.tag in SHAPES:
            self._enter(node, state, lambda inner: self._shape(node, inner))
        elif node.tag == "svg":
            self._enter(node, state, lambda inner: self._nested(node, inner))
        elif node.tag in _GROUPS:
            self._enter(node, state, lambda inner: self._children(node, inner))
        elif node.tag == "use":
            self._enter(node, state, lambda inner: self._use(node, inner))
        elif node.tag in _NOT_LINES and self._is_shown(node, state):
            self.found.skipped[node.tag] += 1

    def _is_shown(self, node: SvgElement, state: _State) -> bool:
        style = self.styles.of(node)
        return style.get("display") != "none" and _visible(style, state.visible)

    def _enter(self, node: SvgElement, state: _State, inside: Callable[[_State], None]) -> None:
        """Apply an element's style, transformation and names, then go inside."""
        style = self.styles.of(node)
        if style.get("display") == "none":
            self.found.hidden += 1
            return
        self._report_unfollowed(node, style)
        inner = _State(
            state.matrix @ self._own_transform(node),
            state.view,
            _visible(style, state.visible),
            state.uses,
            state.group,
            state.paint.within(style) if style else state.paint,
        )
        if node.names and node.tag not in SHAPES:
            self.found.groups.append(node.names[-1])
            inner.group = len(self.found.groups) - 1
        first = len(self.found.drawn)
        inside(inner)
        if len(self.found.drawn) > first:
            for name in node.names:
                self.found.ranges.setdefault(name, []).append((first, len(self.found.drawn)))

    def _own_transform(self, node: SvgElement) -> Affine:
        text = node.attributes.get("transform", "")
        if not text.strip() or text.strip() == "none":
            return Affine()
        try:
            return parse_transform(text)
        except ValueError as error:
            raise node.fault(reason_of(error)) from error

    def _report_unfollowed(self, node: SvgElement, style: Mapping[str, str]) -> None:
        for kind in ("clip-path", "mask"):
            if style.get(kind, "none") != "none":
                said = msg("{element} is cut off by a {kind}; it was read whole.", element=node.label, kind=kind)
                self._note(ProblemKind.CLIPPED, said, node)
        if style.get("transform", "none") != "none":
            said = msg(
                "{element} is moved by a style, which was not followed; use the transform attribute.",
                element=node.label,
            )
            self._note(ProblemKind.UNRESOLVED, said, node)

    def _children(self, node: SvgElement, state: _State) -> None:
        if node.tag != "switch":
            for child in node.children:
                self._visit(child, state)
            return
        drawable = [child for child in node.children if child.tag in SHAPES or child.tag in (*_GROUPS, "use")]
        for child in drawable[:1]:
            self._visit(child, state)

    def _length(self, node: SvgElement, name: str, whole: float, default: float) -> float:
        text = node.attributes.get(name, "auto").strip()
        if text == "auto":
            return default
        try:
            return parse_length(text).px(whole)
        except ValueError as error:
            raise node.fault(msg("{name}: {reason}", name=name, reason=reason_of(error))) from error

    def _nested(self, node: SvgElement, state: _State, size: tuple[float, float] | None = None) -> None:
        """Draw an inner svg (or a symbol, whose size comes from its use) in a viewport of its own."""
        wide, tall = state.view
        shift = Affine()
        if node.tag == "svg":
            shift = translation(self._length(node, "x", wide, 0.0), self._length(node, "y", tall, 0.0))
        if size is None:
            size = (self._length(node, "width", wide, wide), self._length(node, "height", tall, tall))
        if size[0] < 0 or size[1] < 0:
            raise node.fault(msg("its width and height must not be negative"))
        if size[0] == 0 or size[1] == 0:
            return
        box = view_box_of(node)
        inner = _State(state.matrix @ shift, size, state.visible, state.uses, state.group, state.paint)
        if box is not None:
            inner.matrix = inner.matrix @ fitted(node, box, *size)
            inner.view = (box.width, box.height)
        self._children(node, inner)

    def _use(self, node: SvgElement, state: _State) -> None:
        href = node.attributes.get("href", "").strip()
        target = self.by_id.get(href[1:]) if href.startswith("#") else None
        if target is None:
            said = msg("{element} shows '{href}', which is not in the file.", element=node.label, href=shown(href))
            self._note(ProblemKind.UNRESOLVED, said, node)
            return
        if target.key in state.uses or _is_inside(node, target):
            raise node.fault(msg("'{name}' shows itself", name=shown(target.key)))
        if len(state.uses) >= self.budget.limits.depth:
            raise node.fault(msg("uses are nested more than {most} deep", most=self.budget.limits.depth))
        wide, tall = state.view
        shift = translation(self._length(node, "x", wide, 0.0), self._length(node, "y", tall, 0.0))
        uses = (*state.uses, target.key)
        inner = _State(state.matrix @ shift, state.view, state.visible, uses, state.group, state.paint)
        if target.tag not in ("symbol", "svg"):
            self._visit(target, inner)
            return
        whole = target if target.tag == "svg" else None
        size = (
            self._length(node, "width", wide, self._length(whole, "width", wide, wide) if whole else wide),
            self._length(node, "height", tall, self._length(whole, "height", tall, tall) if whole else tall),
        )
        self._enter(target, inner, lambda state: self._nested(target, state, size))

    def _shape(self, node: SvgElement, state: _State) -> None:
        self.budget.take_text(len(node.attributes.get("d", "")) + len(node.attributes.get("points", "")))
        subpaths = self._subpaths(node, state)
        if not state.visible:
            self.found.hidden += bool(subpaths)
            return
        if not state.paint.shows:
            self.found.unpainted += [node.line] * bool(subpaths)
            return
        for subpath in subpaths:
            if not subpath.segments:
                continue
            self.budget.take_pieces(len(subpath.segments))
            self.budget.take_fitted(subpath.curves(state.matrix))
            try:
                self._add(node, subpath, state)
            except DrawingError as error:
                raise DrawingError(error.message, line=node.line, entity=node.key, advice=error.advice) from error
            except ValueError as error:
                raise node.fault(reason_of(error)) from error

    def _subpaths(self, node: SvgElement, state: _State) -> list[Subpath]:
        """Return the lines of an element; of one that is shown by a use they are kept, because many may show it."""
        if not state.uses:
            return SHAPES[node.tag](node, state.view)
        key = IdentityKey(node), state.view
        if key not in self._shown:
            self._shown[key] = SHAPES[node.tag](node, state.view)
        return self._shown[key]

    def _grown(self, arcs: int) -> None:
        """Count the arcs of a curve beyond the one that was counted for it; more than one further is a fitted curve."""
        self.budget.take_pieces(arcs)
        self.budget.take_fitted(arcs if arcs > 1 else 0)

    def _add(self, node: SvgElement, subpath: Subpath, state: _State) -> None:
        matrix = state.matrix
        finite(*matrix)
        if matrix.determinant == 0:
            raise MisfitError(msg("its transformation flattens it to nothing"))
        path = _tidied(subpath.to_path(matrix, grown=self._grown))
        within_reach(*(value for vertex in path.vertices for value in vertex))
        if len(path.vertices) > 1:
            self.found.drawn.append(FoundShape(path, None, state.group, Origin(node.key, node.line)))
        elif node.tag == "path":
            self.found.drawn.append(FoundShape(None, path.start, state.group, Origin(node.key, node.line)))
        else:
            said = msg("{element} has no length; it was left out.", element=node.label)
            self._note(ProblemKind.ZERO_LENGTH, said, node)


def _visible(style: Mapping[str, str], inherited: bool) -> bool:
    value = style.get("visibility", "inherit")
    return inherited if value == "inherit" else value == "visible"


def _is_inside(node: SvgElement, other: SvgElement) -> bool:
    above: SvgElement | None = node
    while above is not None:
        if above is other:
            return True
        above = above.parent
    return False


def _all_nodes(root: SvgElement) -> list[SvgElement]:
    nodes, stack = [], [root]
    while stack:
        node = stack.pop()
        nodes.append(node)
        stack.extend(reversed(node.children))
    return nodes


def _tidied(path: Path) -> Path:
    """Return the path without pieces of no length; a single vertex if nothing is left."""
    kept = [v for v, piece in zip(path.vertices, path.pieces(), strict=False) if piece.chord > _SAME]
    if not path.closed:
        kept.append(path.vertices[-1])
    if len(kept) == len(path.vertices):
        return path
    return Path(tuple(kept) or path.vertices[:1], path.closed and len(kept) > 1)
