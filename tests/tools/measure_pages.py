"""Print how the pages of booklets are made up: `python tests/tools/measure_pages.py dist/*.zip`, or booklet PDFs.

Without arguments the demo kits are measured, A4 and English. tests/demo/test_page_make_up.py bounds what is printed.
"""

from __future__ import annotations

import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path


def booklets(path: Path) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of every booklet of a pack, or of the one PDF."""
    if path.suffix == ".pdf":
        yield path.stem, path.read_bytes()
        return
    with zipfile.ZipFile(path) as pack:
        for name in sorted(pack.namelist()):
            if Path(name).name.startswith("booklet") and name.endswith(".pdf"):
                yield f"{path.stem} {Path(name).stem}", pack.read(name)


def demos() -> Iterator[tuple[str, bytes]]:
    """Yield the booklets of the demo kits."""
    from demo_kits import DEMOS, pdf_of

    yield from ((name, pdf_of(name)) for name in DEMOS)


def main() -> None:
    """Print a row for each booklet and a line for each heading or page that stands alone."""
    sys.path[:0] = [str(Path(__file__).parents[1] / room) for room in ("print/fixtures", "harness")]
    from page_measures import make_up

    given = [one for path in sys.argv[1:] for one in booklets(Path(path))]
    print(f"{'booklet':36}{'pages':>6}{'empty feet':>12}{'cover area':>12}{'cover side':>12}")
    for name, pdf in given or demos():
        found = make_up(pdf)
        area, side = found.cover
        print(f"{name:36}{found.pages:6}{found.feet:12.2f}{area:12.0%}{side:12.0%}")
        for line in found.alone:
            print(f"    {line}")


if __name__ == "__main__":
    main()
