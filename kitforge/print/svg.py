"""The ground of every picture: a canvas in mm of paper and a view that puts drawing coordinates on it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from kitforge.print.raster import DRAWN

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from kitforge.model.path import Path

INK = "#1a1a1a"
GREY = "#5c5c5c"
PALE = "#d6d6d4"
PAPER = "#ffffff"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
CUT_TINT = "#f7d9c2"
WIDE, NARROW = 0.5, 0.25
TEXT = 3.0
_MOST_HATCHES = 4000
_FAMILY = "Source Sans Pro"


@dataclass(frozen=True, slots=True)
class Picture:
    """A finished picture: SVG, what it shows in words, and its size on paper in mm."""

    svg: str
    alt: str
    width: float
    height: float

    @property
    def src(self) -> str:
        """The address under which a template shows it; depends on the content alone."""
        return f"{DRAWN}{hashlib.sha256(self.svg.encode('utf-8')).hexdigest()[:20]}.svg"


@dataclass(frozen=True, slots=True)
class PlanView:
    """Where drawing coordinates (mm, y upwards) land on the canvas: x * scale + left, bottom - y * scale."""

    scale: float
    left: float
    bottom: float

    def x(self, value: float) -> float:
        """Canvas x of a drawing x."""
        return self.left + value * self.scale

    def y(self, value: float) -> float:
        """Canvas y of a drawing y."""
        return self.bottom - value * self.scale


def fitted(bounds: Sequence[float], box: Sequence[float], largest: float = 1.0) -> PlanView:
    """Return the view that centres `bounds` (left, bottom, right, top) in `box` (x, y, width, height)."""
    left, bottom, right, top = bounds
    x, y, width, height = box
    scale = min(width / max(right - left, 1e-9), height / max(top - bottom, 1e-9), largest)
    return PlanView(
        scale,
        x + (width - (right - left) * scale) / 2 - left * scale,
        y + height - (height - (top - bottom) * scale) / 2 + bottom * scale,
    )


@dataclass(slots=True)
class SvgCanvas:
    """Collects SVG elements in the order they are drawn."""

    width: float
    height: float
    parts: list[str] = field(default_factory=list)

    def path(
        self,
        data: str,
        *,
        fill: str = "none",
        stroke: str = "none",
        width: float = NARROW,
        dash: str = "",
        opacity: float = 1.0,
        cap: str = "butt",
    ) -> None:
        """Add a path; an empty one is left out."""
        if not data:
            return
        line = f' stroke="{stroke}" stroke-width="{num(width)}" stroke-linejoin="round"' if stroke != "none" else ""
        line += f' stroke-linecap="{cap}"' if cap != "butt" and line else ""
        line += f' stroke-dasharray="{dash}"' if dash and line else ""
        line += f' opacity="{num(opacity)}"' if opacity < 1 else ""
        self.parts.append(f'<path d="{data}" fill="{fill}" fill-rule="evenodd"{line}/>')

    def line(
        self, x0: float, y0: float, x1: float, y1: float, *, stroke: str = INK, width: float = NARROW, dash: str = ""
    ) -> None:
        """Add a straight line."""
        self.path(f"M{num(x0)} {num(y0)}L{num(x1)} {num(y1)}", stroke=stroke, width=width, dash=dash)

    def box(self, x: float, y: float, width: float, height: float, *, fill: str = "none", stroke: str = "none") -> None:
        """Add a rectangle."""
        self.path(f"M{num(x)} {num(y)}h{num(width)}v{num(height)}h{num(-width)}z", fill=fill, stroke=stroke)

    def disc(
        self, x: float, y: float, radius: float, *, fill: str = "none", stroke: str = "none", dash: str = ""
    ) -> None:
        """Add a circle."""
        self.path(circle_data(x, y, radius), fill=fill, stroke=stroke, dash=dash)

    def image(self, x: float, y: float, width: float, height: float, src: str) -> None:
        """Add a picture of dots that stands in the same document, by its address."""
        where = f'x="{num(x)}" y="{num(y)}" width="{num(width)}" height="{num(height)}"'
        self.parts.append(f"<image {where} href={quoteattr('/' + src)}/>")

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = TEXT,
        anchor: str = "start",
        fill: str = INK,
        bold: bool = False,
        turn: float = 0.0,
        halo: bool = False,
    ) -> None:
        """Add a line of text with its baseline at (x, y); turn is clockwise degrees about that point."""
        where = f'x="{num(x)}" y="{num(y)}" font-size="{num(size)}"'
        style = f' text-anchor="{anchor}"' if anchor != "start" else ""
        style += ' font-weight="600"' if bold else ""
        style += f' transform="rotate({num(turn)} {num(x)} {num(y)})"' if turn else ""
        if halo:
            outline = f' fill="{PAPER}" stroke="{PAPER}" stroke-width="{num(size * 0.28)}" stroke-linejoin="round"'
            self.parts.append(f"<text {where}{style}{outline}>{escape(words)}</text>")
        self.parts.append(f'<text {where}{style} fill="{fill}">{escape(words)}</text>')

    def finish(self, alt: str) -> Picture:
        """Return the picture. Its words for people who cannot see it are also its title."""
        root = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{num(self.width)}mm" height="{num(self.height)}mm" '
            f'viewBox="0 0 {num(self.width)} {num(self.height)}" font-family={quoteattr(_FAMILY)} role="img">'
        )
        body = "\n".join(self.parts)
        return Picture(f"{root}\n<title>{escape(alt)}</title>\n{body}\n</svg>\n", alt, self.width, self.height)


def num(value: float) -> str:
    """Return a coordinate with three decimals at most, never '-0'."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def circle_data(x: float, y: float, radius: float) -> str:
    """Return path data of a full circle, as two half circles."""
    r, d = num(radius), num(2 * radius)
    return f"M{num(x - radius)} {num(y)}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0z"


