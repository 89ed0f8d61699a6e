"""Text in kit.yaml: where it stands, which font it takes, and what is refused in plain words."""

from __future__ import annotations

import io
import math
import time
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from signs import operation, refused, resolved, text

from kitforge.lettering.typeface import MOST_BYTES
from kitforge.model.findings import Finding

OWN = (files("kitforge.lettering") / "faces" / "SourceSansPro-Regular.otf").read_bytes()


def points(folder: Path, *shapes: str, **fonts: bytes) -> np.ndarray:
    """Every vertex of the outlines, shape (n, 2)."""
    kit = resolved(folder, operation(*shapes), "", **fonts)
    return np.array([(v.x, v.y) for path in kit.parts[0].operations[0].shapes for v in path.vertices])


def one(found: list[Finding]) -> Finding:
    """The only finding."""
    assert len(found) == 1, found
    return found[0]


def test_a_capital_stands_on_its_place_as_high_as_asked(tmp_path: Path) -> None:
    found = points(tmp_path, text("H", at="[60, 40]", height="20 mm"))
    assert pytest.approx([40, 60], abs=1e-6) == [found[:, 1].min(), found[:, 1].max()]
    assert 60 < found[:, 0].min() < 63


@pytest.mark.parametrize(("align", "middle"), [("left", 1), ("centre", 0), ("right", -1)])
def test_text_starts_is_centred_or_ends_at_its_place(align: str, middle: int, tmp_path: Path) -> None:
    found = points(tmp_path, text("HAH", at="[120, 40]", align=align))
    assert middle == round((found[:, 0].min() + found[:, 0].max() - 240) / 2 / np.ptp(found[:, 0]) * 2)


def test_lines_run_downwards(tmp_path: Path) -> None:
    found = points(tmp_path, '{text: {write: "H\\nH", height: 10 mm, leading: 2, at: [60, 60]}}')
    assert pytest.approx([40, 70], abs=1e-6) == [found[:, 1].min(), found[:, 1].max()]


def test_spacing_and_angle(tmp_path: Path) -> None:
    close, wide = (points(tmp_path, text("HHH", spacing=spacing)) for spacing in ("0", "4 mm"))
    assert pytest.approx(8.0, abs=1e-6) == np.ptp(wide[:, 0]) - np.ptp(close[:, 0])
    turned = points(tmp_path, text("HHH", angle="90"))
    assert pytest.approx(np.ptp(close[:, 0]), abs=1e-6) == np.ptp(turned[:, 1])


@pytest.mark.parametrize("inside", [False, True])
def test_text_on_an_arc_stands_on_its_circle(inside: bool, tmp_path: Path) -> None:
    """Capitals reach from the circle outwards, or with `inside` from the circle inwards."""
    arc = f"{{centre: [120, 60], radius: 50, start: 90, inside: {str(inside).lower()}}}"
    away = np.hypot(*(points(tmp_path, text("HIM", height="8 mm", align="centre", on_arc=arc)) - (120, 60)).T)
    low, high = (42, 50.3) if inside else (50, 58.8)
    assert low - 0.6 <= away.min() <= away.max() <= high
    assert pytest.approx(8.0, abs=0.9) == np.ptp(away)


@pytest.mark.parametrize(("align", "inside", "left", "right"), [
    ("left", False, 0, 50), ("right", False, -50, 0), ("centre", False, -25, 25),
    ("left", True, -50, 0), ("right", True, 0, 50),
])  # fmt: skip
def test_the_start_on_an_arc_follows_the_alignment(
    align: str, inside: bool, left: float, right: float, tmp_path: Path
) -> None:
    """At the top of a circle text runs to the right outside it, and counter-clockwise inside it."""
    arc = f"{{centre: [120, 60], radius: 50, start: 90, inside: {str(inside).lower()}}}"
    found = points(tmp_path, text("HIM", height="8 mm", align=align, on_arc=arc))[:, 0] - 120
    assert left - 1 < found.min() < found.max() < right + 1


def test_text_at_nine_o_clock(tmp_path: Path) -> None:
    """An angle of 180 degrees is to the left of the centre."""
    arc = "{centre: [120, 60], radius: 50, start: 180}"
    found = points(tmp_path, text("I", height="8 mm", align="centre", on_arc=arc))
    assert pytest.approx([120 - 54, 60], abs=0.1) == [
        (found[:, 0].min() + found[:, 0].max()) / 2,
        (found[:, 1].min() + found[:, 1].max()) / 2,
    ]


def test_mirrored_text_is_the_reflection_of_the_plain_one(tmp_path: Path) -> None:
    plain = points(tmp_path, text("Rab", at="[120, 40]"))
    mirrored = points(tmp_path, text("Rab", at="[120, 40]", mirror="true"))
    flipped = np.column_stack([240 - plain[:, 0], plain[:, 1]])
    assert np.allclose(np.sort(flipped.round(3), axis=0), np.sort(mirrored.round(3), axis=0), atol=2e-3)


def test_a_font_beside_the_kit_is_read(tmp_path: Path) -> None:
    own = points(tmp_path, text("Oak", font="own.otf"), own__otf=OWN)
    assert np.array_equal(points(tmp_path, text("Oak")), own)


