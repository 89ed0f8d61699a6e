"""The rules of the house, each as a function that yields what breaks it today, one line a violation."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from imports import ROOT, arrows, circles, imports, modules, room_of, rooms, tree

MOST_LINES = 400
_BY_PROCESSOR = frozenset(
    {"arctan", "arcsin", "arccos", "tan", "exp", "expm1", "log", "log2", "log10", "log1p", "power"}
)
"""What NumPy works out by other steps where the processor has wide registers, in numbers of 64 bits."""
_SHORT = frozenset({"sin", "cos"})
"""The same in numbers of 32 bits, in which pictures are painted."""
_PAINTED = ("kitforge.pictures.shaded", "kitforge.pictures.studio", "kitforge.surface")
_CLOCKS = frozenset({"monotonic", "perf_counter", "time", "perf_counter_ns", "monotonic_ns"})


def modules_without_a_room() -> Iterator[str]:
    """Every module of kitforge/ stands in the table of rooms."""
    top = ("kitforge", "kitforge.__main__")
    yield from (
        name for name in modules() if name.startswith("kitforge.") and name not in top and room_of(name) is None
    )


def rooms_without_a_module() -> Iterator[str]:
    """Every room of the table is there."""
    known = modules()
    yield from (name for room in rooms() for name in room.names if name not in known)


def upward_arrows() -> Iterator[str]:
    """A room imports only what the table's third column allows."""
    allowed = {room.title: room.may for room in rooms()}
    for own, other in sorted(arrows()):
        if other not in allowed[own]:
            yield f"{_short(own)} -> {_short(other)}"


def module_circles() -> Iterator[str]:
    """No two modules import one another, however many steps it takes."""
    yield from (" <-> ".join(group) for group in circles())


def plugins_named_in_the_core() -> Iterator[str]:
    """No name of a shipped plugin or its package appears in kitforge/."""
    own = {path.name for path in (ROOT / "plugins").glob("kitforge_*")}
    for name, path in modules().items():
        if name.startswith("kitforge."):
            words = {word for node in ast.walk(tree(path)) for word in _texts(node)}
            told = {plugin for plugin in own for word in words if plugin in word}
            told |= {"booklet" for word in words if word == "booklet" or word.startswith("booklet-")}
            yield from (f"{name} names {plugin}" for plugin in sorted(told))


def plugins_that_import_each_other() -> Iterator[str]:
    """A plugin imports kitforge, itself and libraries."""
    for name, wanted in imports().items():
        package = name.partition(".")[0]
        others = {one.partition(".")[0] for one in wanted} - {"kitforge", package}
        if package.startswith("kitforge_"):
            yield from (f"{package} imports {other}" for other in sorted(others))


def kitforge_that_imports_plugins() -> Iterator[str]:
    """Nothing in kitforge/ imports a plugin or a theme."""
    for name, wanted in imports().items():
        if name.startswith("kitforge."):
            yield from (f"{name} imports {one}" for one in sorted(wanted) if one.startswith("kitforge_"))


def large_modules() -> Iterator[str]:
    """A module has no more than 400 lines, but for one that is generated and says so in its first lines."""
    for name, path in modules().items():
        text = path.read_text(encoding="utf-8")
        if text.count("\n") > MOST_LINES and "generated" not in text[:400].lower():
            yield name


def figures_that_depend_on_the_processor() -> Iterator[str]:
    """Nothing asks NumPy for what comes out otherwise in its last bits on another processor (NumPy issue 23523)."""
    for name, path in modules().items():
        banned = _BY_PROCESSOR | (_SHORT if name.startswith(_PAINTED) else frozenset())
        asked = {
            node.attr for node in ast.walk(tree(path)) if isinstance(node, ast.Attribute) and _is_numpy(node.value)
        }
        yield from (f"{name} asks for np.{one}" for one in sorted(asked & banned))


def _is_numpy(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id == "np"


def clocks_in_asserts() -> Iterator[str]:
    """No test asserts how long something took by a clock; bounds are those of a process."""
    for path in sorted((ROOT / "tests").rglob("*.py")):
        if "time." not in path.read_text(encoding="utf-8"):
            continue
        for function in ast.walk(tree(path)):
            if isinstance(function, ast.FunctionDef) and _asserts_a_clock(function):
                yield f"{path.relative_to(ROOT).as_posix()}: {function.name}"


def twin_classes() -> Iterator[str]:
    """The name of a public class means one thing in the whole project."""
    found: dict[str, set[str]] = defaultdict(set)
    for name, path in modules().items():
        for node in tree(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].add(name)
    yield from (f"{name} in {', '.join(sorted(places))}" for name, places in sorted(found.items()) if len(places) > 1)


def _short(title: str) -> str:
    return title.replace("`", "").replace("kitforge/", "").rstrip("/").split(",")[0]


def _texts(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n" not in node.value:
        yield node.value


def _asserts_a_clock(function: ast.FunctionDef) -> bool:
    timed = {
        target.id
        for node in ast.walk(function)
        if isinstance(node, ast.Assign) and _reads_a_clock(node.value)
        for target in _targets(node)
    }
    return any(
        _reads_a_clock(node.test) or {n.id for n in ast.walk(node.test) if isinstance(n, ast.Name)} & timed
        for node in ast.walk(function)
        if isinstance(node, ast.Assert)
    )


def _targets(node: ast.Assign) -> Iterator[ast.Name]:
    yield from (name for target in node.targets for name in ast.walk(target) if isinstance(name, ast.Name))


def _reads_a_clock(node: ast.AST) -> bool:
    calls = (one.func for one in ast.walk(node) if isinstance(one, ast.Call))
    return any(
        isinstance(call, ast.Attribute)
        and call.attr in _CLOCKS
        and isinstance(call.value, ast.Name)
        and call.value.id == "time"
        for call in calls
    )


Rule = Callable[[], Iterator[str]]
RULES: Mapping[str, Rule] = MappingProxyType(
    {
        rule.__name__.replace("_", " "): rule
        for rule in (
            modules_without_a_room,
            rooms_without_a_module,
            upward_arrows,
            module_circles,
            plugins_named_in_the_core,
            plugins_that_import_each_other,
            kitforge_that_imports_plugins,
            large_modules,
            twin_classes,
            clocks_in_asserts,
            figures_that_depend_on_the_processor,
        )
    }
)


def known(path: Path) -> dict[str, set[str]]:
    """Return the violations that are known, by rule, from a file of sections."""
    found: dict[str, set[str]] = {name: set() for name in RULES}
    section = ""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            section = line.removeprefix("## ")
        elif line.startswith("- "):
            found[section].add(line.removeprefix("- "))
    return found
