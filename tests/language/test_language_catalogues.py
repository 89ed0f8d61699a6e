"""Every catalogue says everything that print says: nothing missing, nothing left over, no place lost."""

from __future__ import annotations

import ast
import io
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po
from catalogues import collect, missing, refreshed

from kitforge.language import languages
from kitforge.print.fonts import shipped_characters

TOP = Path(__file__).parents[2]
CATALOGUES = TOP / "kitforge" / "language" / "catalogues"
TRANSLATED = languages()[1:]
SIGNAL_WORDS = {"DANGER": "GEFAHR", "WARNING": "WARNUNG", "CAUTION": "VORSICHT", "NOTICE": "HINWEIS"}
_PLACE = re.compile(r"%\(\w+\)s|\{[^{}]*\}")


@pytest.fixture(scope="module")
def said() -> Catalog:
    """Every message that there is now."""
    return collect(TOP)


@pytest.fixture(params=TRANSLATED)
def catalogue(request: pytest.FixtureRequest) -> Catalog:
    return read_po(io.BytesIO((CATALOGUES / f"{request.param}.po").read_bytes()), locale=request.param)


def _keys(catalogue: Catalog) -> set[str]:
    return {_both(message.id)[0] for message in catalogue if message.id}


def _both(texts: str | tuple[str, ...] | list[str] | None) -> tuple[str, ...]:
    return (texts,) if isinstance(texts, str) else tuple(texts or ())


def _pairs(catalogue: Catalog) -> Iterator[tuple[str, str]]:
    for message in catalogue:
        if message.id:
            yield from zip(_both(message.id), _both(message.string), strict=True)


def test_there_is_a_german_catalogue() -> None:
    assert "de" in TRANSLATED


def test_every_message_is_in_the_catalogue(said: Catalog, catalogue: Catalog) -> None:
    """To mend it: python tests/tools/catalogues.py, then translate what it names."""
    assert sorted(_keys(said) - _keys(catalogue)) == []


def test_no_message_of_the_catalogue_is_left_over(said: Catalog, catalogue: Catalog) -> None:
    """To mend it: python tests/tools/catalogues.py."""
    assert sorted(_keys(catalogue) - _keys(said)) == []
    assert list(catalogue.obsolete) == []


def test_every_message_is_translated_and_none_is_a_guess(catalogue: Catalog) -> None:
    """`untranslated.txt` lists findings that are told in English still; it may only become shorter."""
    listed = (Path(__file__).parent / "untranslated.txt").read_text("utf-8").splitlines()
    assert sorted({" ".join(one.split()) for one in missing(catalogue)}) == listed
    assert [message.id for message in catalogue if message.id and message.fuzzy] == []


def test_counted_messages_are_counted_in_the_catalogue(said: Catalog, catalogue: Catalog) -> None:
    def counted(messages: Catalog) -> set[str]:
        return {message.id[0] for message in messages if isinstance(message.id, tuple | list)}

    assert counted(catalogue) == counted(said)


def test_a_translation_has_the_places_of_its_message(catalogue: Catalog) -> None:
    """`{part}` and `%(num)s` stand in both; a translator may move them, not lose or rename them."""
    lost = [
        key for key, text in _pairs(catalogue) if text and sorted(_PLACE.findall(key)) != sorted(_PLACE.findall(text))
    ]
    assert lost == []


def test_a_translation_ends_as_its_message_does(catalogue: Catalog) -> None:
    """A full stop that is lost shows in print; spaces around a message join it to its neighbour."""
    ends = re.compile(r"^(\s*).*?([.:]?)(\s*)$", re.DOTALL)
    unlike = [
        key for key, text in _pairs(catalogue) if text and ends.sub(r"\1|\2|\3", key) != ends.sub(r"\1|\2|\3", text)
    ]
    assert unlike == []