def test_the_font_is_one_of_the_kit_s_files(tmp_path: Path) -> None:
    kit = resolved(tmp_path, operation(text("Oak", font="own.otf")), own__otf=OWN)
    assert kit.files["own.otf"] == OWN


def test_shapes_inside_patterns_have_their_fonts_read_too(tmp_path: Path) -> None:
    ring = "{ring: {of: " + text("I", at="[150, 60]", height="6 mm", font="own.otf") + ", count: 4, centre: [120, 60]}}"
    assert len(resolved(tmp_path, operation(ring), own__otf=OWN).parts[0].operations[0].shapes) == 4


def test_a_missing_character_is_named_with_its_place(tmp_path: Path) -> None:
    found = one(refused(tmp_path, operation(text("Oak \u4e2d"))))
    assert (found.code, found.source.line if found.source else 0) == ("bad-shape", 13)
    assert "U+4E2D" in str(found.message)


def test_a_weight_that_does_not_exist_names_a_near_one(tmp_path: Path) -> None:
    found = one(refused(tmp_path, operation(text(font="bold"))))
    assert (found.code, str(found.advice)) == ("unknown-name", "Did you mean 'Bold'?")


@pytest.mark.parametrize(
    ("name", "code"),
    [("gone.ttf", "file-missing"), ("../own.ttf", "path-outside-kit"), ("/etc/own.ttf", "path-outside-kit")],
)
def test_a_font_that_is_not_in_the_folder_is_refused(name: str, code: str, tmp_path: Path) -> None:
    assert code == one(refused(tmp_path, operation(text(font=name)))).code


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"\x00\x01\x00\x00" + b"\xff" * 400, OWN[:2000], b"ttcf" + OWN])
def test_a_damaged_font_is_one_plain_message(data: bytes, tmp_path: Path) -> None:
    found = one(refused(tmp_path, operation(text(font="own.ttf")), own__ttf=data))
    assert (found.code, str(found.advice)) == ("font-unreadable", "Take another font file (.ttf or .otf).")


def test_a_font_larger_than_allowed_is_not_read(tmp_path: Path) -> None:
    found = one(refused(tmp_path, operation(text(font="own.ttf")), own__ttf=OWN + b"\x00" * MOST_BYTES))
    assert found.code == "file-too-large"


def fine_font(pieces: int) -> bytes:
    """A font whose H is a closed line of very many pieces."""
    turns = [2 * math.pi * number / pieces for number in range(pieces)]
    return font_of([(round(500 + 500 * math.cos(turn)), round(500 + 500 * math.sin(turn))) for turn in turns])


def font_of(*loops: list[tuple[int, int]]) -> bytes:
    """A font whose H is made of closed lines."""
    pen = TTGlyphPen(None)
    for loop in loops:
        for number, place in enumerate(loop):
            (pen.lineTo if number else pen.moveTo)(place)
        pen.closePath()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "H"])
    builder.setupCharacterMap({72: "H"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "H": pen.glyph()})
    builder.setupHorizontalMetrics({".notdef": (600, 0), "H": (1100, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2(sCapHeight=700)
    builder.setupPost()
    out = io.BytesIO()
    builder.save(out)
    return out.getvalue()


def test_strokes_drawn_across_each_other_become_one_outline(tmp_path: Path) -> None:
    """A cross of two bars of 100 units, 700 high: 2 * 700 * 100 - 100 * 100 square units."""
    bars = [(0, 300), (700, 300), (700, 400), (0, 400)], [(300, 0), (400, 0), (400, 700), (300, 700)]
    kit = resolved(tmp_path, operation(text("H", font="own.ttf", height="70 mm")), own__ttf=font_of(*bars))
    shapes = kit.parts[0].operations[0].shapes
    assert len(shapes) == 1
    assert pytest.approx(1300.0, rel=1e-6) == abs(shapes[0].area)


def test_a_font_of_endless_detail_is_refused_in_time(tmp_path: Path) -> None:
    """400 characters of 2,500 pieces each are refused before they are drawn."""
    started = time.process_time()
    found = one(refused(tmp_path, operation(text("H" * 400, font="own.ttf")), own__ttf=fine_font(2500)))
    assert (found.code, "50000 is the limit" in str(found.message)) == ("bad-shape", True)
    assert time.process_time() - started < 10


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        ("{text: {write: 12, height: 10 mm}}", "put it in quotes: '12'"),
        ("{text: {write: I}}", "'height' is missing"),
        ("{text: {write: I, height: 10 mm, at: [0, 0], on_arc: {centre: [0, 0], radius: 50}}}", "leave `at`"),
        ("{text: {write: I, height: 0.1 mm}}", "height"),
        ("{text: {write: II, height: 30 mm, on_arc: {centre: [0, 0], radius: 2}}}", "does not fit once round"),
        ("{text: {write: II, height: 30 mm, on_arc: {centre: [0, 0], radius: 9, inside: true}}}", "larger than its"),
        ("{text: {write: I, height: 9 mm, align: center}}", "none of: left, centre, right"),
    ],
)
def test_what_cannot_be_set_is_told_plainly(shape: str, said: str, tmp_path: Path) -> None:
    assert said in str(one(refused(tmp_path, operation(shape))).message)
