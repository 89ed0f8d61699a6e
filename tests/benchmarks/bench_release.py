"""What rebuilding costs, as one table of ratios in one run: to a reference document that the bare library sets.

    python tests/benchmarks/bench_release.py [KIT] [--one]

The reference is `reference.html`, which never changes with the program, so that slower typesetting cannot flatter a
ratio; beside it the kit's own documents are set by the bare library. Every build is a new process with a cache of its
own. Wall time, and processor seconds of a process and its helpers; on a machine that is busy with other things trust
the ratios of processor seconds. Seven demo kits and 16 (demo kits under other slugs), for one paper, are built by one
process, by two, and by two workers of a cluster of Dask; `--one` leaves them out. All of it takes some 40 minutes of a
processor. KIT must have a depth that is a whole number of millimetres, which is edited.
"""

from __future__ import annotations

import os
import pathlib
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

sys.path.insert(0, str(pathlib.Path(__file__).parent))

from bench_build import BARE, KITS, kept_documents

ENTRY = "from kitforge.cli.main import entry; entry()"
REFERENCE = pathlib.Path(__file__).with_name("reference.html")
SET_REFERENCE = "import sys; from weasyprint import HTML; HTML(sys.argv[1]).write_pdf(pdf_variant='pdf/ua-1')"
WORKERS = 2


class Cost(NamedTuple):
    """Wall seconds, and processor seconds of a process and its children."""

    wall: float
    processor: float


class Row(NamedTuple):
    """A line of the table: what was done, and what it cost. processor of a cluster is that of the caller alone."""

    what: str
    cost: Cost
    wanted: str = ""


def cost_of(command: Sequence[str], home: pathlib.Path) -> Cost:
    """Run a command with a cache of its own; return what it cost."""
    env = {key: value for key, value in os.environ.items() if key != "KITFORGE_NO_CACHE"} | {
        "XDG_CACHE_HOME": str(home)
    }
    before, begun = os.times(), time.perf_counter()
    subprocess.run([sys.executable, "-c", *command], env=env, stdout=subprocess.DEVNULL, check=True)
    after = os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return Cost(time.perf_counter() - begun, used)


def edited(kit: pathlib.Path, pattern: str, by: str) -> Callable[[], None]:
    """Return what replaces the first text that fits a pattern in kit.yaml."""

    def edit() -> None:
        path = kit / "kit.yaml"
        text, count = re.subn(pattern, by, path.read_text(encoding="utf-8"), count=1)
        assert count, f"nothing in {path} fits {pattern}"
        path.write_text(text, encoding="utf-8")

    return edit


def one_kit(source: pathlib.Path, scratch: pathlib.Path) -> Iterator[Row]:
    """Yield the costs of builds of one kit after each kind of edit."""
    kit = pathlib.Path(shutil.copytree(source, scratch / source.name))
    out, home = scratch / "out", scratch / "home"
    home.mkdir(mode=0o700)
    documents = scratch / "documents"
    documents.write_bytes(pickle.dumps(kept_documents(kit, scratch / "kept")))
    build = [ENTRY, "build", str(kit), "-o", str(out)]
    yield Row(f"{source.name}: its documents, bare library", cost_of([BARE, str(documents)], home))
    yield Row("import of the typesetter", cost_of(["import weasyprint"], home))
    yield Row("cold, no cache", cost_of([*build, "--no-cache"], home))
    yield Row("cold, filling the cache", cost_of(build, home))
    yield Row("nothing changed", cost_of(build, home), "below the import")
    edited(kit, r"(?m)^(  title: [^\n#]*[a-z])$", r"\1 (new)")()
    yield Row("a word", cost_of(build, home), "at most its documents x 1.1")
    edited(kit, r"flutes: 2", "flutes: 1")()
    yield Row("settings", cost_of(build, home), "at most its documents x 1.1")
    yield Row("settings, one paper", cost_of([*build[:-1], str(scratch / "one"), "--paper", "a4"], home))
    edited(kit, r"(?m)^(\s+depth: )(\d+)( mm)", r"\g<1>\g<2>.5\g<3>")()
    yield Row("one step's depth", cost_of(build, home))


def many_kits(scratch: pathlib.Path) -> Iterator[Row]:
    """Yield the costs of seven and of 16 kits, for one paper, with one process and two and on a cluster."""
    written = {path.parent: path.read_text(encoding="utf-8") for path in KITS.glob("*/kit.yaml")}
    seven = sorted(folder for folder, text in written.items() if "\nsizes:" not in text)  # one pack a kit
    sixteen = []
    for number in range(16):
        kit = pathlib.Path(shutil.copytree(seven[number % len(seven)], scratch / "many" / f"kit-{number}"))
        edited(kit, r"(?m)^  slug: .*$", f"  slug: kit-{number}")()
        sixteen.append(kit)
    for kits in (seven, sixteen):
        build = [ENTRY, "build", *map(str, kits), "--no-cache", "--paper", "a4"]
        for jobs in (1, WORKERS):
            command = [*build, "-o", str(scratch / f"jobs-{jobs}"), "--jobs", str(jobs)]
            wanted = "at most one process x 0.65" if jobs > 1 else ""
            yield Row(f"{len(kits)} kits, {jobs} process{'es' if jobs > 1 else ''}", cost_of(command, scratch), wanted)
    yield from _on_cluster(build, scratch)


def _on_cluster(build: Sequence[str], scratch: pathlib.Path) -> Iterator[Row]:
    """Yield the cost of a build on a cluster of this machine; how much memory its workers had is printed."""
    try:
        from distributed import LocalCluster
    except ImportError:
        print("no cluster: python -m pip install 'kitforge[cluster]'")
        return
    with LocalCluster(n_workers=WORKERS, threads_per_worker=1, dashboard_address=None, processes=True) as cluster:
        address = cluster.scheduler_address
        before = _memory(address)
        cost = cost_of([*build, "-o", str(scratch / "cluster"), "--scheduler", address], scratch)
        grown = ", ".join(f"{old >> 20} to {new >> 20} MB" for old, new in zip(before, _memory(address), strict=True))
        print(f"memory of the cluster's workers: {grown}")
    yield Row(f"16 kits, {WORKERS} workers of Dask", cost)


def _memory(address: str) -> list[int]:
    """Return the bytes that each worker of a cluster has."""
    from distributed import Client

    with Client(address, set_as_default=False) as client:
        return [int(one) for one in client.run(_own_memory).values()]


def _own_memory() -> int:
    import psutil

    return int(psutil.Process().memory_info().rss)


def main() -> None:
    """Print the table, each line as soon as it is measured."""
    named = [word for word in sys.argv[1:] if not word.startswith("--")]
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        reference = cost_of([SET_REFERENCE, str(REFERENCE)], scratch)
        print("| what | wall s | processor s | wall / reference | processor / reference | wanted |")
        print("|---|---|---|---|---|---|")
        _tell(Row("the reference document, bare library", reference), reference)
        for row in one_kit(pathlib.Path(named[0]) if named else KITS / "morris-board", scratch):
            _tell(row, reference)
        for row in () if "--one" in sys.argv else many_kits(scratch):
            _tell(row, reference)


def _tell(row: Row, reference: Cost) -> None:
    wall, processor = row.cost.wall / reference.wall, row.cost.processor / reference.processor
    print(
        f"| {row.what} | {row.cost.wall:.1f} | {row.cost.processor:.2f} | {wall:.2f} | {processor:.2f} "
        f"| {row.wanted} |",
        flush=True,
    )


if __name__ == "__main__":
    main()
