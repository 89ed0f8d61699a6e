"""File names that every common system can unpack: which are refused, and why, in plain words."""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST_PART = 60
LONGEST_NAME = 120

_PART = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"] + [f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)]
)


def name_problem(name: str) -> str | None:
    """Return why a pack cannot hold a file of this relative name, or None when every system can unpack it.

    Forward slashes only (PKWARE APPNOTE 4.4.17); reserved device names and trailing dots after "Naming Files, Paths,
    and Namespaces" (Windows developer documentation); the two length limits are common practice, no source.
    """
    if len(name) > LONGEST_NAME:
        return f"it has {len(name)} characters, more than {LONGEST_NAME}"
    for part in name.split("/"):
        if problem := _part_problem(part):
            return problem
    return None


def _part_problem(part: str) -> str | None:
    if not part or set(part) == {"."}:
        return "it has an empty part or points outside the pack"
    if not _PART.fullmatch(part):
        return f"'{part}' has signs other than a-z, A-Z, 0-9, '.', '_' and '-', or starts with one of the last three"
    if part.endswith("."):
        return f"'{part}' ends with a dot, which Windows drops"
    if len(part) > LONGEST_PART:
        return f"'{part}' has {len(part)} characters, more than {LONGEST_PART}"
    stem = part.partition(".")[0]
    if stem.casefold() in _DEVICES:
        return f"Windows keeps the name '{stem}' for a device"
    return None


def clashes(names: Iterable[str]) -> list[str]:
    """Return why names cannot lie side by side: equal but for case, or a file where another needs a folder."""
    seen: dict[str, str] = {}
    problems = []
    for name in names:
        key = name.casefold()
        if key in seen:
            problems.append(f"'{name}' and '{seen[key]}' are one name where case does not count")
        seen.setdefault(key, name)
    for key, name in seen.items():
        parents = [key[:i] for i, sign in enumerate(key) if sign == "/"]
        problems += [
            f"'{seen[parent]}' is a file, and '{name}' needs it as a folder" for parent in parents if parent in seen
        ]
    return problems
