"""Saying things: places, counts, figures and computed sentences in the language that is being written."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.language import (
    capital,
    current_language,
    decimal,
    file_stem,
    inside,
    language,
    languages,
    say,
    say_as,
    say_counted,
    say_many,
    use_language,
)
from kitforge.language.computed import SENTENCES, places
from kitforge.model.errors import KitforgeError
from kitforge.print.figures import Units, between, figure, grouped, handy, listed, minutes, sentence


def test_english_is_said_as_it_is_written() -> None:
    assert current_language().code == "en"
    assert say("Cut {count} tabs.", count=3) == "Cut 3 tabs."
    assert say("Braces {stay} without values.") == "Braces {stay} without values."


def test_another_language_is_spoken_for_a_while_only() -> None:
    with use_language("de"):
        assert say("It burns") == "Es brennt"
        with use_language("en"):
            assert say("It burns") == "It burns"
        assert say("It burns") == "Es brennt"
    assert say("It burns") == "It burns"


def test_the_language_goes_back_after_an_error() -> None:
    with pytest.raises(ValueError, match="broken"), use_language("de"):
        raise ValueError("broken")
    assert current_language().code == "en"


def test_an_unknown_language_is_a_plain_error_that_names_those_there_are() -> None:
    with pytest.raises(KitforgeError, match=r"There is no language 'xx'; there are: en, .*de"), use_language("xx"):
        pass


@pytest.mark.parametrize("code", ["../de", "de/..", "", "DE", "de.po"])
def test_a_code_that_is_no_plain_name_is_refused(code: str) -> None:
    with pytest.raises(KitforgeError, match="There is no language"):
        language(code)


def test_languages_come_english_first() -> None:
    assert languages()[0] == "en"
    assert languages()[1:] == tuple(sorted(languages()[1:]))


@pytest.mark.parametrize(("count", "expected"), [(0, "keine Schneiden"), (1, "eine Schneide"), (2, "zwei Schneiden")])
def test_german_counts_with_the_right_form(count: int, expected: str) -> None:
    with use_language("de"):
        assert say_counted("one flute", "{count} flutes", count) == expected


def test_large_counts_are_figures() -> None:
    assert say_counted("one flute", "{count} flutes", 12) == "12 flutes"


def test_counts_choose_one_or_many() -> None:
    with use_language("de"):
        hours = [say_many("{span} hour", "{span} hours", count, span=count) for count in (1, 3)]
    assert hours == ["1 Stunde", "3 Stunden"]


def test_numbers_in_a_place_get_the_decimal_comma() -> None:
    assert say("{a:.1f} and {b} and {c}", a=2.5, b=0.5, c=3) == "2.5 and 0.5 and 3"
    with use_language("de"):
        assert say("{a:.1f} and {b} and {c}", a=2.5, b=0.5, c=3) == "2,5 and 0,5 and 3"


def test_figures_are_written_as_german_writes_them() -> None:
    """DIN 1333 and DIN 5008: a comma before decimals; thousands set apart by a gap, never by a point."""
    units = Units("mm", both=True)
    with use_language("de"):
        assert str(units.length(12.7)) == "12,7 mm (0,500 in)"
        assert str(units.size(300.0, 19.05)) == "300 × 19,05 mm (11,811 × 0,750 in)"
        assert units.setting(18000.0, "rpm").main == "18\u00a0000"
        assert units.span(0.0, 1.298346, "mm").main == "bis 1,29"
        assert (figure(0.25), grouped(12345.5, 1), handy(0.0713)) == ("0,25", "12\u00a0345,5", "0,071")
        assert between(0.35, 0.85) == "0,35–0,85"
    assert str(units.length(12.7)) == "12.7 mm (0.500 in)"


def test_words_around_figures_are_german() -> None:
    with use_language("de"):
        assert minutes((600.0, 900.0)) == "10–15 min"
        assert minutes((7200.0, 7300.0)) == "2 h bis 2 h 10 min"
        assert listed(["a", "b", "c"]) == "a, b und c"
        assert Units("mm", both=False).unit("rpm").main == "U/min"


def test_names_inside_a_sentence_keep_german_capitals() -> None:
    assert [inside(name) for name in ("Birch plywood", "MDF, 9 mm", "OSB")] == ["birch plywood", "MDF, 9 mm", "OSB"]
    with use_language("de"):
        assert inside("Birkensperrholz") == "Birkensperrholz"


def test_sentences_begin_with_a_capital() -> None:
    assert (capital("öl"), capital(""), sentence("über alles")) == ("Öl", "", "Über alles.")


def test_files_are_marked_with_their_language_but_for_english() -> None:
    assert file_stem("booklet") == "booklet"
    with use_language("de"):
        assert file_stem("booklet") == "booklet-de"


COMPUTED = [
    ("chip too thin", "Span zu dünn"),
    ("6.35 mm up-cut, 2 flutes", "Spiralfräser ziehend 6,35 mm, 2 Schneiden"),
    ("12.7 mm V-bit, 1 flute", "V-Fräser 12,7 mm, 1 Schneide"),
    ("ramp 2.5 deg", "Rampe 2,5 deg"),
    (
        "Walnut blank (600 × 400 mm) is larger than the table (250 × 160 mm)",
        "Walnut blank (600 × 400 mm) ist größer als der Tisch (250 × 160 mm)",
    ),
    (
        "A shank of 12.7 mm does not fit the collets of Extra-light router: ER11 (shanks to 7 mm; 3.175 mm is usual).",
        "Ein Schaft von 12,7 mm passt nicht in die Spannzangen von Sehr leichte Fräse: "
        "ER11 (Schäfte bis 7 mm; üblich sind 3,175 mm).",
    ),
    (
        "No speed for the straight of 63.5 mm on Extra-light router: at least 8000 min-1 (machine speed) and at most "
        "6000 min-1 (cutter diameter); no value satisfies both.",
        "Drehzahl für Nutfräser gerade 63,5 mm auf Sehr leichte Fräse: mindestens 8000 min-1 "
        "(Maschinendrehzahl) und höchstens 6000 min-1 (Fräserdurchmesser); kein Wert erfüllt beides.",
    ),
]


@pytest.mark.parametrize(("text", "expected"), COMPUTED)
def test_sentences_of_the_calculation_are_said_again_in_german(text: str, expected: str) -> None:
    assert say_as(text) == text
    with use_language("de"):
        assert say_as(text) == expected


@pytest.mark.parametrize("text", ["Outline", "My {own} title", "", "a (b) is larger than c", "x" * 5000])
def test_words_of_an_author_stay_as_they_are(text: str) -> None:
    with use_language("de"):
        assert say_as(text) == text


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(SENTENCES), st.data())
def test_what_stands_in_the_places_of_a_sentence_is_found_again(message: str, data: st.DataObject) -> None:
    import string

    names = [name for _text, name, _spec, _how in string.Formatter().parse(message) if name]
    words = st.text("abcdefgh0123456789", min_size=1, max_size=12)
    values = {name: data.draw(words) for name in names}
    assert places(message, message.format(**values)) == values


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=300))
def test_any_text_can_be_said_in_any_language(text: str) -> None:
    with use_language("de"):
        assert isinstance(say_as(text), str)


def test_decimal_touches_points_only() -> None:
    with use_language("de"):
        assert decimal("1.5 mm") == "1,5 mm"
