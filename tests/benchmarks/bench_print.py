"""How long one page of the booklet takes, and how much of a build the second paper adds. Prints ratios."""

from __future__ import annotations

import io
import sys
import time
from pathlib import Path

import pikepdf

sys.path.insert(0, str(Path(__file__).parents[1] / "print" / "fixtures"))

import morris

from kitforge.model.pack import BuildOptions
from kitforge_booklet import kitforge_render


def timed(papers: tuple[str, ...]) -> tuple[float, int]:
    """Return seconds and pages of a rendering on these papers."""
    start = time.perf_counter()
    files = list(kitforge_render(morris.kit(), morris.plan(), BuildOptions(papers=papers)))
    seconds = time.perf_counter() - start
    return seconds, sum(len(pikepdf.open(io.BytesIO(file.data)).pages) for file in files if file.name.endswith(".pdf"))


def main() -> None:
    """Print the figures; the first rendering also loads the typesetter."""
    first, pages = timed(("a4",))
    one, _ = timed(("a4",))
    both, _ = timed(("a4", "letter"))
    print(f"one paper, warm: {one / pages * 1000:.0f} ms a page over {pages} pages")
    print(f"first rendering / warm rendering: {first / one:.2f}")
    print(f"two papers / one paper: {both / one:.2f}")


if __name__ == "__main__":
    main()
