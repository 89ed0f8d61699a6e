"""How solid wood is sold, glued up and flattened, and how long work by hand takes: `data/handwork.yaml` as records.

Lengths mm, times in minutes or hours as the names say. Every figure is a `Fact` or a `Span` with its source.
"""

from __future__ import annotations

from functools import cache

from kitforge.model.record import record
from kitforge.model.units import MM_PER_INCH
from kitforge.model.workshop import Fact, MaterialKind, Span
from kitforge.workshop.tables import TableRow, table


@record
class Quarter:
    """A thickness as boards are sold: its name ('5/4'), rough and surfaced on two sides, mm."""

    name: str
    rough: float
    surfaced: Fact


@record
class SurfacingCutter:
    """The cutter to buy where a kit has none that is wide enough; fields as in `kitforge.model.kit.Cutter`."""

    name: str
    diameter: float
    cutting_length: float
    shank: float
    overall_length: float
    flutes: int
    max_speed: float


@record
class Handwork:
    """All figures of the table; what each means stands beside it there."""

    widest: dict[MaterialKind, Fact]
    quarters: tuple[Quarter, ...]
    glue_up: dict[str, Fact]
    flattening: dict[str, Fact]
    surfacing_cutter: SurfacingCutter
    minutes: dict[str, Span]
    hours: dict[str, Span]

    def sold(self, thickness: float, *, surfaced: bool, nominal: float | None = None) -> Quarter:
        """Return the thinnest boards that give a thickness, mm; the thickest there are where none does.

        surfaced: bought planed on both sides; else rough, and planed or flattened in the shop. nominal: what the kit
        says it is sold as; a rough thickness is taken at its word.
        """
        named = (one for one in self.quarters if nominal is not None and abs(one.rough - nominal) < _SAME)
        enough = (one for one in self.quarters if (one.surfaced.value if surfaced else one.rough) >= thickness - _SAME)
        return next(named, None) or next(enough, self.quarters[-1])


_SAME = 0.3


@cache
def handwork() -> Handwork:
    """Return the table; it is read once. Raises TableError when the package's own data file is wrong."""
    top = table("handwork")
    found = Handwork(
        widest={MaterialKind(kind): fact for kind, fact in top.facts("widest").items()},
        quarters=tuple(_quarter(name, fact) for name, fact in top.facts("quarters").items()),
        glue_up=top.facts("glue_up"),
        flattening=top.facts("flattening"),
        surfacing_cutter=_cutter(top.row("surfacing_cutter")),
        minutes=top.spans("minutes"),
        hours=top.spans("hours"),
    )
    top.done()
    return found


def _quarter(name: str, surfaced: Fact) -> Quarter:
    return Quarter(name, int(name.partition("/")[0]) / 4 * MM_PER_INCH, surfaced)


def _cutter(row: TableRow) -> SurfacingCutter:
    found = SurfacingCutter(
        row.text("name"),
        row.number("diameter"),
        row.number("cutting_length"),
        row.number("shank"),
        row.number("overall_length"),
        row.whole("flutes"),
        row.number("max_speed"),
    )
    row.done()
    return found
