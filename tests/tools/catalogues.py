"""Every message there is to translate: from the code, the templates and the workshop tables.

    python tests/tools/catalogues.py          # brings every catalogue up to date and says what is missing

Run it from the top folder of the project after a text has changed, then fill in what is empty in the PO files.
"""

from __future__ import annotations

import ast
import io
import re
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, get_args

from kitforge.cutting.worksheet.program import settings_sheet
from kitforge.cutting.worksheet.rows import LimitRow, ToldRow
from kitforge.definition.schema import KitEntry
from kitforge.language import language, languages
from kitforge.model.settings import CutDirection, CutterKind, DirectionReason, Manner, Substrate
from kitforge.model.workshop import HoldKind

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog

_IN_CODE = {
    "say": 1, "say_as": 1, "later": 1, "say_many": 2, "say_counted": 2, "msg": 1, "msg_many": 2, "term": 1,
}  # fmt: skip
_WORD_ENUMS: tuple[type[StrEnum], ...] = (CutterKind, Substrate, Manner, HoldKind, CutDirection, DirectionReason)
_IN_TEMPLATES = {"_": None, "gettext": None, "ngettext": (1, 2)}
FOLDERS = ("kitforge", "plugins", "templates")
_TABLE_FIELDS = (
    "name", "about", "cautions", "before", "coat", "after", "detail", "food_contact", "collet_text", "dust_effects",
)  # fmt: skip


def collect(top: Path) -> Catalog:
    """Return a catalogue of all messages under the project's folders, sorted, without places."""
    from babel.messages.catalog import Catalog

    catalog = Catalog(project="kitforge", charset="utf-8", fuzzy=False)
    others = (*_from_tables(), *_from_worksheet(), *_words(), *(language(code).name for code in languages()))
    for message in [*_from_files(top), *others]:
        catalog.add(message, flags=())
    return catalog


def _from_files(top: Path) -> Iterator[str | tuple[str, ...]]:
    from babel.messages.extract import extract

    for folder in FOLDERS:
        for path in sorted((top / folder).rglob("*")):
            if path.suffix == ".py":
                yield from _from_code(path.read_text("utf-8"))
            elif path.suffix == ".html":
                options = {"trimmed": "true", "newstyle_gettext": "true"}
                found = extract("jinja2.ext:babel_extract", io.BytesIO(path.read_bytes()), _IN_TEMPLATES, (), options)
                yield from (message for _line, message, _comments, _context in found)


def _from_code(source: str) -> Iterator[str | tuple[str, ...]]:
    """Yield what is said and what messages are made of; modules that import neither may use the names otherwise."""
    if "kitforge.language" not in source and "kitforge.model.messages" not in source:
        return
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _IN_CODE:
            texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
            if len(texts) == _IN_CODE[node.func.id] and (node.func.id.startswith("say") or any(map(_has_words, texts))):
                yield texts[0] if len(texts) == 1 else tuple(texts)


def _has_words(text: str) -> bool:
    """Return whether there is anything to translate beside the places."""
    return any(sign.isalpha() for sign in re.sub(r"\{[^{}]*\}", "", text))


def _words() -> Iterator[str]:
    """Yield key words that are printed: kinds of cutters, how they go down, what holds, skills."""
    for words in _WORD_ENUMS:
        yield from (word.value for word in words)
    yield from get_args(KitEntry.model_fields["skill"].annotation)


def _from_worksheet() -> Iterator[str]:
    """Yield the words of limits, and what helps; messages of the worksheet are collected from its generated code."""
    sheet = settings_sheet().sheet
    for entry in sheet.entries:
        if isinstance(entry, LimitRow):
            yield entry.words
        if isinstance(entry, ToldRow):
            yield from entry.helps
    for helps in sheet.helps.values():
        yield from helps


def _from_tables() -> Iterator[str]:
    from kitforge.workshop.bench import bench
    from kitforge.workshop.load import load_workshop

    workshop = load_workshop()
    for table in (workshop.materials, workshop.machines, workshop.hold_downs, workshop.finishes, bench()):
        for record in table.values():
            yield from _texts(record)


def _texts(record: object) -> Iterator[str]:
    assert is_dataclass(record)
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name in _TABLE_FIELDS and value:
            yield from (value,) if isinstance(value, str) else map(str, value)


def missing(catalog: Catalog) -> list[str]:
    """Return the messages of a catalogue that have no translation."""
    found = []
    for message in catalog:
        strings = message.string if isinstance(message.string, tuple | list) else (message.string,)
        if message.id and (message.fuzzy or not all(strings)):
            found.append(str(message.id))
    return found


def update(top: Path) -> dict[str, list[str]]:
    """Bring every PO file up to date with the messages there are; return what each lacks."""
    template, lacking = collect(top), {}
    for path in sorted((top / "kitforge/language/catalogues").glob("*.po")):
        data, lacking[path.stem] = refreshed(path.read_bytes(), path.stem, template)
        path.write_bytes(data)
    return lacking


def refreshed(data: bytes, code: str, template: Catalog) -> tuple[bytes, list[str]]:
    """Return a PO file with the messages of `template`, and those that it does not translate."""
    from babel.messages.pofile import read_po, write_po

    catalog = read_po(io.BytesIO(data), locale=code)
    catalog.update(template, no_fuzzy_matching=True)
    catalog.obsolete.clear()
    catalog.project, catalog.last_translator, catalog.msgid_bugs_address = "kitforge", "", ""
    catalog.language_team = ""
    buffer = io.BytesIO()
    write_po(buffer, catalog, sort_output=True, width=110, omit_header=False, no_location=True)
    lines = (line for line in buffer.getvalue().splitlines() if not _dated(line))
    return b"\n".join(lines) + b"\n", missing(catalog)


def _dated(line: bytes) -> bool:
    """Whether a line of a catalogue's head would change with the day or the version of Babel."""
    return b"-Date: " in line or b"Generated-By: " in line


def main() -> int:
    """Update the catalogues and print what is missing; return 1 if anything is."""
    lacking = update(Path.cwd())
    for code, messages in lacking.items():
        print(f"{code}: {len(messages)} of the messages lack a translation")
        for message in messages:
            print(f"  {message}")
    return int(any(lacking.values()))


if __name__ == "__main__":
    sys.exit(main())
