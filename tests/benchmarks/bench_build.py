"""What a cold build costs beside the bare typesetting of the same documents, as a ratio of processes in one run.

    python tests/benchmarks/bench_build.py [KIT] [RUNS]

The documents of one build are kept (HTML, pictures, fonts); then, in turns, a new process builds the kit, and a new
process only lets WeasyPrint render and write the kept documents. The target is a ratio of at most 1.3. The build works
on every core, the bare typesetting on one; on a machine that is busy with other things compare processor seconds.
"""

from __future__ import annotations

import os
import pathlib
import pickle
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from typing import NamedTuple

KITS = pathlib.Path(__file__).parents[2] / "kits"

BARE = """
import os, pickle, sys
os.environ["SOURCE_DATE_EPOCH"] = "0"
from weasyprint import HTML
from weasyprint.urls import URLFetcher, URLFetcherResponse
class Memory(URLFetcher):
    def __init__(self, assets):
        super().__init__()
        self.assets = assets
    def fetch(self, url, headers=None):
        name = url.split("kit.invalid/", 1)[1]
        kind = {"css": "text/css", "svg": "image/svg+xml", "ttf": "font/ttf"}.get(name.rsplit(".", 1)[-1], "image/png")
        return URLFetcherResponse(url, self.assets[name], {"Content-Type": kind})
with open(sys.argv[1], "rb") as file:
    documents = pickle.load(file)
for html, assets in documents:
    HTML(string=html, base_url="http://kit.invalid/", url_fetcher=Memory(assets)).write_pdf(pdf_variant="pdf/ua-1")
"""


def kept_documents(kit: pathlib.Path, output: pathlib.Path) -> list[tuple[str, dict[str, bytes]]]:
    """Build a kit and return every document that was typeset, with its assets."""
    from kitforge.pipeline import build_kit
    from kitforge.plugins import load_plugins
    from kitforge.print import parallel
    from kitforge.print.typesetter import PdfJob

    kept: list[tuple[str, dict[str, bytes]]] = []
    plain = parallel.set_all

    def keeping(manuscripts: Sequence[PdfJob]) -> list[bytes]:
        kept.extend((one.html, dict(one.assets)) for one in manuscripts)
        return plain(manuscripts)

    parallel.set_all = keeping
    try:
        with parallel.other_processes():
            build_kit(kit, output, load_plugins())
    finally:
        parallel.set_all = plain
    return kept


class Spent(NamedTuple):
    """Seconds on the clock, and processor seconds of a process and its children."""

    wall: float
    processor: float


def spent(command: list[str]) -> Spent:
    """Return what a process takes."""
    before, start = os.times(), time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    wall, after = time.perf_counter() - start, os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return Spent(wall, used)


def main() -> None:
    """Print the ratio of a cold build to the bare typesetting, run by run and as the median."""
    name = sys.argv[1] if len(sys.argv) > 1 else "morris-board"
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    with tempfile.TemporaryDirectory() as folder:
        output = pathlib.Path(folder)
        documents = kept_documents(KITS / name, output)
        store = output / "documents.pickle"
        store.write_bytes(pickle.dumps(documents))
        build = [sys.executable, "-m", "kitforge", "build", str(KITS / name), "-o", str(output)]
        bare = [sys.executable, "-c", BARE, str(store)]
        walls, processors = [], []
        for run in range(runs):
            ours, theirs = spent(build), spent(bare)
            walls.append(ours.wall / theirs.wall)
            processors.append(ours.processor / theirs.processor)
            print(
                f"run {run + 1}: build {ours.wall:.2f} s, bare typesetting {theirs.wall:.2f} s, ratio {walls[-1]:.2f}; "
                f"processor {ours.processor:.2f} s and {theirs.processor:.2f} s, ratio {processors[-1]:.2f}"
            )
    wall, processor = statistics.median(walls), statistics.median(processors)
    print(f"{name}, {len(documents)} documents: ratio {wall:.2f} (target at most 1.3), processor {processor:.2f}")


if __name__ == "__main__":
    main()
