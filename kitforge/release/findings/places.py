"""Where a finding is, as a repository names it: paths relative to its root, with forward slashes."""

from __future__ import annotations

from pathlib import Path, PurePath

from kitforge.release.findings.rows import KitResult, WordedFinding


def repository_root(start: Path) -> Path:
    """Return the nearest folder, from `start` upward, that holds `.git`; `start` itself where none does."""
    start = start.resolve()
    return next((one for one in (start, *start.parents) if (one / ".git").exists()), start)


def path_in(root: Path, result: KitResult, row: WordedFinding | None = None) -> str:
    """Return the path of a kit's folder, or of the file that a finding is about, relative to `root` if it is inside."""
    folder = result.folder.resolve()
    inside = row is not None and (row.source.line > 0 or row.source.file != result.folder.name)
    path: PurePath = folder / row.source.file if row is not None and inside else folder
    return (path.relative_to(root) if path.is_relative_to(root) else path).as_posix()
