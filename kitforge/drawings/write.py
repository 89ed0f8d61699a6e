"""Paths written as DXF (R2000, mm) and SVG (mm), the same bytes for the same paths.

DXF: closed and open chains as LWPOLYLINE with bulges, full circles as CIRCLE, drill points as POINT, one layer per name
(DXF reference; R2000 because it has units and light polylines and predates UTF-8 files). SVG: physical size and a view
box with 1 unit = 1 mm, one group per layer, arcs as A, circles as circle elements.
"""

from __future__ import annotations

import io
import math
import re
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from kitforge.model.path import Path, is_circle
from kitforge.model.piece import Bounds, Piece
from kitforge.model.units import plain_number

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

Point = tuple[float, float]

DXF_COLOURS = (5, 1, 3, 6, 4, 30, 8)
"""Colour numbers of DXF layers in turn: blue, red, green, magenta, cyan, orange, grey."""

SVG_COLOURS = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#000000")
"""Line colours in turn; told apart with most kinds of colour vision (Okabe and Ito, Color Universal Design, 2008)."""

PLACES = 9
"""Decimals of written coordinates in mm."""

_MM_UNITS = 4
_MAX_NAME = 31
_MAX_TEXT = 255
_FLAT = 1e-7
_LONGEST_ARC = math.radians(150)
_fixed_meta_data = threading.Lock()


def bounds_of(paths: Iterable[Path], points: Iterable[Point] = ()) -> Bounds:
    """Return the box around paths and points in mm; an empty box at the origin if there are none."""
    boxes = [path.bounds for path in paths] + [Bounds(x, y, x, y) for x, y in points]
    if not boxes:
        return Bounds(0.0, 0.0, 0.0, 0.0)
    return Bounds.around(boxes)


def layer_names(names: Iterable[str]) -> dict[str, str]:
    """Return a DXF layer name for each name: capital letters, digits, '_' and '-', at most 31, no two alike."""
    taken: dict[str, str] = {}
    for name in names:
        plain = re.sub(r"[^A-Z0-9_-]+", "_", name.upper()).strip("_")[:_MAX_NAME] or "LAYER"
        taken[name] = _unlike(plain, set(taken.values()), "_", _MAX_NAME)
    return taken


def _unlike(name: str, taken: set[str], separator: str, longest: int) -> str:
    candidate, number = name, 2
    while candidate in taken:
        ending = f"{separator}{number}"
        candidate, number = name[: longest - len(ending)] + ending, number + 1
    return candidate


def dxf_bytes(
    layers: Mapping[str, Sequence[Path]],
    *,
    points: Mapping[str, Sequence[Point]] | None = None,
    colours: Mapping[str, int] | None = None,
    notes: Mapping[str, object] | None = None,
) -> bytes:
    """Return a DXF file with the paths of each layer in mm, and drill points as POINT. Layers are written in order.

    A note becomes the description of its layer. Raises ValueError for coordinates that are not finite.
    """

    points, colours = points or {}, colours or {}
    _refuse_infinite(layers, points)
    with _without_dates():
        document = _filled_document(layers, points, colours, notes or {})
        stream = io.StringIO(newline="\r\n")
        document.write(stream)
    return stream.getvalue().encode("ascii")


def _filled_document(
    layers: Mapping[str, Sequence[Path]],
    points: Mapping[str, Sequence[Point]],
    colours: Mapping[str, int],
    notes: Mapping[str, object],
) -> DxfDocument:
    document = _new_document()
    for index, (name, plain) in enumerate(layer_names(dict.fromkeys([*layers, *points])).items()):
        if plain in document.layers:  # the layer 0 is in every file
            document.layers.remove(plain)
        layer = document.layers.add(plain, color=colours.get(name, DXF_COLOURS[index % len(DXF_COLOURS)]))
        if name in notes:
            layer.description = _escaped(str(notes[name]))[:_MAX_TEXT]
        for path in layers.get(name, ()):
            _add_path(document, path, plain)
        for x, y in points.get(name, ()):
            document.modelspace().add_point(_rounded(x, y), dxfattribs={"layer": plain})
    _set_view(
        document, bounds_of((p for paths in layers.values() for p in paths), (p for ps in points.values() for p in ps))
    )
    return document


def _escaped(text: str) -> str:
    """Return a text in ASCII; other signs are written as the format has it for every code page: \\U+XXXX."""
    return "".join(sign if sign.isascii() else f"\\U+{ord(sign):04X}" for sign in text)


def _refuse_infinite(layers: Mapping[str, Sequence[Path]], points: Mapping[str, Sequence[Point]]) -> None:
    for paths in layers.values():
        for path in paths:
            if not all(math.isfinite(value) for vertex in path.vertices for value in vertex):
                raise ValueError("a path has a coordinate that is not a finite number")
    for places in points.values():
        if not all(math.isfinite(value) for place in places for value in place):
            raise ValueError("a point has a coordinate that is not a finite number")


def _new_document() -> DxfDocument:
    from ezdxf.filemanagement import new

    document = new("R2000", setup=False, units=_MM_UNITS)
    document.header["$MEASUREMENT"] = 1
    return document


def _rounded(*values: float) -> tuple[float, ...]:
    return tuple(round(value, PLACES) + 0.0 for value in values)