def test_every_character_of_a_translation_is_in_the_typeface(catalogue: Catalog) -> None:
    signs = {sign for _key, text in _pairs(catalogue) for sign in text}
    assert sorted(sign for sign in signs if ord(sign) not in shipped_characters()) == []


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_file_is_as_the_collector_writes_it(code: str, said: Catalog) -> None:
    """Sorted, without dates: a run of the collector changes nothing that is up to date."""
    data = (CATALOGUES / f"{code}.po").read_bytes()
    assert refreshed(data, code, said)[0] == data


def test_german_signal_words_are_those_of_the_standard() -> None:
    """ISO 3864-2 and ANSI Z535.4 in their usual German wording."""
    german = dict(_pairs(read_po(io.BytesIO((CATALOGUES / "de.po").read_bytes()), locale="de")))
    assert {word: german[word] for word in SIGNAL_WORDS} == SIGNAL_WORDS


def test_the_collector_finds_words_in_code_templates_and_tables(said: Catalog) -> None:
    keys = _keys(said)
    assert {"Spinning cutter", "one flute", "Will it fit my machine?", "Birch plywood", "chip too thin"} <= keys


def test_the_collector_sees_a_message_that_nobody_translated(tmp_path: Path) -> None:
    """A new sentence in the code is what the checks above fail on."""
    (tmp_path / "kitforge").mkdir()
    source = 'from kitforge.language import say\n\nTEXT = say("A sentence that nobody translated.")\n'
    (tmp_path / "kitforge" / "new.py").write_text(source, "utf-8")
    found = collect(tmp_path)
    assert "A sentence that nobody translated." in found
    lacking = missing(read_po(io.BytesIO(refreshed(b"", "de", found)[0]), locale="de"))
    assert "A sentence that nobody translated." in lacking


_SAID = {"say": 1, "say_many": 2, "say_counted": 2}


def test_messages_are_written_out_where_they_are_said() -> None:
    """An f-string or a variable inside say() would never reach a translator."""
    assert _not_written_out(_SAID) == []


@cache
def _calls_by_name() -> tuple[tuple[Path, ast.Call, str], ...]:
    """Every call of a plain name in the code, with that name; what is said, where it is the language that says it."""
    return tuple(
        (path, node, node.func.id)
        for path in [*(TOP / "kitforge").rglob("*.py"), *(TOP / "plugins").rglob("*.py")]
        for source in [path.read_text("utf-8")]
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        if node.func.id not in _SAID or "from kitforge.language import" in source
    )


@pytest.mark.parametrize(("name", "count"), [("msg", 1), ("msg_many", 2)])
def test_templates_of_messages_are_written_out(name: str, count: int) -> None:
    """A template in a variable would be in no catalogue; a word of the tables is a `term`."""
    assert _not_written_out({name: count}) == []


def _not_written_out(names: dict[str, int]) -> list[str]:
    """Where a call of one of these names has a text that is none, among so many first arguments."""
    return [
        f"{path.relative_to(TOP)}:{call.lineno}"
        for path, call, name in _calls_by_name()
        if name in names and not all(_is_text(one) for one in call.args[: names[name]])
    ]


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_no_module_looks_into_a_message_that_is_written_already() -> None:
    """What is compared with, or taken out of, a finished English text breaks with its wording: facts are fields."""
    looks = re.compile(r"str\([\w.]*(message|advice|title|entry|held_by|about)\)\s*(\.|\[|==|!=| in )")
    faults = [
        f"{path.relative_to(TOP)}:{number}"
        for path in [*(TOP / "kitforge").rglob("*.py"), *(TOP / "plugins").rglob("*.py")]
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if looks.search(line)
    ]
    assert faults == []


def test_messages_of_plurals_name_their_count(said: Catalog) -> None:
    """The wording for many must hold the count, or a reader never learns how many."""

    def counts(message: Message) -> bool:
        return bool(re.search(r"\{count|%\(num\)|\{span\}|\{steps\}|\{parts\}", _both(message.id)[-1]))

    assert [m.id for m in said if isinstance(m.id, tuple | list) and not counts(m)] == []
