"""File names that every common system can unpack: which are refused, and why, in plain words."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kitforge.model.messages import Message, msg

LONGEST_PART = 60
LONGEST_NAME = 120

_PART = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"] + [f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)]
)


def pack_name(slug: str, version: str, own: str | None = None, size: str = "", order: str = "") -> str:
    """Return the name of a pack's zip without its ending, and of the folder in it.

    own: of a reader's files; size: of a kit that has sizes; order: what names a single order.
    """
    return "-".join(one for one in (slug, version, size, order, own) if one)


def name_problem(name: str) -> Message | None:
    """Return why a pack cannot hold a file of this relative name, or None when every system can unpack it.

    Forward slashes only (PKWARE APPNOTE 4.4.17); reserved device names and trailing dots after "Naming Files, Paths,
    and Namespaces" (Windows developer documentation); the two length limits are common practice, no source.
    """
    if len(name) > LONGEST_NAME:
        return msg("it has {count} characters, more than {most}", count=len(name), most=LONGEST_NAME)
    for part in name.split("/"):
        if problem := _part_problem(part):
            return problem
    return None


def _part_problem(part: str) -> Message | None:
    if not part or set(part) == {"."}:
        return msg("it has an empty part or points outside the pack")
    if not _PART.fullmatch(part):
        return msg(
            "'{part}' has characters other than a-z, A-Z, 0-9, '.', '_' and '-', or starts with one of the last three",
            part=part,
        )
    if part.endswith("."):
        return msg("'{part}' ends with a dot, which Windows drops", part=part)
    if len(part) > LONGEST_PART:
        return msg("'{part}' has {count} characters, more than {most}", part=part, count=len(part), most=LONGEST_PART)
    stem = part.partition(".")[0]
    if stem.casefold() in _DEVICES:
        return msg("Windows keeps the name '{stem}' for a device", stem=stem)
    return None


def clashes(names: Iterable[str]) -> list[Message]:
    """Return why names cannot lie side by side: equal but for case, or a file where another needs a folder."""
    seen: dict[str, str] = {}
    problems: list[Message] = []
    for name in names:
        key = name.casefold()
        if key in seen:
            problems.append(
                msg("'{one}' and '{other}' are one name where case does not count", one=name, other=seen[key])
            )
        seen.setdefault(key, name)
    for key, name in seen.items():
        parents = [key[:i] for i, sign in enumerate(key) if sign == "/"]
        problems += [
            msg("'{one}' is a file, and '{other}' needs it as a folder", one=seen[parent], other=name)
            for parent in parents
            if parent in seen
        ]
    return problems
