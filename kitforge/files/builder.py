"""Who builds: one sum over everything that can change a pack's bytes apart from the kit and the call.

Own code, templates and data; names and versions of all installed distributions; Python, zlib and the platform; the
system's libraries that the typesetter loads, by real name and size, for an upgrade of the system changes PDFs while no
version of Python's moves. Nothing heavy is imported: 0.03 processor seconds.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import re
import sys
import zlib
from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path

LIBRARIES = ("pango", "harfbuzz", "freetype", "fontconfig", "fribidi", "glib-2", "gobject-2")
"""Begin the names (after 'lib') of the system's libraries that the typesetter loads, by itself or through another."""

_OWN = "kitforge"
_FOLDERS = ("/usr/lib", "/lib", "/usr/local/lib", "/usr/lib64", "/lib64", "/opt/homebrew/lib")
_LIBRARY = re.compile(rf"lib(?:{'|'.join(map(re.escape, LIBRARIES))})[\w.+-]*\.(?:so|dylib)[\d.]*")
_GROUP = re.compile(r"^\[\s*kitforge(?:\.themes)?\s*\]", re.MULTILINE)
_VALUE = re.compile(r"^\s*[\w.-]+\s*=\s*(\w+)", re.MULTILINE)
_LARGEST_LIST = 1 << 20


@cache
def builder() -> str:
    """Return the sum, hexadecimal; '' where it cannot be told: a plugin of others whose code may change at any time."""
    distributions = sorted(_distributions())
    if any(_may_change(folder) for folder in distributions):
        return ""
    found = hashlib.sha256()
    for word in _words(distributions):
        found.update(len(word).to_bytes(8, "big"))
        found.update(word)
    return found.hexdigest()


def finds_the_typesetters_libraries() -> bool:
    """Return whether the libraries without which nothing can be printed lie where the system keeps them."""
    names = [path.name for path in _libraries()]
    return all(any(name.startswith(f"lib{wanted}") for name in names) for wanted in ("pango-1", "pangoft2", "harfbuzz"))


def printing_libraries() -> dict[str, str]:
    """Return the real names, which hold their versions, of the system's libraries that set documents in type."""
    wanted = ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz.so.0", "libharfbuzz-subset.so.0",
              "libfreetype.so.6", "libfontconfig.so.1", "libpango-1.0.0.dylib", "libharfbuzz.0.dylib")  # fmt: skip
    return {path.name.partition(".so")[0]: path.resolve().name for path in _libraries() if path.name in wanted}


def _words(distributions: list[Path]) -> Iterator[bytes]:
    yield from (text.encode() for text in (sys.version, zlib.ZLIB_RUNTIME_VERSION, platform.platform(), sys.byteorder))
    yield from (folder.name.encode("utf-8", "surrogateescape") for folder in distributions)
    for path in _libraries():
        yield f"{path.name} {path.resolve().name} {path.stat().st_size}".encode("utf-8", "surrogateescape")
    for name, path in _own_files():
        yield name.encode("utf-8", "surrogateescape")
        yield hashlib.sha256(path.read_bytes()).digest()


def _distributions() -> Iterator[Path]:
    """Yield the folders of metadata of everything installed: their names hold name and version."""
    for entry in dict.fromkeys(sys.path):
        with contextlib.suppress(OSError), os.scandir(entry or ".") as found:
            for one in found:
                if one.name.endswith((".dist-info", ".egg-info", ".egg-link")):
                    yield Path(one.path)


def _is_own(folder: Path) -> bool:
    return folder.name.lower().startswith(f"{_OWN}-")


def _may_change(folder: Path) -> bool:
    """Return whether a distribution of others brings a plugin or theme and is installed so that its code can change."""
    if folder.name.endswith(".dist-info") and (_is_own(folder) or "editable" not in _read(folder / "direct_url.json")):
        return False
    return bool(_GROUP.search(_read(folder / "entry_points.txt"))) or folder.name.endswith(".egg-link")


def _own_files() -> Iterator[tuple[str, Path]]:
    """Yield every file of this program, of its plugins and themes, by a name that does not depend on the place."""
    for package in sorted({_OWN, *_own_packages()}):
        spec = find_spec(package)
        for place in (spec.submodule_search_locations if spec else None) or ():
            top = Path(place)
            for folder, inner, names in os.walk(top):
                inner[:] = sorted(one for one in inner if one != "__pycache__")
                for name in sorted(names):
                    path = Path(folder, name)
                    yield f"{package}/{path.relative_to(top).as_posix()}", path


def _own_packages() -> Iterator[str]:
    for folder in _distributions():
        if _is_own(folder):
            for section in re.split(r"^(?=\[)", _read(folder / "entry_points.txt"), flags=re.MULTILINE):
                if _GROUP.match(section):
                    yield from _VALUE.findall(section)


def _libraries() -> Iterator[Path]:
    """Yield the libraries in the folders where systems keep them, in order of their names; links too."""
    named = [Path(one) for one in os.environ.get("LD_LIBRARY_PATH", "").split(os.pathsep) if one]
    found: dict[str, Path] = {}
    for folder in (*named, *map(Path, _FOLDERS)):
        for inner in (folder, *_of_this_machine(folder)):
            with contextlib.suppress(OSError), os.scandir(inner) as entries:
                for one in entries:
                    if _LIBRARY.fullmatch(one.name) and Path(one.path).exists():
                        found.setdefault(one.name, Path(one.path))
    yield from (found[name] for name in sorted(found))


def _of_this_machine(folder: Path) -> Iterator[Path]:
    """Yield the folders for single machine types in it, such as x86_64-linux-gnu."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        yield from (Path(one.path) for one in entries if one.name.endswith(("-linux-gnu", "-linux-musl")))


def _read(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return file.read(_LARGEST_LIST).decode("utf-8", "replace")
    except OSError:
        return ""
