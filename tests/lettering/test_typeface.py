"""Fonts: the shipped face, and files that mean harm or are damaged."""

from __future__ import annotations

import contextlib
import io
import struct
from importlib.resources import files

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.misc.psCharStrings import T2CharString
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from kitforge.lettering.typeface import MOST_BYTES, WEIGHTS, LetteringError, read_typeface, shipped_typeface

FOLDER = files("kitforge.lettering") / "faces"


def small_font(components: int = 1, levels: int = 1) -> bytes:
    """Return a font whose A is a square of 500 units, and whose H is made of copies of it, nested."""
    pen = TTGlyphPen(None)
    for number, point in enumerate(((0, 0), (500, 0), (500, 500), (0, 500))):
        (pen.lineTo if number else pen.moveTo)(point)
    pen.closePath()
    glyphs = {".notdef": TTGlyphPen(None).glyph(), "A": pen.glyph()}
    name = "A"
    for level in range(levels):
        nest = TTGlyphPen(glyphs)
        for number in range(components):
            nest.addComponent(name, (1, 0, 0, 1, number, 0))
        name = f"nest{level}"
        glyphs[name] = nest.glyph()
    for glyph in glyphs.values():
        glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax = 0, 0, 500, 500
    return built(glyphs, {65: "A", 72: name})


def built(
    glyphs: dict[str, object], characters: dict[int, str], programs: dict[str, T2CharString] | None = None
) -> bytes:
    builder = FontBuilder(1000, isTTF=programs is None)
    names = list(glyphs) if programs is None else list(programs)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap(characters)
    if programs is None:
        builder.setupGlyf(glyphs, calcGlyphBounds=False)
    else:
        builder.setupCFF("Small", {}, programs, {})
    builder.setupHorizontalMetrics(dict.fromkeys(names, (600, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2(sCapHeight=700)
    builder.setupPost()
    out = io.BytesIO()
    builder.font.recalcBBoxes = False
    builder.save(out)
    return out.getvalue()


@pytest.mark.parametrize("weight", WEIGHTS)
def test_shipped_face_has_capitals_as_high_as_its_maker_says(weight: str) -> None:
    """The height of H as drawn is the cap height that the font states in its OS/2 table, within 2 %."""
    stated = TTFont(io.BytesIO((FOLDER / f"SourceSansPro-{weight}.otf").read_bytes()))["OS/2"].sCapHeight
    assert stated == pytest.approx(shipped_typeface(weight).cap_height, rel=0.02)


def test_unknown_weight_is_refused() -> None:
    """Only the weights that are shipped can be asked for."""
    with pytest.raises(LetteringError, match="Semibold"):
        shipped_typeface("Huge")


def test_glyphs_are_those_of_the_font() -> None:
    """A square glyph comes back with its corners and its advance; nested copies are drawn in place."""
    face = read_typeface(small_font(2, 2), "small.ttf")
    assert (len(face.glyph("A").contours), face.glyph("A").advance) == (1, 600.0)
    assert len(face.glyph("H").contours) == 4
    assert face.cap_height == 500.0


def test_missing_character_is_named() -> None:
    """A character that the font lacks is an error that names it."""
    with pytest.raises(LetteringError, match=r"U\+2603"):
        shipped_typeface().glyph("☃")


@pytest.mark.parametrize("data", [b"", b"OTTO", b"%PDF-1.7", b"wOF2" + bytes(100), b"ttcf" + bytes(60), bytes(500)])
def test_what_is_no_font_is_refused(data: bytes) -> None:
    """Empty, foreign, compressed and collected files are one plain message."""
    with pytest.raises(LetteringError):
        read_typeface(data, "letters.otf")


def test_oversized_file_is_refused_unread() -> None:
    """The size is bounded before anything is parsed."""
    with pytest.raises(LetteringError, match="at most"):
        read_typeface(b"OTTO" + bytes(MOST_BYTES), "letters.otf")


def test_glyph_of_too_many_parts_is_refused() -> None:
    """Nested copies that multiply (20 in 20 in 20...) end with a message, soon."""
    with pytest.raises(LetteringError, match="too many"):
        read_typeface(small_font(20, 6), "nest.ttf")


def test_glyph_that_contains_itself_is_refused() -> None:
    """A glyph made of itself ends with a message."""
    font = TTFont(io.BytesIO(small_font(1, 1)))
    font["glyf"]["nest0"].components[0].glyphName = "nest0"
    font.recalcBBoxes = False
    out = io.BytesIO()
    font.save(out)
    with pytest.raises(LetteringError):
        read_typeface(out.getvalue(), "loop.ttf")


def test_endless_glyph_program_is_refused() -> None:
    """Subroutines that call one another ten deep, many times each, are stopped by the meter."""
    from fontTools.cffLib import SubrsIndex

    programs = {name: T2CharString(program=[600, "endchar"]) for name in (".notdef", "A", "H")}
    data = built({}, {65: "A", 72: "H"}, programs)
    font = TTFont(io.BytesIO(data))
    font.recalcBBoxes = False
    top = font["CFF "].cff.topDictIndex[0]
    subrs = SubrsIndex()
    for level in range(9):
        calls = [level + 1 - 107, "callsubr"] * 60 if level < 8 else [1, 1, "rmoveto"]
        subrs.append(T2CharString(program=[*calls, "return"]))
    top.Private.Subrs = subrs
    top.CharStrings["A"].setProgram([600, -107, "callsubr", "endchar"])
    out = io.BytesIO()
    font.save(out)
    face = read_typeface(out.getvalue(), "endless.otf")
    with pytest.raises(LetteringError, match="not come to an end"):
        face.glyph("A")


def test_font_that_claims_every_character_is_refused() -> None:
    """A range of characters up to four thousand million is not written out."""
    font = TTFont(io.BytesIO(small_font()))
    group = struct.pack(">HHLLL", 12, 0, 28, 0, 1) + struct.pack(">LLL", 0, 0xFFFFFFFE, 1)
    table = struct.pack(">HH", 0, 1) + struct.pack(">HHL", 3, 10, 12) + group
    font.tables.pop("cmap", None)
    from fontTools.ttLib.tables.DefaultTable import DefaultTable

    raw = DefaultTable("cmap")
    raw.data = table
    font["cmap"] = raw
    out = io.BytesIO()
    font.save(out)
    with pytest.raises(LetteringError, match="claims"):
        read_typeface(out.getvalue(), "claims.ttf")


@given(st.data())
def test_damaged_fonts_give_letters_or_a_message(data: st.DataObject) -> None:
    """Bytes changed or cut anywhere in a font never end in anything but letters or a LetteringError."""
    whole = bytearray(small_font(2, 2))
    for _ in range(data.draw(st.integers(1, 6))):
        whole[data.draw(st.integers(4, len(whole) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(4, len(whole)))
    with contextlib.suppress(LetteringError):
        read_typeface(bytes(whole[:cut]), "damaged.ttf").glyph("A")
