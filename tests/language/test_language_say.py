"""Saying things: places, counts, figures and computed sentences in the language that is being written."""

from __future__ import annotations

import pytest

from kitforge.language import (
    capital,
    current_language,
    decimal,
    file_stem,
    inside,
    language,
    languages,
    render_text,
    say,
    say_counted,
    say_many,
    use_language,
)
from kitforge.model.errors import KitforgeError
from kitforge.model.kit import CutterKind
from kitforge.model.messages import Advices, Message, mm, msg, size_mm, term
from kitforge.print.figures import Units, between, figure, grouped, handy, listed, minutes, sentence
from kitforge.resolve.workshop import cutter_name


def test_english_is_said_as_it_is_written() -> None:
    assert current_language().code == "en"
    assert say("Cut {count} tabs.", count=3) == "Cut 3 tabs."
    assert say("Braces {stay} without values.") == "Braces {stay} without values."


def test_another_language_is_spoken_for_a_while_only() -> None:
    with use_language("de"):
        assert say("It burns") == "Es verkohlt"
        with use_language("en"):
            assert say("It burns") == "It burns"
        assert say("It burns") == "Es verkohlt"
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


STRAIGHT = cutter_name(CutterKind.STRAIGHT, 63.5, 2, "mm")
COLLETS = "ER11 (shanks to 7 mm; 3.175 mm is usual)"
COMPUTED = [
    (term("chip too thin"), "chip too thin", "Span zu dünn"),
    (
        cutter_name(CutterKind.UP_CUT, 6.35, 2, "mm"),
        "6.35 mm up-cut, 2 flutes",
        "Spiralfräser ziehend 6,35 mm, 2 Schneiden",
    ),
    (cutter_name(CutterKind.V_BIT, 12.7, 1, "in"), "0.5 in V-bit, 1 flute", "V-Fräser 0,5 in, 1 Schneide"),
    (
        msg(
            "{stock} ({size}) is larger than the table ({table})",
            stock="Walnut blank",
            size=size_mm(600, 400, places=0),
            table=size_mm(250, 160, places=0),
        ),
        "Walnut blank (600 × 400 mm) is larger than the table (250 × 160 mm)",
        "Walnut blank (600 × 400 mm) ist größer als der Tisch (250 × 160 mm)",
    ),
    (
        msg("{cutter} has a {shank} shank; collets of the class: {collets}",
            cutter=STRAIGHT, shank=mm(12.7), collets=term(COLLETS)),
        f"63.5 mm straight, 2 flutes has a 12.7 mm shank; collets of the class: {COLLETS}",
        "Nutfräser gerade 63,5 mm, 2 Schneiden hat einen Schaft von 12,7 mm; Spannzangen der Klasse: "
        "ER11 (Schäfte bis 7 mm; üblich sind 3,175 mm)",
    ),
    (
        msg("{advice}", advice=Advices((term("a longer cutter"), term("a shallower cut")))),
        "A longer cutter; a shallower cut.",
        "Ein längerer Fräser; ein flacherer Schnitt.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("message", "english", "german"), COMPUTED)
def test_messages_of_the_calculation_become_words_in_the_language_of_print(
    message: Message, english: str, german: str
) -> None:
    assert render_text(message) == english
    with use_language("de"):
        assert render_text(message) == german


@pytest.mark.parametrize("text", ["Outline", "drill", "Safety", "My {own} title", "", "x" * 5000])
def test_words_of_an_author_stay_as_they_are(text: str) -> None:
    """Even where the catalogue has the very word: a cutter that its author calls 'drill' is called so."""
    with use_language("de"):
        assert render_text(text) == text
        assert render_text(msg("{title}", title=text)) == text


def test_decimal_touches_points_only() -> None:
    with use_language("de"):
        assert decimal("1.5 mm") == "1,5 mm"
