"""Themes: data packages with templates, style sheets, fonts and pictures, registered under `kitforge.themes`.

A theme comes from a stranger. Its files are read, its code is never run: the package is located, not imported.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.machinery import PathFinder
from importlib.metadata import entry_points
from pathlib import Path

from kitforge.print.errors import ThemeError

GROUP = "kitforge.themes"
LARGEST_THEME = 20_000_000
LARGEST_ABOUT = 10_000
MOST_FILES = 500
_FONT_FACE = re.compile(r"@font-face\s*\{([^}]*)\}", re.IGNORECASE)
_FAMILY = re.compile(r"font-family\s*:\s*[\"']?([^;\"'}]+)", re.IGNORECASE)
_SUFFIXES = frozenset({".html", ".css", ".svg", ".png", ".jpg", ".jpeg", ".ttf", ".otf"})
_ABOUT = "theme.toml"
_DEEPEST = 4
_ZOOM = (0.5, 3.0)


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme's name, its files by relative name with forward slashes, and how much larger than drawn it is printed."""

    name: str
    files: Mapping[str, bytes]
    zoom: float = 1.0

    def text(self, name: str) -> str:
        """Return a template or style sheet. Raises ThemeError if it is missing or not UTF-8."""
        if name not in self.files:
            raise ThemeError(f"The theme '{self.name}' has no file '{name}'.")
        try:
            return self.files[name].decode("utf-8")
        except UnicodeDecodeError as error:
            raise ThemeError(f"The file '{name}' of the theme '{self.name}' is not UTF-8 text.") from error

    @property
    def templates(self) -> Mapping[str, str]:
        """The templates by name."""
        return {name: self.text(name) for name in sorted(self.files) if name.endswith(".html")}

    @property
    def fonts(self) -> Mapping[str, bytes]:
        """The font files that the theme brings itself."""
        return {name: data for name, data in sorted(self.files.items()) if name.endswith((".ttf", ".otf"))}

    @property
    def families(self) -> frozenset[str]:
        """The names that the theme's style sheets give to its own font files; `local()` faces do not count."""
        sheets = [self.text(name) for name in sorted(self.files) if name.endswith(".css")]
        rules = [rule for sheet in sheets for rule in _FONT_FACE.findall(sheet) if "local(" not in rule.lower()]
        return frozenset(name.strip() for rule in rules for name in _FAMILY.findall(rule))


def theme_names() -> tuple[str, ...]:
    """Return the names of the installed themes."""
    return tuple(sorted({point.name for point in entry_points(group=GROUP)}))


def load_theme(name: str = "plain", depth: int = 1) -> Theme:
    """Return an installed theme. Raises ThemeError naming the installed ones if there is none of that name."""
    points = sorted((p for p in entry_points(group=GROUP) if p.name == name), key=lambda p: p.value)
    if not points:
        known = ", ".join(theme_names()) or "none"
        raise ThemeError(f"There is no theme '{name}'. Installed themes: {known}.")
    if len({point.value for point in points}) > 1:
        raise ThemeError(f"Two packages offer a theme '{name}': {', '.join(point.value for point in points)}.")
    return read_theme(name, _folder(points[0].module), depth)


@dataclass(frozen=True, slots=True)
class _About:
    """What theme.toml says: the theme that this one restyles, and the zoom."""

    base: str | None = None
    zoom: float = 1.0


def _about(name: str, folder: Path) -> _About:
    path = folder / _ABOUT
    if not path.is_file() or path.is_symlink() or path.stat().st_size > LARGEST_ABOUT:
        return _About()
    try:
        said = tomllib.loads(path.read_text("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ThemeError(f"{_ABOUT} of the theme '{name}' cannot be read: {error}.") from error
    base, zoom = said.get("base"), said.get("zoom", 1.0)
    if unknown := sorted(said.keys() - {"base", "zoom"}):
        raise ThemeError(f"{_ABOUT} of the theme '{name}' has unknown keys: {', '.join(unknown)}; known: base, zoom.")
    if base is not None and not isinstance(base, str):
        raise ThemeError(f"{_ABOUT} of the theme '{name}': base is the name of a theme.")
    if isinstance(zoom, bool) or not isinstance(zoom, int | float) or not _ZOOM[0] <= zoom <= _ZOOM[1]:
        raise ThemeError(f"{_ABOUT} of the theme '{name}': zoom is a number from {_ZOOM[0]} to {_ZOOM[1]}.")
    return _About(base, float(zoom))


def read_theme(name: str, folder: Path, depth: int = 1) -> Theme:
    """Return the theme in a folder; what it lacks comes from the theme that its theme.toml names as `base`.

    Links are not followed. Raises ThemeError if it is missing, too large, or restyles itself.
    """
    own, about = _own_files(name, folder), _about(name, folder)
    if about.base is None:
        return Theme(name, own, about.zoom)
    if depth >= _DEEPEST or about.base == name:
        raise ThemeError(f"The theme '{name}' restyles itself, or a chain of more than {_DEEPEST} themes.")
    base = load_theme(about.base, depth + 1)
    return Theme(name, {**base.files, **own}, about.zoom)


def _own_files(name: str, folder: Path) -> dict[str, bytes]:
    if not folder.is_dir():
        raise ThemeError(f"The theme '{name}' is no folder of files.")
    files: dict[str, bytes] = {}
    size = 0
    for path in sorted(folder.rglob("*")):
        if path.suffix.lower() not in _SUFFIXES or path.is_symlink() or not path.is_file():
            continue
        if not path.resolve().is_relative_to(folder.resolve()):
            continue
        size += path.stat().st_size
        if size > LARGEST_THEME or len(files) >= MOST_FILES:
            raise ThemeError(f"The theme '{name}' is larger than {LARGEST_THEME // 10**6} MB or {MOST_FILES} files.")
        files[path.relative_to(folder).as_posix()] = path.read_bytes()
    return files


def _folder(module: str) -> Path:
    """Locate a package, level by level, without running its code."""
    search: list[str] | None = None
    for level, part in enumerate(module.split("."), start=1):
        spec = PathFinder.find_spec(".".join(module.split(".")[:level]) if level == 1 else part, search)
        if spec is None or not spec.submodule_search_locations:
            raise ThemeError(f"The theme package '{module}' is not installed as a folder.")
        search = list(spec.submodule_search_locations)
    assert search is not None
    return Path(search[0])
