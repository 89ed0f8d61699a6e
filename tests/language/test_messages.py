"""Messages: templates with values that become words at the edge."""

from __future__ import annotations

from kitforge.model.findings import FindingType as FindingKind
from kitforge.model.findings import Severity, Source
from kitforge.model.messages import Quantity, Wording, area_mm2, listed, mm, msg, msg_many, newton, point_mm, size_mm

GERMAN = Wording(
    text=lambda text: {
        "The slot is {width} wide.": "Die Nut ist {width} breit.",
        "{first} and {last}": "{first} und {last}",
    }.get(text, text),
    point=",",
)


def test_a_message_is_english_unless_told_otherwise() -> None:
    """A message prints itself in English, lengths in mm."""
    assert str(msg("The slot is {width} wide.", width=mm(12.35))) == "The slot is 12.35 mm wide."


def test_a_language_translates_the_template_and_writes_its_numbers() -> None:
    """The template is the key of the translation; numbers get the decimal sign."""
    assert GERMAN.write(msg("The slot is {width} wide.", width=mm(12.35))) == "Die Nut ist 12,35 mm breit."


def test_lengths_are_written_in_the_units_of_the_reader() -> None:
    """A reader in inches gets inches; other quantities stay."""
    found = msg("{width} and {force}", width=mm(25.4), force=newton(12.4))
    assert Wording(units="in").write(found) == "1 in and 12 N"


def test_what_an_author_wrote_is_never_a_template() -> None:
    """Braces in a value are text."""
    assert str(msg("'{title}' is too long.", title="{width}")) == "'{width}' is too long."


def test_things_are_listed_with_and_or_or() -> None:
    """One thing stands alone, the last of several behind a word."""
    assert [str(msg("{it}", it=listed(names))) for names in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]
    assert str(msg("{it}", it=listed(["a", "b"], either=True))) == "a or b"


def test_a_count_chooses_the_wording() -> None:
    """One tab, two tabs."""
    assert [str(msg_many("one tab", "{count} tabs", n)) for n in (1, 2)] == ["one tab", "2 tabs"]


def test_messages_within_messages_are_translated_too() -> None:
    """A nested message becomes words in the same language."""
    inner = msg("The slot is {width} wide.", width=mm(3))
    assert GERMAN.write(msg_many("{what}!", "{what}?", 1, what=inner)) == "Die Nut ist 3 mm breit.!"


def test_a_number_without_a_unit_stands_alone() -> None:
    """The unit '' leaves no blank behind."""
    assert str(msg("{ratio} times", ratio=Quantity(1.5, "", 1))) == "1.5 times"


def test_a_finding_takes_a_message() -> None:
    """A finding's line is the same whether its words are a message or, as long as there are some, prose."""
    kind = FindingKind("thin-slot", Severity.ERROR, "A slot is thin.")
    found = kind.new(
        msg("The slot is {width} wide.", width=mm(3)), msg("Use another."), source=Source("kit.yaml", 3, 1)
    )
    assert found.as_line() == "kit.yaml:3:1: error [thin-slot] The slot is 3 mm wide. Use another."


def test_areas_places_and_sizes_are_written_in_the_units_of_the_reader() -> None:
    """Numbers that share a unit name it once; an area in square inches is 645.16 times smaller (ISO 80000-3)."""
    found = msg("{area} at {at}, {size}", area=area_mm2(645.16), at=point_mm((25.4, -0.0)), size=size_mm(254, 127))
    assert str(found) == "645.2 mm² at (25.4, 0) mm, 254 × 127 mm"
    assert Wording(units="in").write(found) == "1 in² at (1, 0) in, 10 × 5 in"


def test_a_very_small_length_is_not_nothing_in_inches() -> None:
    """What is told to a ten-thousandth of a millimetre is told to a hundred-thousandth of an inch."""
    assert Wording(units="in").write(msg("{gap}", gap=mm(0.0042, 4))) == "0.00017 in"
