"""The thinnest stroke that is told about is one of the letter's own, whatever its size."""

from __future__ import annotations

import pytest

from kitforge.lettering.text import Lettering, text_on_line
from kitforge.lettering.typeface import shipped_typeface
from kitforge.model.findings import Source
from kitforge.model.kit import Cutter, CutterKind
from kitforge.planning.engraving import engraving_of

V60 = Cutter("v60", "V-bit", CutterKind.V_BIT, 60.0, 11.0, 6.35, 45.0, 2, Source("kit.yaml"), angle=60.0, tip=0.01)


LETTERS = [*(("ExtraLight", letter) for letter in "bhmpq69x"), ("Regular", "m"), ("Black", "M")]


@pytest.mark.parametrize(("weight", "letter"), LETTERS)
def test_the_thinnest_stroke_grows_with_the_letter(weight: str, letter: str) -> None:
    """Narrows are a fixed share of the height; a coarse look would make some up in small letters."""
    face, shares = shipped_typeface(weight), []
    for height in (3.0, 24.0):
        narrow = engraving_of(tuple(text_on_line(letter, face, Lettering(height))), V60).narrowest
        assert narrow is not None
        shares.append(narrow / height)
    assert shares[0] == pytest.approx(shares[1], rel=0.03)
    assert shares[0] > 0.03
