"""A rack of plywood whose slots follow a ladder of thicknesses: the one kit text of all tests of ladders and coupons.

The maker and the rack are invented.
"""

from __future__ import annotations

from pathlib import Path

from kitforge.api import check
from kitforge.pipeline import CheckedKit

_TEXT = """\
kitforge: 1
kit:
  title: Post Rack
  slug: post-rack
  version: 1.0.0
  author: Invented Hall Workshop
  licence: CC-BY-4.0
  summary: A base with slots for leaves.
  use: indoors
parameters:
  ply: 6 mm
  play: 0.2 mm
  slot: = ply + play
stock:
  sheet:
    material: birch_plywood
    thickness: {nominal: 6 mm, actual: ply}
    width: WIDTH mm
    length: 400 mm
    ladder: {of: ply, from: LOW mm, to: HIGH mm, step: 0.2 mm}
cutters:
  down: {kind: down-cut, diameter: 1/8 in, cutting_length: 12 mm, shank: 1/8 in, overall_length: 1.5 in}
parts:
  base:
    stock: sheet
    outline: {rectangle: {size: [120 mm, 70 mm]}}
    operations:
      - name: slots
        do: pocket
        depth: through
        cutter: down
"""
_CLASSES = """\
machines: [light_router, medium_router]
hold_down: [screws]
"""


def rack_text(base: str, more: str = "", *, width: float = 200, rungs: tuple[float, float] = (5.6, 6.4)) -> str:
    """Return the text of a rack. base: the other lines of its slots and what else is cut into the base; more: other
    parts and sections; width of the sheet and the ends of the ladder, mm."""
    text = _TEXT.replace("WIDTH", f"{width:g}")
    for word, thickness in zip(("LOW", "HIGH"), rungs, strict=True):
        text = text.replace(word, f"{thickness:g}")
    return text + base + "      - {name: outline, do: profile, cutter: down}\n" + more + _CLASSES


def checked(folder: Path, text: str, *changes: tuple[str, str]) -> CheckedKit:
    """Write a kit with some of its text changed, each place once, and check it."""
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    return check(folder)
