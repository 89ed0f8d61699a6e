"""Reading, joining and checking a drawing of loose lines against the bare libraries.

Run as a script. The largest drawing has 10⁶ lines; a number after the script's name changes that.
Bare: ezdxf's strict read, shapely's polygonize over all lines, and one inward offset of each polygon. Ours: the same
drawing read strictly with an audit, ends joined with a tolerance, faults searched, nested, and offset.
"""

import io
import math
import random
import sys
import time
from collections.abc import Callable
from functools import partial
from itertools import pairwise

import ezdxf
import shapely

from kitforge.drawings.chain import chain
from kitforge.drawings.dxf_read import read_dxf
from kitforge.drawings.faults import find_faults
from kitforge.drawings.limits import ReadingLimits, collector_paused
from kitforge.geometry.region import offset, polygons
from kitforge.model.path import Path, Vertex

SIDES = 4
ROOMY = ReadingLimits(size=1_000_000_000, entities=5_000_000, pieces=10_000_000, tags=100_000_000)


def segments(count: int) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the sides of squares in a grid as shuffled lines."""
    columns = max(1, math.isqrt(count // SIDES))
    found = []
    for index in range(count // SIDES):
        x, y = 12.0 * (index % columns), 12.0 * (index // columns)
        ring = [(x, y), (x + 10, y), (x + 10, y + 10), (x, y + 10), (x, y)]
        found += list(pairwise(ring))
    random.Random(1).shuffle(found)
    return found


def dxf_text(count: int) -> str:
    """Return a DXF file of loose lines in mm."""
    document = ezdxf.new("R2000", units=4)
    space = document.modelspace()
    for start, end in segments(count):
        space.add_line(start, end)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def timed(work: Callable[[], object]) -> tuple[float, object]:
    """Return seconds of processor time and result."""
    start = time.process_time()
    result = work()
    return time.process_time() - start, result


def bare(text: str) -> int:
    """Read, polygonize and offset with nothing but the libraries."""
    document = ezdxf.read(io.StringIO(text))
    rows = [((e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)) for e in document.modelspace()]
    areas = shapely.get_parts(shapely.polygonize(shapely.linestrings(rows)))
    return len(shapely.buffer(areas, -3))


def ours(text: str) -> int:
    """Read, join, check, nest and offset."""
    shapes = read_dxf(text.encode(), limits=ROOMY).whole
    return len([offset(area, -3) for area in polygons(shapes.closed)])


def read_times(count: int) -> tuple[float, float]:
    """Return seconds of the bare libraries and of ours on one file."""
    text = dxf_text(count)
    bare_s, expected = timed(lambda: bare(text))
    ours_s, found = timed(lambda: ours(text))
    assert found == expected == count // SIDES
    return bare_s, ours_s


def main() -> None:
    """Print times, ratios and how the cost grows from one size to the next."""
    largest = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    ours(dxf_text(100))
    before: dict[str, float] = {}
    print(
        f"{'lines':>9} {'bare s':>8} {'ours s':>8} {'ratio':>6} {'join s':>8} {'check s':>8}  growth: ours, join, check"
    )
    count = 1000
    while count <= largest:
        bare_s, ours_s = read_times(count)
        paths = [Path((Vertex(*a), Vertex(*b)), closed=False) for a, b in segments(count)]
        with collector_paused():
            join_s, _ = timed(partial(chain, paths))
            chains = chain(paths)
            check_s, _ = timed(partial(find_faults, chains.closed))
        now = {"ours": ours_s, "join": join_s, "check": check_s}
        growth = [f"{key} {math.log10(now[key] / before[key]):.2f}" for key in now if before]
        print(
            f"{count:>9} {bare_s:>8.2f} {ours_s:>8.2f} {ours_s / bare_s:>6.2f} {join_s:>8.2f} {check_s:>8.2f}  "
            + ", ".join(growth)
        )
        before, count = now, count * 10


if __name__ == "__main__":
    main()
