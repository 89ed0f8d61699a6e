"""The drawing of kits/herb-planter is what its script draws, and holds what a drawing program would put there."""

from __future__ import annotations

import io

import ezdxf
import pytest
from draw_herb_planter import FILE, PLAY, PLY, herb_planter_dxf

from kitforge.drawings.dxf_read import read_dxf


def test_the_drawing_is_what_the_script_draws() -> None:
    ours, drawn = read_dxf(FILE.read_bytes()), read_dxf(herb_planter_dxf())
    assert ours.layers == drawn.layers
    assert herb_planter_dxf() == herb_planter_dxf()


def test_it_is_in_inches_with_arcs_splines_and_blocks() -> None:
    document = ezdxf.read(io.StringIO(FILE.read_text("ascii")))
    kinds = {entity.dxftype() for entity in document.modelspace()}
    assert {"ARC", "SPLINE", "INSERT", "LWPOLYLINE", "LINE"} <= kinds
    assert document.header["$INSUNITS"] == 1


def test_a_mortise_is_a_tenon_and_its_play_wide() -> None:
    for path in read_dxf(FILE.read_bytes()).layer("mortises").closed:
        assert path.bounds.width == pytest.approx((PLY + PLAY) * 25.4, abs=1e-6)
        assert path.bounds.height == pytest.approx((1 + PLAY) * 25.4, abs=1e-6)
