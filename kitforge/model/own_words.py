"""What an author wrote, in one language or in several.

A text of kit.yaml may be given in several languages (`title: {en: Lamp, de: Lampe}`). It travels as an ordinary text,
the one for all readers whose language has none of its own, and carries the others with it; where a document is made,
the kit and its plan are taken in the language of that document.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

FIRST_LANGUAGE = "en"
"""The language of a text that says nothing else."""

T = TypeVar("T")

_PLAIN = frozenset({str, int, float, bool, type(None)})


class OwnText(str):
    """A text of an author's. languages: the same in other languages, by their codes; empty where it was given once."""

    languages: Mapping[str, str]

    def __new__(cls, text: str, languages: Mapping[str, str] | None = None) -> OwnText:
        """Return a text with the same in other languages."""
        made = super().__new__(cls, text)
        made.languages = dict(languages or {})
        return made

    def said_in(self, code: str) -> str:
        """Return the text for readers of a language."""
        return self.languages.get(code, self)


def wordings(text: str) -> tuple[str, ...]:
    """Return a text in all languages in which it was given."""
    return tuple(text.languages.values()) if isinstance(text, OwnText) and text.languages else (text,)


def joined(form: str, *texts: str) -> OwnText:
    """Return texts put together in every language that one of them is given in. form: e.g. "{}, {}"."""
    codes = dict.fromkeys(code for text in texts if isinstance(text, OwnText) for code in text.languages)
    said = {code: form.format(*(_said_in(text, code) for text in texts)) for code in codes}
    return OwnText(form.format(*texts), said)


def _said_in(text: str, code: str) -> str:
    return text.said_in(code) if isinstance(text, OwnText) else text


def in_language(document: T, code: str) -> T:
    """Return a document of records with every author's text in the language of a reader.

    What holds no such text stays the same object; what stood in two places is one object again.
    """
    return _Reader(code).read(document)


class _Reader:
    """One walk through a document. Objects are known again by their identity; `kept` keeps them from being freed."""

    def __init__(self, code: str) -> None:
        self.code = code
        self.found: dict[int, object] = {}
        self.kept: list[object] = []

    def read(self, value: T) -> T:
        """Return a value in the language."""
        # most of what a plan holds are numbers and plain texts, asked for a hundred thousand times in a build
        if type(value) in _PLAIN:
            return value
        known = self.found.get(id(value))
        if known is not None:
            return known  # type: ignore[return-value]
        made = self._made(value)
        self.found[id(value)] = made
        self.kept.append(value)
        return made  # type: ignore[no-any-return]

    def _made(self, value: Any) -> Any:  # noqa: ANN401 - any record of a kit or a plan
        if isinstance(value, OwnText):
            return value.said_in(self.code)
        if isinstance(value, tuple | list):
            return self._several(value)
        if isinstance(value, Mapping):
            read = {key: self.read(one) for key, one in value.items()}
            return value if all(read[key] is one for key, one in value.items()) else read
        changed = {}
        kind: type = type(value)
        for name in _names(kind):
            one = getattr(value, name)
            read_one = self.read(one)
            if read_one is not one:
                changed[name] = read_one
        return replace(value, **changed) if changed else value

    def _several(self, values: Any) -> Any:  # noqa: ANN401 - a tuple, a named one, or a list
        read = [self.read(one) for one in values]
        if all(new is old for new, old in zip(read, values, strict=True)):
            return values
        if isinstance(values, list):
            return read
        return type(values)(*read) if hasattr(values, "_fields") else tuple(read)


@lru_cache(maxsize=1024)
def _names(kind: type) -> tuple[str, ...]:
    """Return the fields of a class of records that it is made from; none for other classes."""
    return tuple(field.name for field in fields(kind) if field.init) if is_dataclass(kind) else ()
