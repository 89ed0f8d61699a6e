"""What the pictures of a kit cost beside setting two papers: its own booklet, and the committed reference document.

The reference is set by the bare library, each paper in a new process, as `bench_release.py` does; it never changes with
the program. Wanted: all pictures at most 0.8 of it. Processor seconds, one after the other in one run. A step's picture
is as large as a page of the booklet shows it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from kitforge.model.pack import BuildOptions
from kitforge.pictures.drawn.shots import shots_of
from kitforge.pipeline import check_kit
from kitforge.plugins import load_plugins
from kitforge.print.render import Imprint, document_pdf
from kitforge.print.themes import load_theme
from kitforge_booklet.build import booklet
from kitforge_booklet.pictures import cover_shot, step_shot
from kitforge_booklet.steps import _SHOT
from kitforge_listing.pictures import cover_pictures

T = TypeVar("T")
KITS = Path(__file__).parents[2] / "kits"
REFERENCE = Path(__file__).with_name("reference.html")
SET_REFERENCE = "import sys; from weasyprint import HTML; HTML(sys.argv[1]).write_pdf(pdf_variant='pdf/ua-1')"


def timed(work: Callable[[], T]) -> tuple[float, T]:
    """Return the processor seconds that some work takes, and its result."""
    start = time.process_time()
    result = work()
    return time.process_time() - start, result


def reference() -> float:
    """Return the processor seconds that the bare library takes to set the reference document twice, on two papers."""
    before = os.times()
    for _ in range(2):
        subprocess.run([sys.executable, "-c", SET_REFERENCE, str(REFERENCE)], stdout=subprocess.DEVNULL, check=True)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def compare(name: str) -> str:
    """Return the seconds of a kit's pictures and of both papers, and their ratio."""
    checked = check_kit(KITS / name, load_plugins())
    kit, plan, theme = checked.kit, checked.plan, load_theme()
    cut, shots = timed(lambda: shots_of(kit, plan))
    paper, _ = timed(lambda: [cover_shot(kit, plan, shots), *(step_shot(s, shots, *_SHOT) for s in plan.steps)])
    shop, _ = timed(lambda: list(cover_pictures(kit, plan)))
    data, imprint = booklet(kit, plan, BuildOptions()), Imprint(kit.info.title, kit.info.author, "Booklet")
    pdf, _ = timed(lambda: [document_pdf(theme, "booklet.html", data, p, imprint) for p in ("a4", "letter")])
    pictures, bare = cut + paper + shop, reference()
    return (
        f"{name}: pictures {pictures:.1f} s (six covers {shop:.1f}); reference twice {bare:.1f} s, "
        f"{pictures / bare:.2f}; its own booklet on both papers {pdf:.1f} s, {pictures / pdf:.2f}"
    )


def main() -> None:
    """Print the comparison for each kit named, or two."""
    for name in sys.argv[1:] or ("morris-board", "bedside-lamp"):
        print(compare(name))


if __name__ == "__main__":
    main()
