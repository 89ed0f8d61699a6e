"""Catalogues are read as Babel reads them, which is the independent reader here; mistakes are told with their line."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from hypothesis import given
from hypothesis import strategies as st

import kitforge.language
from kitforge.language import language, languages, use_catalogues
from kitforge.language.po import LARGEST, Catalogue, read_catalogue
from kitforge.model.errors import KitforgeError

CATALOGUES = Path(kitforge.language.__file__).parent / "catalogues"
_WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"], include_characters='\n\t"\\'), min_size=1
)


def _by_babel(data: bytes, code: str) -> Catalogue:
    texts, plurals = {}, {}
    for message in read_po(io.BytesIO(data), locale=code):
        if isinstance(message.id, tuple | list):
            plurals[message.id[0]] = tuple(str(form or "") for form in message.string or ())
        elif message.id and not message.fuzzy:
            texts[message.id] = str(message.string)
    return Catalogue(texts, plurals)


@pytest.mark.parametrize("path", sorted(CATALOGUES.glob("*.po")), ids=lambda path: path.stem)
def test_our_catalogues_are_read_as_babel_reads_them(path: Path) -> None:
    found = read_catalogue(path.read_bytes(), path.name)
    assert found == _by_babel(path.read_bytes(), path.stem)
    assert len(found.texts) > 100


@given(
    st.dictionaries(_WORDS.map(str.strip).filter(bool), _WORDS, max_size=4),
    st.dictionaries(st.from_regex(r"[a-z]{1,9}", fullmatch=True), st.tuples(_WORDS, _WORDS), max_size=3),
)
def test_any_catalogue_that_babel_writes_is_read_again(
    texts: dict[str, str], counted: dict[str, tuple[str, str]]
) -> None:
    """Quotes, backslashes, line ends and long lines included."""
    catalog = Catalog(locale="de")
    plurals = {f"one {word}": forms for word, forms in counted.items()}
    for message, translation in texts.items():
        catalog.add(message, translation)
    for one, forms in plurals.items():
        catalog.add((one, f"many {one}"), forms)
    buffer = io.BytesIO()
    write_po(buffer, catalog, width=40)
    assert read_catalogue(buffer.getvalue(), "de.po") == Catalogue(
        {message: text for message, text in texts.items() if message not in plurals}, plurals
    )


def test_guesses_and_what_is_obsolete_are_left_out() -> None:
    text = '#, fuzzy\nmsgid "a"\nmsgstr "x"\n\nmsgid "b"\nmsgstr ""\n"y"\n"z"\n#~ msgid "c"\n#~ msgstr "w"\n'
    assert read_catalogue(text.encode(), "de.po") == Catalogue({"b": "yz"}, {})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('msgid "a"\nmsgstr x\n', "fr.po:2: neither a comment nor"),
        ('msgid "a\nmsgstr "x"\n', "fr.po:1: a text that does not begin and end"),
        ('msgstr "x"\n', "fr.po:1: a msgstr without a msgid"),
        ('"x"\n', "fr.po:1: a text stands here without"),
        ('msgctxt "menu"\nmsgid "a"\nmsgstr "x"\n', "fr.po:1: messages with a context"),
        ('msgid "a"\nmsgstr "x" y\n', "fr.po:2: "),
    ],
)
def test_a_mistake_is_told_with_its_line(text: str, said: str) -> None:
    with pytest.raises(KitforgeError) as caught:
        read_catalogue(text.encode(), "fr.po")
    assert str(caught.value).startswith(said)


def test_what_is_no_text_or_too_much_of_it_is_refused() -> None:
    with pytest.raises(KitforgeError, match="not UTF-8"):
        read_catalogue(b"\xff\xfe", "fr.po")
    with pytest.raises(KitforgeError, match="at most 4 MB"):
        read_catalogue(b"#" * (LARGEST + 1), "fr.po")


@pytest.mark.parametrize("code", languages()[1:])
def test_name_and_decimal_sign_are_those_of_the_common_locale_data(code: str) -> None:
    """Babel carries the Unicode CLDR. A catalogue without them would not be offered."""
    locale = Locale.parse(code)
    assert (language(code).name, language(code).point) == (
        locale.english_name, locale.number_symbols["latn"]["decimal"]
    )  # fmt: skip
    assert {path.stem for path in CATALOGUES.glob("*.po")} == set(languages()[1:])


def test_a_plugin_adds_texts_and_changes_none_of_ours(tmp_path: Path) -> None:
    ours = next(iter(language("de").texts))
    kept = language("de").text(ours)
    entries = f'msgid "A text of a plugin"\nmsgstr "Ein Text"\n\nmsgid {_quoted(ours)}\nmsgstr "anders"\n'
    (tmp_path / "de.po").write_text(entries, encoding="utf-8")
    try:
        use_catalogues({"other": tmp_path, "silent": tmp_path / "none"})
        assert language("de").text("A text of a plugin") == "Ein Text"
        assert language("de").text(ours) == kept
        (tmp_path / "de.po").write_text("msgid", encoding="utf-8")
        use_catalogues({"bad": tmp_path})
        with pytest.raises(KitforgeError, match=r"de\.po of the plugin 'bad':1: "):
            language("de")
    finally:
        use_catalogues({})
    assert language("de").text("A text of a plugin") == "A text of a plugin"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
