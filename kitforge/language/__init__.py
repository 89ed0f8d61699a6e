"""The language of print: fixed text in catalogues, numbers as the language writes them.

English is the source: `say("Cut {count} tabs.", count=3)` is both the text and its key. Other languages are gettext
catalogues in `catalogues/`, one PO file each. What is being written is chosen with `use_language("de")`.
What records carry is a message (`kitforge.model.messages`), which `render_text` writes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from kitforge.language.po import read_catalogue
from kitforge.model.errors import KitforgeError
from kitforge.model.messages import Text, Wording, small_start
from kitforge.model.messages import later as later
from kitforge.model.own_words import OwnText

SOURCE_LANGUAGE = "en"
_CATALOGUES = Path(__file__).parent / "catalogues"

_ABOUT = {"de": ("German", ",")}
"""Of every language: its name in English and its decimal sign (Unicode Common Locale Data Repository)."""

_of_plugins: dict[str, Path] = {}
"""The folders with the catalogues of the plugins that are loaded in this process."""


_SMALL_NUMBERS = (
    later("no"), later("one"), later("two"), later("three"), later("four"), later("five"), later("six"),
    later("seven"), later("eight"), later("nine"),
)  # fmt: skip
_CAPITAL_NOUNS = frozenset({"de"})


@dataclass(frozen=True)
class Language:
    """A language of print: its name in English, decimal sign, translations, and (one, many) of counted messages."""

    code: str
    name: str
    point: str = "."
    texts: Mapping[str, str] = field(default_factory=dict)
    plurals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def text(self, message: str) -> str:
        """Return the translation of a message, or the message itself where there is none."""
        return self.texts.get(message) or message

    def counted(self, one: str, many: str, count: float) -> str:
        """Return the wording for a count. Both languages here know one and many; others need their own rule."""
        forms = self.plurals.get(one)
        wording = forms if forms and all(forms) else (one, many)
        return wording[0] if count == 1 else wording[1]

    def wording(self, units: str = "mm") -> Wording:
        """Return how messages are written in this language, lengths in 'mm' or 'in'."""
        return Wording(self.text, self.counted, self.point, units, self.code in _CAPITAL_NOUNS, self.code)


ENGLISH = Language(SOURCE_LANGUAGE, "English")


class _Figure(float):
    """A number that writes itself with the decimal sign of the language."""

    def __format__(self, spec: str) -> str:
        return decimal(super().__format__(spec))


_in_use: ContextVar[Language] = ContextVar("in use", default=ENGLISH)


def current_language() -> Language:
    """Return the language that is being written."""
    return _in_use.get()


@contextmanager
def use_language(code: str) -> Iterator[Language]:
    """Write in another language for a while. Raises KitforgeError for a language without a catalogue."""
    token = _in_use.set(language(code))
    try:
        yield _in_use.get()
    finally:
        _in_use.reset(token)


def say(message: str, /, **values: object) -> str:
    """Return a message in the language that is being written, with `values` in its named places.

    Numbers get the decimal sign of the language, whether or not a place says how to write them: {warm:.1f}.
    """
    text = _in_use.get().text(message)
    return _filled(text, values) if values else text


def say_many(one: str, many: str, count: float, /, **values: object) -> str:
    """Return the wording for `count` things, with the count in the place {count} and `values` in theirs."""
    return _filled(_in_use.get().counted(one, many, count), {"count": count, **values})


def say_counted(one: str, many: str, count: int, /, **values: object) -> str:
    """Return the wording for `count` things, with small counts in words: 'one tab', 'four tabs', '12 tabs'."""
    number = say_as(_SMALL_NUMBERS[count]) if 0 <= count < len(_SMALL_NUMBERS) else str(count)
    return _filled(_in_use.get().counted(one, many, count), {"count": number, **values})


def _filled(text: str, values: Mapping[str, object]) -> str:
    return text.format(
        **{name: _Figure(value) if isinstance(value, float) else value for name, value in values.items()}
    )


class FixedText(OwnText):
    """A text of ours where an author's stands elsewhere, as the title of a trial piece: said as the catalogues have it.

    Its English is a key of theirs: FixedText(later("Fit coupon")).
    """

    def said_in(self, code: str) -> str:
        """Return the text for readers of a language."""
        return language(code).text(str(self))


def say_as(text: str, /) -> str:
    """Return a text from the tables (a finish, a caution), or one marked with `later`, in the language of print."""
    return _in_use.get().text(text)


def render_text(text: Text, /) -> str:
    """Return a message in the language being written, lengths in mm; what an author wrote stays as it is."""
    return _in_use.get().wording().write(text)


def capital(text: str, /) -> str:
    """Return a text with a capital at its start."""
    return text[:1].upper() + text[1:]


def inside(name: str, /) -> str:
    """Return a name as it is written inside a sentence: with a small letter, but for initials and German nouns."""
    return name if _in_use.get().code in _CAPITAL_NOUNS else small_start(name)


def decimal(text: str) -> str:
    """Return a number written with a point as the language writes it."""
    point = _in_use.get().point
    return text if point == "." else text.replace(".", point)


def file_stem(stem: str) -> str:
    """Return the stem of a file's name, marked with the language being written unless that is English."""
    code = _in_use.get().code
    return stem if code == SOURCE_LANGUAGE else f"{stem}-{code}"


def languages() -> tuple[str, ...]:
    """Return the codes of all languages there are, English first."""
    return (SOURCE_LANGUAGE, *sorted(file.stem for file in _CATALOGUES.glob("*.po") if file.stem in _ABOUT))


def use_catalogues(folders: Mapping[str, Path]) -> None:
    """Read the catalogues of plugins as well, from now on in this process. folders: by the plugins' names."""
    if dict(folders) != _of_plugins:
        _of_plugins.clear()
        _of_plugins.update(folders)
        language.cache_clear()


@cache
def language(code: str) -> Language:
    """Return a language with its catalogues; what kitforge says itself, no plugin translates otherwise.

    Raises KitforgeError, naming the languages there are, for an unknown one; with file and line for a catalogue that
    cannot be read.
    """
    if code == SOURCE_LANGUAGE:
        return ENGLISH
    if code not in languages():
        raise KitforgeError(f"There is no language '{code}'; there are: {', '.join(languages())}.")
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for owner, folder in [*sorted(_of_plugins.items()), ("", _CATALOGUES)]:
        path = folder / f"{code}.po"
        if owner and not path.is_file():
            continue
        found = read_catalogue(path.read_bytes(), f"{path.name} of the plugin '{owner}'" if owner else path.name)
        texts |= found.texts
        plurals |= found.plurals
    name, point = _ABOUT[code]
    return Language(code, name, point, texts, plurals)
