"""plugins/README.md tells every hook, every finding code and every plugin as they are.

Run `python tests/packaging/test_plugin_page.py` to write the three lists anew.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pathlib
import pkgutil
import textwrap
from collections.abc import Iterator
from importlib.metadata import entry_points
from types import ModuleType

import pytest

from kitforge import hooks as hookspecs
from kitforge.model.findings import FindingType
from kitforge.plugins import load_plugins

PAGE = pathlib.Path(__file__).parents[2] / "plugins" / "README.md"
HOOKS = [name for name in vars(hookspecs) if name.startswith("kitforge_")]


def _own_points() -> list[str]:
    points = entry_points(group="kitforge")
    return sorted(point.value for point in points if point.dist and point.dist.name == "kitforge")


def _modules() -> Iterator[ModuleType]:
    for name in ("kitforge", *_own_points()):
        package = importlib.import_module(name)
        yield package
        for found in pkgutil.walk_packages(getattr(package, "__path__", []), f"{name}."):
            if not found.name.endswith("__main__"):
                yield importlib.import_module(found.name)


def _kinds() -> dict[str, set[FindingType]]:
    """Every kind of finding by its code; a set, so that two meanings of one code show."""
    found: dict[str, set[FindingType]] = {}
    for module in _modules():
        for kind in vars(module).values():
            if isinstance(kind, FindingType):
                found.setdefault(kind.code, set()).add(kind)
    return found


def _homes() -> dict[str, str]:
    homes: dict[str, str] = {}
    for module in _modules():
        source = pathlib.Path(module.__file__).read_text() if module.__file__ else ""
        for kind in (value for value in vars(module).values() if isinstance(value, FindingType)):
            if f'"{kind.code}"' in source:
                homes.setdefault(kind.code, module.__name__.partition(".")[0])
    return homes


def codes_list() -> str:
    """The table of finding codes, in order of their names."""
    homes = _homes()
    rows = [
        f"| `{code}` | {kind.severity} | {kind.about} | `{homes.get(code, 'kitforge')}` |"
        for code, kinds in sorted(_kinds().items())
        for kind in kinds
    ]
    return "\n".join(["| code | severity | meaning | from |", "|---|---|---|---|", *rows])


def hooks_list() -> str:
    """Every hook with its real signature and what its docstring says, in the order of hookspecs.py."""
    return "\n\n".join(f"### `{name}`\n\n{_signature(name)}\n\n{_words(name)}" for name in HOOKS)


def _signature(name: str) -> str:
    function = ast.parse(textwrap.dedent(inspect.getsource(getattr(hookspecs, name)))).body[0]
    assert isinstance(function, ast.FunctionDef)
    function.body, function.decorator_list = [ast.Expr(ast.Constant(...))], []
    return f"```python\n@hookimpl\n{ast.unparse(function).replace(chr(10) + '    ...', ' ...')}\n```"


def _words(name: str) -> str:
    function = getattr(hookspecs, name)
    text = inspect.cleandoc(function.__doc__ or "")
    first = "\n\nThe first plugin that does not return None is taken." if "firstresult=True" in _source(name) else ""
    return text + first


def _source(name: str) -> str:
    return inspect.getsource(hookspecs).partition(f"def {name}(")[0].rpartition("@hookspec")[2]


def plugins_list() -> str:
    """The table of shipped plugins: the first line of each docstring and the hooks it serves."""
    serves = {plugin.name: plugin.hooks for plugin in load_plugins().loaded}
    points = sorted(entry_points(group="kitforge"), key=lambda point: point.name)
    rows = [
        f"| `{point.name}` | {_first_line(point.value)} | {', '.join(f'`{hook}`' for hook in serves[point.name])} |"
        for point in points
        if point.dist and point.dist.name == "kitforge"
    ]
    return "\n".join(["| plugin | what it does | hooks |", "|---|---|---|", *rows])


def _first_line(module: str) -> str:
    return (importlib.import_module(module).__doc__ or "").strip().partition("\n")[0]


FILES = {
    "toml": "pyproject.toml",
    "code": "kitforge_weights/__init__.py",
    "template": "kitforge_weights/weights.html",
    "catalogue": "kitforge_weights/translations/de.po",
}
"""The files of the example by what they are called on the page."""

LANGUAGES = {"toml": "toml", "code": "python", "template": "html", "catalogue": "po"}
LISTS = {"hooks": hooks_list, "codes": codes_list, "plugins": plugins_list}


def _block(name: str, text: str) -> str:
    return f"<!-- {name} -->\n{text}\n<!-- end of {name} -->"


@pytest.mark.parametrize("name", LISTS)
def test_the_plugin_page_is_true(name: str) -> None:
    """Compared line by line with what the program itself says."""
    written = PAGE.read_text().partition(f"<!-- {name} -->\n")[2].partition(f"\n<!-- end of {name} -->")[0]
    assert written.splitlines() == LISTS[name]().splitlines()


def test_no_code_has_two_meanings() -> None:
    assert {code: kinds for code, kinds in _kinds().items() if len(kinds) > 1} == {}


def test_every_code_is_kebab_case_and_says_what_it_means() -> None:
    kinds = [kind for kinds in _kinds().values() for kind in kinds]
    assert {code for kind in kinds for code in (*kind.same_as, *kind.after)} <= set(_kinds())
    odd = [kind.code for kind in kinds if not kind.code.replace("-", "").isalnum() or kind.code != kind.code.lower()]
    assert (odd, [kind.code for kind in kinds if not kind.about.endswith(".")], len(kinds) > 40) == ([], [], True)


def test_every_hook_has_a_shipped_plugin_that_serves_it_or_extends_the_tables() -> None:
    """Tables, catalogues and rows of the worksheet come from plugins of others alone; the shipped ones are built in."""
    served = {hook for plugin in load_plugins().loaded for hook in plugin.hooks}
    assert set(HOOKS) - served <= {
        "kitforge_workshop",
        "kitforge_cutting_rows",
        "kitforge_kit_keys",
        "kitforge_catalogues",
    }


def test_every_shipped_plugin_says_at_its_top_what_it_does() -> None:
    assert [name for name in _own_points() if len((importlib.import_module(name).__doc__ or "").strip()) < 40] == []


def test_the_example_on_the_page_is_the_one_that_is_tested() -> None:
    example = PAGE.parents[1] / "tests" / "outside_plugin"
    page = PAGE.read_text()
    for file in FILES.values():
        assert (example / file).read_text().strip() in page


def write() -> None:
    """Write the three lists and the example into the page anew."""
    page = PAGE.read_text()
    example = PAGE.parents[1] / "tests" / "outside_plugin"
    for name, make in LISTS.items():
        page = _replaced(page, name, make())
    for name, file in FILES.items():
        page = _replaced(page, f"example {name}", f"```{LANGUAGES[name]}\n{(example / file).read_text().strip()}\n```")
    PAGE.write_text(page)


def _replaced(page: str, name: str, text: str) -> str:
    before, _, rest = page.partition(f"<!-- {name} -->")
    _, _, after = rest.partition(f"<!-- end of {name} -->")
    return before + _block(name, text) + after


if __name__ == "__main__":
    write()
