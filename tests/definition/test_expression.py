"""Expressions: the same numbers as Python's own arithmetic, dimensions kept, nothing but arithmetic let in."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kitforge.definition.expression import FUNCTIONS, parse_expression
from kitforge.definition.quantity import DimensionedValue
from kitforge.model.units import parse_length

NAMES = {"a": DimensionedValue(3.5), "width": DimensionedValue(120.0, 1), "in_between": DimensionedValue(7.0)}


def value(text: str, unit: float = 1.0) -> float:
    """The bare value of an expression."""
    return parse_expression(text).evaluate(NAMES, unit).value


def trees() -> st.SearchStrategy[str]:
    """Arithmetic that both Python and we read, over positive numbers of a few digits."""
    numbers = st.decimals(0, 999, places=2, allow_nan=False).map(str)
    return st.recursive(
        numbers,
        lambda inner: st.one_of(
            st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
            st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"{t[0]}{t[1]}{t[2]}"),
            inner.map(lambda t: f"-({t})"),
            st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(lambda t: f"{t[0]}({t[1]}, {t[2]})"),
            inner.map(lambda t: f"abs({t})"),
        ),
        max_leaves=12,
    )


@settings(max_examples=150, deadline=None)
@given(trees())
def test_agrees_with_pythons_own_arithmetic(text: str) -> None:
    try:
        expected = eval(text, {"__builtins__": {}, "min": min, "max": max, "abs": abs})  # text made above
    except ZeroDivisionError:
        with pytest.raises(ValueError, match="divides by zero"):
            value(text)
        return
    assume(math.isfinite(expected) and abs(expected) < 1e6)
    try:
        assert value(text) == pytest.approx(expected, rel=1e-12, abs=1e-12)
    except ValueError as error:
        assert "beyond all bounds" in str(error)


@settings(max_examples=100, deadline=None)
@given(
    st.integers(0, 40),
    st.integers(1, 63),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.sampled_from(["in", "mm", "ft", '"']),
)
def test_a_length_means_the_same_inside_an_expression_as_alone(whole: int, top: int, bottom: int, unit: str) -> None:
    written = f"{whole} {top}/{bottom} {unit}"
    alone = parse_length(written)
    assert parse_expression(f"0 mm + {written}").evaluate({}).value == alone
    per_unit = {"in": Fraction("25.4"), '"': Fraction("25.4"), "mm": Fraction(1), "ft": Fraction("304.8")}[unit]
    assert alone == float((whole + Fraction(top, bottom)) * per_unit)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("sin(30)", 0.5),
        ("cos(60) * 2", 1.0),
        ("tan(45)", 1.0),
        ("sqrt(2) * sqrt(2)", 2.0),
        ("round(2.5)", 3.0),
        ("round(-2.5)", -3.0),
        ("floor(-0.5)", -1.0),
        ("ceil(0.1)", 1.0),
        ("2 - -3", 5.0),
        ("10 - 4 - 3", 3.0),
        ("12 / 2 / 3", 2.0),
        ("2 + 3 * 4", 14.0),
        ("-a", -3.5),
        ("max(1, 2, 3)", 3.0),
        (".5 * 4", 2.0),
        ("in_between * 2", 14.0),
    ],
)
def test_known_values(text: str, expected: float) -> None:
    assert value(text) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("width - 2 * 3/4 in", 120 - 1.5 * 25.4),
        ("2*width/3", 80.0),
        ("18mm", 18.0),
        ("width - 1 in", 94.6),
        ("sqrt(width * width)", 120.0),
        ("min(width, 1 m)", 120.0),
        ("10 mm - 1 1/8 in", 10 - 28.575),
        ("10 mm-1/8 in", 10 - 3.175),
        ("1 cm", 10.0),
    ],
)
def test_lengths_with_units(text: str, expected: float) -> None:
    found = parse_expression(text).evaluate(NAMES)
    assert found.power == 1
    assert found.value == pytest.approx(expected)


def test_a_bare_number_beside_a_length_is_in_the_kits_unit() -> None:
    inch = parse_expression("width + 2").evaluate(NAMES, 25.4)
    assert inch == DimensionedValue(120 + 50.8, 1)
    assert parse_expression("2").evaluate({}, 25.4).as_length(25.4) == 50.8
    assert parse_expression("round(1.4 in)").evaluate({}, 25.4).value == pytest.approx(25.4)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("width * width", "a length is wanted, and this is an area"),
        ("width / 4 in", "multiply it by one such as 1 mm"),
        ("width * width + 1 mm", "an area and a length cannot be added"),
        ("sqrt(width)", "sqrt() of a length has no meaning"),
        ("sqrt(-1)", "square root of a negative"),
        ("sin(width)", "takes an angle in degrees, not a length"),
        ("1 mm / 0", "divides by zero"),
        ("999999999 * 999999999 * 999999999", "beyond all bounds"),
        ("widht - 1", "there is no parameter 'widht'; did you mean 'width'?"),
    ],
)
def test_what_has_no_meaning_as_a_length_is_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError) as caught:
        parse_expression(text).evaluate(NAMES).as_length(1.0)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2 +",
        "* 2",
        "(1",
        "1)",
        "1 2",
        "2 ** 3",
        "7 // 2",
        "1, 2",
        "min()",
        "sqrt(1, 2)",
        "min",
        "min(*a)",
        "a(1)",
        "2(3)",
        "a.b",
        "__import__('os')",
        "'x'",
        "[1]",
        "lambda: 1",
        "1 if 2 else 3",
        "a := 1",
        "1e9",
        "0x10",
        "a @ a",
        "min(a=1)",
        "1;2",
        "a\\b",
        "١٢",
        "2 mm mm",
        "(" * 60 + "1" + ")" * 60 + "+",
        "-" * 90 + "1",
        "+".join(["1"] * 150),
        "1" * 501,
    ],
)
def test_everything_else_is_refused_in_plain_words(text: str) -> None:
    """Python's own operators, calls, strings and comprehensions never reach its parser or are not worked out."""
    with pytest.raises(ValueError) as caught:
        parse_expression(text).evaluate(NAMES)
    assert "syntax" not in str(caught.value).lower()


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="0123456789+-*/(). ,ainm\"_=<>!:;[]{}'#\\\n", max_size=40))
def test_any_text_gives_a_number_or_a_plain_error(text: str) -> None:
    try:
        found = parse_expression(text).evaluate(NAMES)
    except ValueError:
        return
    assert math.isfinite(found.value)


def test_keywords_of_python_may_be_parameter_names() -> None:
    assert (
        parse_expression("for + lambda").evaluate({"for": DimensionedValue(1.0), "lambda": DimensionedValue(2.0)}).value
        == 3.0
    )


def test_every_function_is_known_to_the_tests() -> None:
    assert set(FUNCTIONS) == {"min", "max", "abs", "round", "floor", "ceil", "sqrt", "sin", "cos", "tan"}
