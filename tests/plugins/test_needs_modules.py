"""The need `module`: pieces that are so many pitches less the play, and mixes that fill a field exactly."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from builders import HERE, freed, kit, planned, pocket, setup

from kitforge.geometry.shapes import rectangle
from kitforge.model.findings import Finding
from kitforge.model.kit import Face, Part
from kitforge.model.needs import ModuleNeed
from kitforge_needs import kitforge_check
from kitforge_needs.modules import MOST_TRIES, tiles

ROW = ModuleNeed(
    parts=("one", "two"),
    pitch=(40.0, None),
    field=(160.0, None),
    play=0.5,
    mixes=((("one", 4),), (("one", 2), ("two", 1))),
    source=HERE,
)


def piece(key: str, length: float, width: float = 50.0) -> Part:
    made = freed(pocket(rectangle((8, 8), at=(10, 10)), depth=3.0))
    return replace(
        made,
        key=key,
        title=key.title(),
        outline=rectangle((length, width)),
        operations=tuple(replace(one, part=key) for one in made.operations),
    )


def prove(*parts: Part, need: ModuleNeed) -> list[Finding]:
    own = kit(*parts, needs=(need,), setups=[setup(face) for face in Face])
    return [one for one in kitforge_check(own, planned(own)) if one.code in ("need-module", "need-met")]


def test_pieces_on_the_module_fill_the_field() -> None:
    (found,) = prove(piece("one", 39.5), piece("two", 79.5), need=ROW)
    assert found.code == "need-met"
    assert str(found.message) == (
        "The field of 4 x 40 mm is filled exactly by 4 x 'One' or 2 x 'One' and 1 x 'Two'; "
        "each piece is 0.5 mm smaller than its modules."
    )


@pytest.mark.parametrize(
    ("length", "said", "advice"),
    [
        (79.7, "'Two' is 79.7 mm along x, and 2 x 40 mm less 0.5 mm is 79.5 mm.", "Make it 0.2 mm smaller."),
        (79.4, "'Two' is 79.4 mm along x, and 2 x 40 mm less 0.5 mm is 79.5 mm.", "Make it 0.1 mm larger."),
    ],
)
def test_a_piece_off_its_module_is_told_with_figures(length: float, said: str, advice: str) -> None:
    (found,) = prove(piece("one", 39.5), piece("two", length), need=ROW)
    assert (found.code, found.part, str(found.message), str(found.advice)) == ("need-module", "two", said, advice)


def test_a_hundredth_of_a_millimetre_decides() -> None:
    assert [one.code for one in prove(piece("one", 39.509), piece("two", 79.5), need=ROW)] == ["need-met"]
    assert [one.code for one in prove(piece("one", 39.511), piece("two", 79.5), need=ROW)] == ["need-module"]


def test_a_field_off_the_module_and_a_mix_that_is_too_long() -> None:
    (found,) = prove(piece("one", 39.5), piece("two", 79.5), need=replace(ROW, field=(165.0, None)))
    assert str(found.message) == "The field of 165 mm along x is no whole number of modules of 40 mm."
    assert str(found.advice) == "Make it 160 mm."
    mixes = ((("one", 3), ("two", 1)), (("two", 1),))
    long, short = prove(piece("one", 39.5), piece("two", 79.5), need=replace(ROW, mixes=mixes))
    assert str(long.message) == ("3 x 'One' and 1 x 'Two' come to 5 modules, and the field has 4 (200 mm of 160 mm).")
    assert (str(long.advice), str(short.advice)) == ("Take pieces out.", "Add pieces.")


def test_a_field_of_two_directions_is_filled_by_laying_or_not_at_all() -> None:
    """Two bars of three modules have as many modules as a field of 2 x 3, and fill it one way only."""
    plane = replace(ROW, parts=("one",), pitch=(40.0, 30.0), field=(120.0, 60.0), mixes=((("one", 2),),))
    assert [one.code for one in prove(piece("one", 119.5, 29.5), need=plane)] == ["need-met"]
    (found,) = prove(piece("one", 119.5, 29.5), need=replace(plane, field=(80.0, 90.0)))
    assert "no way to lay them fills it" in str(found.message)


def test_strips_fill_a_box_only_where_a_side_is_a_multiple() -> None:
    """Strips of 1 x n, lying and standing, fill an a x b box if and only if n divides a or b.

    N. G. de Bruijn, "Filling boxes with bricks", American Mathematical Monthly 76 (1969), from memory.
    """
    for n in (2, 3, 4):
        for a in range(1, 7):
            for b in range(1, 7):
                if a * b % n:
                    continue
                strips = a * b // n
                filled = [tiles((a, b), [((n, 1), lying), ((1, n), strips - lying)]) for lying in range(strips + 1)]
                assert None not in filled
                assert any(filled) == (a % n == 0 or b % n == 0), (a, b, n)


def test_what_was_cut_from_a_field_fills_it_again() -> None:
    """Fields that are sawn straight through again and again, 60 of them."""
    draw = random.Random(7)
    for _ in range(60):
        field = (draw.randint(1, 7), draw.randint(1, 6))
        pieces = [field]
        for _ in range(draw.randint(0, 6)):
            pieces.sort(key=lambda size: size[0] * size[1])
            columns, rows = pieces.pop()
            axis = draw.random() < 0.5
            side = (columns, rows)[axis]
            cut = draw.randint(1, side - 1) if side > 1 else 0
            halves = [(columns, cut), (columns, rows - cut)] if axis else [(cut, rows), (columns - cut, rows)]
            pieces += halves if cut else [(columns, rows)]
        counted = [(size, pieces.count(size)) for size in dict.fromkeys(pieces)]
        assert tiles(field, counted) is True, (field, counted)


def test_a_search_that_grows_too_long_ends_undecided() -> None:
    """Strips of three around one module in a field of 100: more ways to lay them than are tried."""
    assert MOST_TRIES <= 20_000
    assert tiles((10, 10), [((3, 1), 16), ((1, 3), 17), ((1, 1), 1)]) is None