def path_data(paths: Iterable[Path], view: PlanView) -> str:
    """Return path data of lines and true arcs, y turned downwards."""
    from kitforge.drawings.write import svg_path_data
    from kitforge.geometry.transform import scaled

    shown = (scaled(path, view.scale) for path in paths if path.vertices)
    return "".join(svg_path_data(path, view.bottom, left=-view.left, places=3) for path in shown)


def area_data(shape: BaseGeometry | None, view: PlanView) -> str:
    """Return path data of the rings of areas and the run of lines in any geometry, thinned to what print shows."""
    if shape is None or shape.is_empty:
        return ""
    return "".join(_run(points, view, closed=closed) for points, closed in _runs(shape.simplify(0.02 / view.scale)))


def _runs(shape: BaseGeometry) -> Iterator[tuple[Sequence[tuple[float, ...]], bool]]:
    from shapely import GeometryCollection, LineString, Polygon
    from shapely.geometry.base import BaseMultipartGeometry

    if isinstance(shape, Polygon):
        for ring in (shape.exterior, *shape.interiors):
            yield list(ring.coords)[:-1], True
    elif isinstance(shape, LineString):
        yield list(shape.coords), False
    elif isinstance(shape, BaseMultipartGeometry | GeometryCollection):
        for part in shape.geoms:
            yield from _runs(part)


def _run(points: Sequence[tuple[float, ...]], view: PlanView, *, closed: bool) -> str:
    spots = [f"{num(view.x(point[0]))} {num(view.y(point[1]))}" for point in points]
    return "M" + "L".join(spots) + ("Z" if closed else "") if len(spots) > 1 else ""


def hatching(shape: BaseGeometry | None, gap: float) -> BaseGeometry | None:
    """Return 45 degree hatch lines inside a shape, `gap` mm apart in the shape's own coordinates."""
    from shapely import MultiLineString

    if shape is None or shape.is_empty:
        return None
    left, bottom, right, top = shape.bounds
    height, step = top - bottom, gap * 2**0.5
    count = min(_MOST_HATCHES, int((right - left + height) / step) + 2)
    starts = (left - height + index * step for index in range(count))
    return MultiLineString([((x, bottom), (x + height, top)) for x in starts]).intersection(shape)
