"""A small kit in three sizes, to change: the maker, the piece and all sizes are invented."""

from __future__ import annotations

from pathlib import Path

TEXT = """\
kitforge: 1
kit:
  title: Row Marker
  slug: row-marker
  version: 1.0.0
  released: "2026-11-01"
  author: Invented Garden Workshop
  licence: CC-BY-4.0
  summary: A marker for rows of seeds.
  use: outdoors
  changes: [{version: 1.0.0, date: "2026-11-01", text: First.}]
parameters:
  width: 60 mm
  height: = width * 2
  hole: 8 mm
  thick: 6 mm
sizes:
  small: {set: {width: 40 mm}}
  medium: {}
  large: {title: Very large, set: {width: 90 mm, hole: 10 mm}}
stock:
  board: {material: birch_plywood, thickness: {nominal: 6 mm, actual: thick}, width: 150 mm, length: 400 mm}
cutters:
  end-mill: {kind: up-cut, diameter: 1/4 in, cutting_length: 22 mm, shank: 1/4 in, overall_length: 50 mm}
parts:
  marker:
    stock: board
    outline: {rectangle: {size: [height, width], corner_radius: 5 mm}}
    operations:
      - {do: profile, name: hole, cutter: end-mill, shapes: [{circle: {centre: [15 mm, = width / 2], diameter: hole}}]}
      - {do: profile, name: outline, cutter: end-mill}
machines: [light_router]
"""


def written(folder: Path, *changes: tuple[str, str]) -> Path:
    """Return the folder with the kit, in which each first text of a pair, found exactly once, became the second."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, f"'{old}' stands {text.count(old)} times in the kit"
        text = text.replace(old, new)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    return folder