def _add_path(document: DxfDocument, path: Path, layer: str) -> None:
    space = document.modelspace()
    attributes = {"layer": layer}
    if round_path := is_circle(path):
        x, y, radius = _rounded(*round_path)
        space.add_circle((x, y), radius, dxfattribs=attributes)
        return
    rows = [_rounded(*vertex) for vertex in path.vertices]
    space.add_lwpolyline(rows, format="xyb", close=path.closed, dxfattribs=attributes)


def _set_view(document: DxfDocument, box: Bounds) -> None:
    # the library writes the header's $EXTMIN and $EXTMAX from these
    document.modelspace().reset_extents((*_rounded(box.left, box.bottom), 0.0), (*_rounded(box.right, box.top), 0.0))
    document.set_modelspace_vport(round(max(box.width, box.height, 1.0) * 1.1, 3), _rounded(*box.centre))


@contextmanager
def _without_dates() -> Iterator[None]:
    """Keep dates, random identifiers and library marks out of a DXF file; the switch is global, so one at a time."""
    from ezdxf._options import options

    with _fixed_meta_data:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before


def svg_path_data(path: Path, flip_height: float = 0.0, *, left: float = 0.0, places: int = PLACES) -> str:
    """Return the path as the `d` attribute of an SVG path, x less `left` and y turned over: flip_height - y.

    Arcs beyond 150° are divided, because near a half turn the radius alone does not fix the centre well.
    """

    def at(x: float, y: float) -> str:
        return f"{plain_number(x - left, places)} {plain_number(flip_height - y, places)}"

    words = ["M" + at(*path.start)]
    pieces = path.pieces()
    for index, piece in enumerate(pieces):
        closing = path.closed and index == len(pieces) - 1
        if abs(piece.bulge) * piece.chord / 2 < _FLAT:
            words += [] if closing else ["L" + at(piece.x1, piece.y1)]
            continue
        for part in _short_arcs(piece):
            radius = plain_number(part.radius, places)
            words.append(f"A{radius} {radius} 0 0 {int(part.bulge < 0)} {at(part.x1, part.y1)}")
    return "".join(words) + ("Z" if path.closed else "")


def _short_arcs(piece: Piece) -> list[Piece]:
    if piece.chord == 0:
        return []
    count = math.ceil(abs(piece.sweep) / _LONGEST_ARC)
    if count == 1:
        return [piece]
    parts = [piece.part(k / count, (k + 1) / count) for k in range(count)]
    return [*parts[:-1], parts[-1]._replace(x1=piece.x1, y1=piece.y1)]


def svg_bytes(
    layers: Mapping[str, Sequence[Path]],
    *,
    points: Mapping[str, Sequence[Point]] | None = None,
    page: Bounds | None = None,
    title: str = "",
    colours: Mapping[str, str] | None = None,
    line_width: float = 0.1,
    notes: Mapping[str, object] | None = None,
) -> bytes:
    """Return an SVG file in which 1 unit is 1 mm, with one titled group per layer, in order, and its note.

    `page` is the box in mm that the file shows (that of all shapes unless given); its lower left corner becomes the
    file's. Raises ValueError for coordinates that are not finite.
    """
    from xml.sax.saxutils import escape, quoteattr  # loads half of the standard library's network code

    points, colours = points or {}, colours or {}
    _refuse_infinite(layers, points)
    page = page or bounds_of((p for paths in layers.values() for p in paths), (p for ps in points.values() for p in ps))
    width, height = plain_number(page.width, PLACES), plain_number(page.height, PLACES)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" fill="none" stroke-width="{plain_number(line_width, 4)}" '
        'stroke-linecap="round" stroke-linejoin="round">',
    ]
    if title:
        lines.append(f"<title>{escape(title)}</title>")
    for index, (name, key) in enumerate(group_ids(dict.fromkeys([*layers, *points])).items()):
        colour = colours.get(name, SVG_COLOURS[index % len(SVG_COLOURS)])
        lines += [f'<g id="{key}" stroke={quoteattr(colour)}>', f"<title>{escape(name)}</title>"]
        if notes and name in notes:
            lines.append(f"<desc>{escape(str(notes[name]))}</desc>")
        lines += [_svg_shape(path, page) for path in layers.get(name, ())]
        lines += [_svg_point(x, y, page) for x, y in points.get(name, ())]
        lines.append("</g>")
    return "\n".join([*lines, "</svg>", ""]).encode("utf-8")


def group_ids(names: Iterable[str]) -> dict[str, str]:
    """Return an id for each name: small letters, digits and '-', beginning with a letter, no two alike."""
    taken: dict[str, str] = {}
    for name in names:
        plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "layer"
        plain = plain if plain[0].isalpha() else f"layer-{plain}"
        taken[name] = _unlike(plain, set(taken.values()), "-", 80)
    return taken


def _svg_shape(path: Path, page: Bounds) -> str:
    if round_path := is_circle(path):
        x, y, radius = round_path
        cx, cy = plain_number(x - page.left, PLACES), plain_number(page.top - y, PLACES)
        return f'<circle cx="{cx}" cy="{cy}" r="{plain_number(radius, PLACES)}"/>'
    return f'<path d="{svg_path_data(path, page.top, left=page.left)}"/>'


def _svg_point(x: float, y: float, page: Bounds) -> str:
    return f'<path d="M{plain_number(x - page.left, PLACES)} {plain_number(page.top - y, PLACES)}h0"/>'
