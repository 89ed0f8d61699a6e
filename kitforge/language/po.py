"""Reading gettext PO files: messages with their translations, plurals, and nothing that catalogues here do not need.

What is read is what the GNU gettext manual ("The Format of PO Files") describes: comments, `fuzzy` flags, msgid,
msgid_plural, msgstr, msgstr[n], strings in several lines with C escapes, obsolete entries. Messages with a context
(msgctxt) are refused. A catalogue may come with a plugin, so its size is bounded and a mistake is told with its line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from kitforge.model.errors import KitforgeError
from kitforge.model.record import record

LARGEST = 4 << 20
"""Bytes; the German catalogue of kitforge itself has a twelfth of it."""

_WORD = re.compile(r"(msgid|msgid_plural|msgctxt|msgstr(?:\[(?P<form>\d{1,2})\])?)\s+(?P<text>\".*)")
_STRING = re.compile(r'"((?:[^"\\]|\\.)*)"\s*')
_ESCAPE = re.compile(r"\\(.)")
_SIGNS = {"n": "\n", "t": "\t", "r": "\r", "a": "\a", "b": "\b", "f": "\f", "v": "\v", "\\": "\\", '"': '"'}


@record
class Catalogue:
    """Translations by message, and the forms of counted messages by their first wording. Fuzzy ones are left out."""

    texts: Mapping[str, str]
    plurals: Mapping[str, tuple[str, ...]]


@dataclass(slots=True)
class _Entry:
    """An entry while it is read: its strings by the word before them, the forms of a plural, whether it is a guess."""

    fuzzy: bool = False
    message: str | None = None
    plural: str | None = None
    forms: dict[int, str] = field(default_factory=dict)


def read_catalogue(data: bytes, name: str) -> Catalogue:
    """Return the translations of a PO file. Raises KitforgeError with `name` and line for one that cannot be read."""
    if len(data) > LARGEST:
        raise KitforgeError(f"{name}: a catalogue has at most {LARGEST >> 20} MB.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise KitforgeError(f"{name}: the file is not UTF-8 text.") from error
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for entry in _entries(text, name):
        if not entry.message or entry.fuzzy:
            continue  # the head of the file has an empty message
        if entry.plural is None:
            texts[entry.message] = entry.forms.get(0, "")
        else:
            plurals[entry.message] = tuple(entry.forms.get(form, "") for form in range(max(entry.forms) + 1))
    return Catalogue(texts, plurals)


def _entries(text: str, name: str) -> Iterator[_Entry]:
    """Yield the entries one by one; a new one begins with the first comment or `msgid` after a `msgstr`."""
    entry = _Entry()
    more: Callable[[str], None] | None = None
    for number, raw in enumerate(text.split("\n"), start=1):
        line = raw.strip()
        if not line or line.startswith("#~"):
            continue
        if entry.forms and (line.startswith("#") or line.startswith("msgid ")):
            yield entry
            entry, more = _Entry(), None
        if line.startswith("#"):
            entry.fuzzy |= line.startswith("#,") and "fuzzy" in line
            continue
        if line.startswith('"'):
            if more is None:
                raise _fault(name, number, "a text stands here without msgid or msgstr before it")
            more(_unquoted(line, name, number))
            continue
        more = _begun(entry, line, name, number)
    if entry.forms:
        yield entry


def _begun(entry: _Entry, line: str, name: str, number: int) -> Callable[[str], None]:
    """Begin a string of an entry; return what takes the lines that go on with it."""
    match = _WORD.fullmatch(line)
    if match is None:
        raise _fault(name, number, "neither a comment nor msgid, msgid_plural or msgstr with a text in quotes")
    word, text = match[1], _unquoted(match["text"], name, number)
    if word == "msgctxt":
        raise _fault(name, number, "messages with a context (msgctxt) are not read here")
    if word == "msgid":
        return _into(entry, "message", text)
    if word == "msgid_plural":
        return _into(entry, "plural", text)
    if entry.message is None:
        raise _fault(name, number, "a msgstr without a msgid before it")
    form = int(match["form"] or 0)
    entry.forms[form] = text

    def more(rest: str) -> None:
        entry.forms[form] += rest

    return more


def _into(entry: _Entry, name: str, text: str) -> Callable[[str], None]:
    setattr(entry, name, text)

    def more(rest: str) -> None:
        setattr(entry, name, getattr(entry, name) + rest)

    return more


def _unquoted(text: str, name: str, number: int) -> str:
    match = _STRING.fullmatch(text)
    if match is None:
        raise _fault(name, number, "a text that does not begin and end with a double quote")
    return _ESCAPE.sub(lambda found: _SIGNS.get(found[1], found[0]), match[1])


def _fault(name: str, number: int, what: str) -> KitforgeError:
    return KitforgeError(f"{name}:{number}: {what}.")
