"""What the pages for developers name is there: modules, folders, links."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
ROOMS = ("kitforge", "plugins", "templates", "kits")
PAGES = [
    TOP / "README.md",
    TOP / "DEVELOPERS.md",
    *(
        page
        for room in ("kitforge", "plugins", "templates", "kits")
        for page in sorted(TOP.glob(f"{room}/**/README.md"))
    ),
]
MODULE = re.compile(r"[\w./]+\.py")
LINK = re.compile(r"\]\((?!\w+:)([^)#\s]+)")
ALL = {path.name for room in ("kitforge", "plugins", "tests") for path in TOP.glob(f"{room}/**/*.py")}


def modules_of(page: Path) -> set[str]:
    """The modules that a page names in its tables, commands and sentences."""
    return set(MODULE.findall(page.read_text(encoding="utf-8")))


def is_there(name: str, page: Path) -> bool:
    """Whether a module is where it is said to be: from the page, the top or a room; by its bare name in the room."""
    folders = [page.parent, TOP, TOP / "kitforge", TOP / "plugins", TOP / "tests", TOP / "tests" / "outside_plugin"]
    if any((folder / name).is_file() for folder in folders):
        return True
    if "/" in name:
        return False
    own = {path.name for path in page.parent.glob("**/*.py")}
    return name in (ALL if page.parent == TOP else own)


def named(page: Path) -> str:
    return str(page.relative_to(TOP))


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_modules_that_a_page_names_are_there(page: Path) -> None:
    assert sorted(name for name in modules_of(page) if not is_there(name, page)) == []


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_of_a_page_lead_somewhere(page: Path) -> None:
    links = LINK.findall(page.read_text(encoding="utf-8"))
    assert [link for link in links if not (page.parent / link).exists()] == []


@pytest.mark.parametrize("room", ["geometry", "drawings", "surface", "report"])
def test_every_module_of_a_room_stands_on_its_page(room: str) -> None:
    """Of rooms whose page has a table of modules, or a line for each."""
    page = TOP / "kitforge" / room / "README.md"
    told = page.read_text(encoding="utf-8")
    modules = {path.name for path in page.parent.glob("*.py")} - {"__init__.py"}
    assert sorted(name for name in modules if name not in told) == []
