"""Who imports whom: read from the source, without importing anything."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
_TOPS = {"kitforge": ROOT, "plugins": ROOT / "plugins", "templates": ROOT / "templates"}


@dataclass(frozen=True, slots=True)
class Room:
    """A room of the table in DEVELOPERS.md: its modules begin with one of `names`; rooms that it may import."""

    title: str
    names: tuple[str, ...]
    may: frozenset[str]


@cache
def modules() -> dict[str, Path]:
    """Return every module of the project that is shipped, by its dotted name."""
    found = {}
    for top in _TOPS.values():
        for path in sorted(top.glob("kitforge*/**/*.py")):
            parts = path.relative_to(top).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def tree(path: Path) -> ast.Module:
    """Return the syntax tree of a file."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imports() -> Mapping[str, frozenset[str]]:
    """Return which modules of ours each module imports, wherever in it and for whatever reason."""
    known = modules()
    found = {}
    for name, path in known.items():
        wanted = set()
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Import):
                wanted |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                wanted |= {_meant(node.module, alias.name) for alias in node.names}
        found[name] = frozenset(one for one in wanted if one in known and one != name)
    return found


def _meant(module: str, name: str) -> str:
    return f"{module}.{name}" if f"{module}.{name}" in modules() else module


def circles() -> list[tuple[str, ...]]:
    """Return the groups of modules that import one another, by Tarjan's algorithm (strongly connected components)."""
    graph, index, low, stack = imports(), dict[str, int](), dict[str, int](), list[str]()
    found: list[tuple[str, ...]] = []

    def visit(name: str) -> None:
        index[name] = low[name] = len(index)
        stack.append(name)
        for other in sorted(graph[name]):
            if other not in index:
                visit(other)
                low[name] = min(low[name], low[other])
            elif other in stack:
                low[name] = min(low[name], index[other])
        if low[name] == index[name]:
            cut = stack.index(name)
            group = tuple(sorted(stack[cut:]))
            del stack[cut:]
            if len(group) > 1:
                found.append(group)

    for name in graph:
        if name not in index:
            visit(name)
    return sorted(found)


# ---------------------------------------------------------------------------------------------------------- rooms


@cache
def rooms() -> tuple[Room, ...]:
    """Return the rooms of the table in DEVELOPERS.md, in its order, with what its third column allows."""
    found: list[Room] = []
    for first, _holds, third in _rows():
        names = tuple(_names(first))
        if names:
            found.append(Room(first, names, _allowed(third, found)))
    return tuple(found)


def room_of(module: str) -> Room | None:
    """Return the room of a module; None for one that the table does not name."""
    fits = [(len(name), room) for room in rooms() for name in room.names if f"{module}.".startswith(f"{name}.")]
    return max(fits, key=lambda fit: fit[0], default=(0, None))[1]


def _rows() -> Iterator[tuple[str, str, str]]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("| room | holds | may import |") :].split("\n\n", 1)[0]
    for line in table.splitlines()[2:]:
        first, holds, third = (cell.strip() for cell in line.strip("|").split("|"))
        yield first, holds, third


def _names(cell: str) -> Iterator[str]:
    """Yield the dotted names of a cell such as '`kitforge/model/kit.py`, `plan.py`'; none for plugins and tests."""
    for quoted in re.findall(r"`([^`]+)`", cell):
        if "<" in quoted or quoted.startswith(("tests", "kits")):
            return
        path = quoted if quoted.startswith("kitforge/") else f"kitforge/{quoted}"
        yield path.removesuffix(".py").rstrip("/").replace("/", ".")


def _allowed(cell: str, above: list[Room]) -> frozenset[str]:
    """Return the titles of the rooms that a cell of the third column allows."""
    titles = [room.title for room in above]
    named = {name for quoted in re.findall(r"`([^`]+)`", cell) for name in (quoted.rstrip("/"),)}
    found = {room.title for room in above if {name.rpartition(".")[2] for name in room.names} & named}
    if "the ground" in cell:
        found.add(titles[0])
    if re.search(r"the (above|pipeline)", cell):
        found |= set(titles)
    for word, last in (("the records", "kitforge.model.plan"), ("the stages", "kitforge.stages")):
        if word in cell:
            found |= _up_to(last, above)
    return frozenset(found)


def _up_to(last: str, above: list[Room]) -> set[str]:
    end = next(index for index, room in enumerate(above) if last in room.names)
    return {room.title for room in above[: end + 1]}


def arrows() -> dict[tuple[str, str], list[str]]:
    """Return which room imports which, by their titles, with the imports; rooms of their own and none left out."""
    found: dict[tuple[str, str], list[str]] = {}
    for module, wanted in imports().items():
        own = room_of(module)
        for other in sorted(wanted):
            room = room_of(other)
            if own and room and own is not room:
                found.setdefault((own.title, room.title), []).append(f"{module} -> {other}")
    return found


def floors() -> int:
    """Return how many rooms stand on one another at most, circles counted once."""
    below: dict[str, set[str]] = {}
    for own, other in arrows():
        below.setdefault(own, set()).add(other)

    def height(title: str, seen: frozenset[str]) -> int:
        return 1 + max((height(one, seen | {title}) for one in below.get(title, ()) if one not in seen), default=0)

    return max(height(room.title, frozenset()) for room in rooms())
