"""Mutates drawings and kit.yaml byte by byte and number by number, and reads them: only plain errors may come out.

A drawing that is read becomes a first kit, which is read as well; a mutated kit.yaml is read with its drawings. One in
CHECKED of the kits that can be read is checked as `kitforge check` does, and its findings become words. Run
`python tests/benchmarks/fuzz_drawings.py --minutes 10 --seed 1 --out FOLDER`. A failure is any other exception, more
than 10 s of the processor, or more than 1 GiB; its input is written to FOLDER, to be kept in tests/drafting/seeds/.
"""

from __future__ import annotations

import argparse
import faulthandler
import hashlib
import logging
import os
import pathlib
import random
import re
import resource
import signal
import sys
import tempfile
import time
import traceback
import unicodedata
import zlib
from collections import Counter
from types import FrameType

from kitforge.drafting.first_kit import first_kit
from kitforge.drafting.listing import listing
from kitforge.drafting.source import read_source
from kitforge.model.errors import KitforgeError
from kitforge.pipeline import check_kit, load_kit
from kitforge.plugins import load_plugins
from kitforge.release.findings.gather import checked_result
from kitforge.release.findings.plain import lines_of

ROOT = pathlib.Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "drawings"))
from test_ugly_drawings import CASES  # noqa: E402

PLUGINS = load_plugins()
DRAWINGS = {path.name: path.read_bytes() for path in (ROOT / "kits").rglob("*") if path.suffix in (".dxf", ".svg")}
LONGEST = 10.0
CHECKED = 6
MOST_MEMORY = 1 << 30
LARGEST_SEED = 60_000
NUMBER = re.compile(rb"[-+]?\d+(?:\.\d*)?(?:[eE][-+]?\d+)?")
VALUE = re.compile(rb"(?<=\n)[-+]?\d+\.\d+(?=\r?\n)|(?<=\n)[-+]?\d+(?=\r?\n {1,2}\d+\r?\n)")
NASTY = (
    b"nan", b"inf", b"-inf", b"1e308", b"-1e308", b"1e-320", b"0", b"-0", b"-1", b"1", b"2", b"255", b"65536",
    b"2147483647", b"-2147483648", b"99999999999999999999", b"1e9", b"1e6", b"1e-9", b"0.0000001", b"1,5", b"",
    b"0x10", b"1e", b"--1", b"360", b"\xff", b"\x00", b"%", b"mm", b"1_000",
)  # fmt: skip
DXF_WORDS = (
    b"LINE", b"CIRCLE", b"ARC", b"ELLIPSE", b"SPLINE", b"LWPOLYLINE", b"POLYLINE", b"VERTEX", b"SEQEND", b"INSERT",
    b"POINT", b"TEXT", b"MTEXT", b"HATCH", b"3DFACE", b"SOLID", b"DIMENSION", b"BLOCK", b"ENDBLK", b"SECTION",
    b"ENDSEC", b"EOF",
)  # fmt: skip
SVG_WORDS = (
    b"path", b"rect", b"circle", b"ellipse", b"line", b"polyline", b"polygon", b"g", b"use", b"symbol", b"svg",
    b"defs", b"style", b"clipPath", b"text", b"image", b"switch", b"transform", b"viewBox", b"width", b"height",
    b"id", b"href", b"d", b"points",
)  # fmt: skip


YAML_WORDS = (
    b"shapes", b"layer", b"rectangle", b"circle", b"polyline", b"array", b"ring", b"mirror", b"outline", b"drawing",
    b"join", b"units", b"depth", b"through", b"pocket", b"profile", b"drill", b"groove", b"dish", b"engrave", b"face",
    b"hold", b"tabs", b"count", b"size", b"name", b"stock", b"cutters", b"parts", b"needs", b"together", b"parameters",
)  # fmt: skip
KINDS = (".dxf", ".svg", ".yaml")


class TooLongError(BaseException):
    """Raised by the clock inside a read; no `except Exception` may swallow it."""


def seeds() -> list[tuple[str, bytes]]:
    """Return the files to start from: drawings and kits of the demo, kept ones, and the corpus of ugly drawings."""
    folders = (ROOT / "kits", ROOT / "tests" / "drafting" / "seeds")
    files = sorted(path for folder in folders for path in folder.rglob("*") if path.suffix in KINDS)
    found = [(path.suffix, path.read_bytes()) for path in files if path.stat().st_size <= LARGEST_SEED]
    found += [(pathlib.Path(case.file).suffix, case.data) for case in CASES if len(case.data) <= LARGEST_SEED]
    return found + [(".dxf", entities(version)) for version in ("R12", "R2000", "R2018")]


