"""Are the packs still the same? Records what every demo kit gives, and tells what differs from an earlier record.

    python tests/identity/same_packs.py record build/before.json      # on the state before
    python tests/identity/same_packs.py compare build/before.json     # after a step; exit code 1 when anything differs

Every file of every pack is recorded by its sum, documents by what they are typeset from (text, pictures, styles), and
so is what each command prints. `--typeset` records the finished PDFs and zips as well, which takes minutes.
`--kits NAME ...` looks at some kits only. A refactoring changes nothing here but the manifest's line about its tools.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import json
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from unittest.mock import patch

from kitforge.cli.main import main as command
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import build_kit, check_kit, render_files
from kitforge.plugins import load_plugins
from kitforge.print import parallel
from kitforge.print.typesetter import PdfJob

TOP = Path(__file__).parents[2]
OPTIONS = BuildOptions(languages=("en", "de"))
COMMANDS = (
    ("check", "{kit}"),
    ("check", "{kit}", "--format", "json"),
    ("settings", "{kit}"),
    ("settings", "{kit}", "--format", "json"),
    ("settings", "{kit}", "--format", "csv"),
    ("explain", "{kit}"),
    ("explain", "{kit}", "--format", "json"),
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Record or compare; return 1 when something differs."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("do", choices=("record", "compare"))
    parser.add_argument("file", type=Path)
    parser.add_argument("--kits", nargs="*", default=sorted(path.parent.name for path in TOP.glob("kits/*/kit.yaml")))
    parser.add_argument("--typeset", action="store_true")
    asked = parser.parse_args(arguments)
    now = {name: dict(sums_of(TOP / "kits" / name, typeset=asked.typeset)) for name in asked.kits}
    if asked.do == "record":
        asked.file.parent.mkdir(parents=True, exist_ok=True)
        asked.file.write_text(json.dumps(now, indent=1, sort_keys=True), encoding="utf-8")
        return 0
    before = json.loads(asked.file.read_text(encoding="utf-8"))
    differing = list(differences({name: before.get(name, {}) for name in now}, now))
    print("\n".join(differing) or f"{sum(map(len, now.values()))} files and outputs of {len(now)} kits are the same")
    return int(bool(differing))


def differences(before: dict[str, dict[str, str]], now: dict[str, dict[str, str]]) -> Iterator[str]:
    """Yield a line for every file or output that is new, gone or different."""
    for kit, sums in now.items():
        for name in sorted({*before[kit], *sums}):
            if name not in sums or name not in before[kit]:
                yield f"{kit}: {name} is {'gone' if name not in sums else 'new'}"
            elif sums[name] != before[kit][name]:
                yield f"{kit}: {name} differs"


def sums_of(folder: Path, *, typeset: bool = False) -> Iterator[tuple[str, str]]:
    """Yield the name and the sum of every file of a kit's pack and of everything that the commands print about it."""
    plugins = load_plugins()
    for words in COMMANDS:
        called = [word.format(kit=f"kits/{folder.name}") for word in words]
        yield f"$ {' '.join(called)}", _sum(_printed(called))
    checked = check_kit(folder, plugins)
    with patch.object(parallel, "render_pdf", _unset), patch.object(parallel, "_cores", lambda: 1):
        for file in render_files(checked, plugins, OPTIONS):
            if file.name not in ("manifest.json", "SHA256SUMS"):
                yield file.name, _sum(file.data)
    if typeset:
        with tempfile.TemporaryDirectory() as output:
            built = build_kit(folder, Path(output), plugins, OPTIONS)
            if built.archive is not None:
                yield built.archive.name, _sum(built.archive.read_bytes())


def _unset(manuscript: PdfJob) -> bytes:
    """Return all that a document is typeset from, in place of the document."""
    parts = [manuscript.html.encode(), repr(manuscript.released).encode(), manuscript.identifier]
    parts += [f"{name} {_sum(data)}".encode() for name, data in sorted(manuscript.assets.items())]
    return b"\n".join([*parts, repr(sorted(manuscript.families)).encode(), repr(manuscript.zoom).encode()])


def _printed(called: Sequence[str]) -> bytes:
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = command(called)
    return f"{code}\n{out.getvalue()}\n{err.getvalue()}".encode()


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


if __name__ == "__main__":
    sys.exit(main())
