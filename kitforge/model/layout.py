"""Where copies of parts lie on pieces of stock: shifted, and turned by quarters about the origin of their drawing.

Lengths mm, angles degrees, both in the coordinates of the sheet, whose origin is its lower left corner on the table.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.model.path import Path, Vertex
from kitforge.model.piece import Bounds
from kitforge.model.record import record

if TYPE_CHECKING:
    from typing import TypeVar

    from shapely.geometry.base import BaseGeometry

    Shape = TypeVar("Shape", bound=BaseGeometry)

LAYOUT_FILE = "layout.lock"


def layout_file(size: str = "") -> str:
    """Return the name of the file that keeps the layout of a kit, or of one of its sizes: `layout-tall.lock`."""
    return f"layout-{size}.lock" if size else LAYOUT_FILE


TURNS = (0, 90, 180, 270)
_AXES = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}


@record
class Placement:
    """One copy of a part on a sheet: where the origin of the part's coordinates lies in the sheet's, mm.

    turn: by how much the part is turned counter-clockwise about that origin: 0, 90, 180 or 270 degrees.
    """

    part: str
    copy: int
    x: float
    y: float
    turn: int = 0

    def spot(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point of the part lies on the sheet."""
        if not self.turn:
            return x + self.x, y + self.y
        cos, sin = _AXES[self.turn]
        return cos * x - sin * y + self.x, sin * x + cos * y + self.y

    def back(self, x: float, y: float) -> tuple[float, float]:
        """Return which point of the part lies at a point of the sheet."""
        cos, sin = _AXES[self.turn]
        dx, dy = x - self.x, y - self.y
        return (dx, dy) if not self.turn else (cos * dx + sin * dy, cos * dy - sin * dx)

    def box(self, box: Bounds) -> Bounds:
        """Return the box on the sheet of what has a box in the part."""
        (x, y), (u, v) = self.spot(box.left, box.bottom), self.spot(box.right, box.top)
        return Bounds(min(x, u), min(y, v), max(x, u), max(y, v))

    def path(self, path: Path) -> Path:
        """Return a path of the part as it lies on the sheet; arcs stay arcs."""
        return Path(tuple(Vertex(*self.spot(v.x, v.y), v.bulge) for v in path.vertices), path.closed)

    def shape(self, shape: Shape) -> Shape:
        """Return an area or line of the part as it lies on the sheet."""
        from shapely import affinity

        if not self.turn:
            moved: Shape = affinity.translate(shape, self.x, self.y)
            return moved
        cos, sin = _AXES[self.turn]
        turned: Shape = affinity.affine_transform(shape, [cos, -sin, sin, cos, self.x, self.y])
        return turned


@record
class LaidSheet:
    """One piece of stock with the copies that lie on it. stock: its key; number: from 1 for each stock."""

    stock: str
    number: int
    placements: tuple[Placement, ...]