def entities(version: str) -> bytes:
    """Return a small DXF file with every entity that the reader knows, and some that it skips."""
    import io

    import ezdxf

    document = ezdxf.new(version, units=0 if version == "R12" else 4)
    space, block = document.modelspace(), document.blocks.new("B")
    block.add_circle((1, 1), 2)
    block.add_blockref("C", (3, 3))
    document.blocks.new("C").add_line((0, 0), (1, 1))
    space.add_line((0, 0), (10, 0))
    space.add_circle((5, 5), 2, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_arc((5, 5), 3, 10, 200)
    space.add_polyline2d([(0, 0, 0.5), (4, 0, 0), (4, 4, 1)], format="xyb", close=True)
    space.add_polyline3d([(0, 0, 0), (4, 0, 1), (4, 4, 2)])
    space.add_point((7, 7))
    space.add_text("A", height=2)
    space.add_blockref("B", (20, 20), dxfattribs={"rotation": 30, "row_count": 2, "row_spacing": 9, "xscale": -2})
    if version != "R12":
        space.add_lwpolyline([(0, 0, 0.5), (4, 0, 0), (4, 4, 1)], format="xyb", close=True)
        space.add_ellipse((9, 9), (4, 1), 0.4, 0, 3)
        space.add_open_spline([(0, 0), (1, 3), (4, 3), (6, 0), (8, 2)])
        space.add_rational_spline([(0, 0), (1, 3), (4, 3), (6, 0)], [1, 2, 2, 1])
        space.add_spline([(0, 0), (5, 5), (9, 1)])
        space.add_hatch()
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def mutated(chance: random.Random, kind: str, data: bytes, others: list[bytes]) -> bytes:
    """Return the drawing with one to six changes."""
    for _ in range(chance.choice((1, 1, 1, 1, 2, 4))):
        data = chance.choice(CHANGES)(chance, kind, data, others)
    return data


def _number(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    found = list(NUMBER.finditer(data))
    if not found:
        return data
    hit = chance.choice(found)
    return data[: hit.start()] + chance.choice(NASTY) + data[hit.end() :]


def _far_number(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    """Change a number behind the head of the file, where the geometry is."""
    found = list(NUMBER.finditer(data, len(data) // 3))
    if not found:
        return data
    hit = chance.choice(found)
    return data[: hit.start()] + chance.choice(NASTY) + data[hit.end() :]


def _flip(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    if not data:
        return data
    at = chance.randrange(len(data))
    return data[:at] + bytes([data[at] ^ (1 << chance.randrange(8))]) + data[at + 1 :]


def _cut(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + data[at + chance.choice((1, 2, 10, 100, 1000)) :]


def _repeat(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    at = chance.randrange(len(data) + 1)
    piece = data[at : at + chance.choice((1, 10, 100, 1000))]
    return data[:at] + piece * chance.choice((2, 3, 50)) + data[at + len(piece) :]


def _lines(chance: random.Random, _kind: str, data: bytes, _others: list[bytes]) -> bytes:
    lines = data.split(b"\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    if chance.random() < 0.4:
        del lines[one]
    return b"\n".join(lines)


def _splice(chance: random.Random, _kind: str, data: bytes, others: list[bytes]) -> bytes:
    other = chance.choice(others)
    start, end = sorted((chance.randrange(len(other) + 1), chance.randrange(len(other) + 1)))
    at = chance.randrange(len(data) + 1)
    return data[:at] + other[start : min(end, start + 3000)] + data[at:]


def _word(chance: random.Random, kind: str, data: bytes, _others: list[bytes]) -> bytes:
    words = {".dxf": DXF_WORDS, ".svg": SVG_WORDS, ".yaml": YAML_WORDS}[kind]
    old, new = chance.choice(words), chance.choice(words)
    places = [hit.start() for hit in re.finditer(re.escape(old), data)]
    if not places:
        return data
    at = chance.choice(places)
    return data[:at] + new + data[at + len(old) :]


def _nudge(chance: random.Random, kind: str, data: bytes, _others: list[bytes]) -> bytes:
    """Change a few numbers behind the head to likely ones, so that the file stays one that is read."""
    for _ in range(chance.choice((1, 1, 3, 10))):
        # of a DXF only values: with another code in their place nothing would be left to read
        pattern = VALUE if kind == ".dxf" else NUMBER
        found = list(pattern.finditer(data, len(data) // 4))
        if not found:
            return data
        hit = chance.choice(found)
        old = float(hit[0]) if len(hit[0]) < 20 else 1.0
        likely = (
            old + chance.choice((0.004, 0.3, 3, -40)),
            old * chance.choice((0, -1, 0.5, 25.4)),
            chance.randrange(300),
        )
        data = data[: hit.start()] + f"{chance.choice(likely):.6g}".encode() + data[hit.end() :]
    return data


def _record(chance: random.Random, kind: str, data: bytes, _others: list[bytes]) -> bytes:
    """Leave out, double or move a whole entity, element or line of a kit."""
    records = re.split({".dxf": rb"(?=\n *0\n)", ".svg": rb"(?=<)", ".yaml": rb"(?<=\n)"}[kind], data)
    if len(records) < 4:
        return data
    at = chance.randrange(1, len(records))
    record = records[at]
    if chance.random() < 0.6:
        del records[at]
    if chance.random() < 0.6:
        records.insert(chance.randrange(1, len(records)), record)
    return b"".join(records)


CHANGES = (_number, _far_number, _flip, _cut, _repeat, _lines, _splice, _word, *(_nudge, _record) * 5)


def _ring(_signal: int, _frame: FrameType | None) -> None:
    raise TooLongError


def tried(kind: str, data: bytes) -> None:
    """Read a drawing and draft a kit from it, or read a kit; plain errors are no failures."""
    with tempfile.TemporaryDirectory() as folder:
        made = pathlib.Path(folder)
        if kind == ".yaml":
            for name, drawing in DRAWINGS.items():
                (made / name).write_bytes(drawing)
            (made / "kit.yaml").write_bytes(data)
            _read(made, data)
            return
        (made / f"drawing{kind}").write_bytes(data)
        source = read_source(made / f"drawing{kind}", PLUGINS)
        for line in listing(source):
            assert_clean(line)
        text = first_kit(made / f"drawing{kind}", source).text
        (made / "kit.yaml").write_text(text, encoding="utf-8")
        _read(made, data)


def _read(folder: pathlib.Path, data: bytes) -> None:
    """Read a kit; check it where its bytes say so, for a check takes a hundred times as long."""
    if zlib.crc32(data) % CHECKED:
        load_kit(folder, PLUGINS)
        return
    for told in lines_of(checked_result(folder, check_kit(folder, PLUGINS)), verbose=True):
        for line in told.splitlines():
            assert_clean(line)


def assert_clean(line: str) -> None:
    """Assert that a line can be printed: no control characters, and it can be encoded."""
    line.encode()
    assert not [mark for mark in line if unicodedata.category(mark) in ("Cc", "Cs")], repr(line)


def fault_of(kind: str, data: bytes) -> str | None:
    """Try a file; return what went wrong, or None where all went well or a plain error came out."""
    started = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, LONGEST)  # the machine's other work does not count
    try:
        tried(kind, data)
    except KitforgeError as error:
        for line in str(error).splitlines():
            assert_clean(line)
    except TooLongError:
        return f"more than {LONGEST:g} s\n{traceback.format_exc(limit=-6)}"
    except Exception:
        return traceback.format_exc(limit=-4)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    took = time.process_time() - started
    return f"{took:.1f} s" if took > LONGEST else None


def hunt(chance: random.Random, end: float, out: pathlib.Path) -> int:
    """Mutate and read until the time is over; return the exit code. A crash leaves its input as out/current.*."""
    started = seeds()
    for kind, data in started:
        fault_of(kind, data)  # loads the libraries before the limit is set
    # address space counts reserved pages too: what is loaded now and 2 GiB more is the limit
    reserved = int(pathlib.Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (reserved + 2 * MOST_MEMORY, resource.RLIM_INFINITY))
    tries, slowest, faults = 0, 0.0, Counter[str]()
    while time.monotonic() < end:
        kind, data = chance.choice(started)
        data = mutated(chance, kind, data, [other for same, other in started if same == kind])
        (out / f"current{kind}").write_bytes(data)
        faulthandler.dump_traceback_later(10 * LONGEST, exit=True)  # stuck where no signal gets in
        begun = time.process_time()
        fault = fault_of(kind, data)
        slowest = max(slowest, time.process_time() - begun)
        tries += 1
        if fault is not None:
            where = "\n".join(fault.strip().splitlines()[-3:])
            faults[where] += 1
            if faults[where] == 1:
                keep(out, kind, data)
                print(fault, flush=True)
        (out / f"current{kind}").unlink()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    found = f"{sum(faults.values())} faults of {len(faults)} kinds"
    print(f"{tries} files, {found}, slowest {slowest:.2f} s, {peak:.0f} MiB", flush=True)
    return 1 if faults or peak > MOST_MEMORY / (1 << 20) else 0


def keep(out: pathlib.Path, kind: str, data: bytes) -> None:
    """Write a drawing that went wrong under a name of its own."""
    (out / f"{hashlib.sha256(data).hexdigest()[:12]}{kind}").write_bytes(data)


def main() -> int:
    """Hunt in a child process; when it crashes, keep the drawing that did it and go on."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=pathlib.Path, default=pathlib.Path(tempfile.gettempdir()) / "fuzzed-drawings")
    chosen = parser.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    logging.disable()  # the library says much about broken files
    faulthandler.enable()
    signal.signal(signal.SIGPROF, _ring)
    end, seed, code = time.monotonic() + chosen.minutes * 60, chosen.seed, 0
    while time.monotonic() < end:
        child = os.fork()
        if child == 0:
            os._exit(hunt(random.Random(seed), end, chosen.out))
        status = os.waitpid(child, 0)[1]
        code, seed = max(code, int(status != 0)), seed + 1000
        for left in chosen.out.glob("current.*"):
            print(f"crashed or stuck on this, status {status}", flush=True)
            keep(chosen.out, left.suffix, left.read_bytes())
            left.unlink()
    return code


if __name__ == "__main__":
    sys.exit(main())
