"""A kit of three small dished boards; everything in it is invented."""

from __future__ import annotations

from collections.abc import Callable

from kitforge.pipeline import Checked

Check = Callable[..., Checked]

BOARDS = """\
kitforge: 1
kit:
  title: Three small dished boards
  slug: dished-boards
  version: 0.1.0
  author: Invented Workshop
  licence: CC-BY-4.0
  summary: A test kit. Three boards for keys, pencils and a cup, dished with a bowl cutter; everything is invented.
units: in
stock:
  board: {material: black_walnut, thickness: 3/4 in, width: 8 in, length: 24 in}
cutters:
  bowl: {kind: bowl, diameter: 3/4 in, corner_radius: 1/4 in, cutting_length: 5/8 in, shank: 1/4 in,
    overall_length: 2 1/8 in, flutes: 2, centre_cutting: false, substrate: carbide tipped}
  quarter: {kind: up-cut, diameter: 1/4 in, cutting_length: 1 in, shank: 1/4 in, overall_length: 2 1/2 in}
hold_down: [masking_tape_glue]
parts:
  cup:
    stock: board
    outline: {rectangle: {size: [3 in, 3 in], corner_radius: 1/4 in}}
    operations:
      - {name: dish, do: dish, cutter: bowl, depth: 3/8 in, roughing: {leave_floor: 0.005 in, leave_walls: 0.005 in},
         finishing: {stepover: 10 %},
         shapes: [{rectangle: {at: [3/8, 3/8], size: [2 1/4, 2 1/4], corner_radius: 3/8 in}}]}
      - {name: outline, do: profile, cutter: quarter, hold: {tabs: {width: 1/4 in, height: 1/8 in}}}
  keys:
    stock: board
    outline: {rectangle: {size: [6 in, 3 in], corner_radius: 1/4 in}}
    operations:
      - {name: dish, do: dish, cutter: bowl, depth: 3/8 in, roughing: {leave_floor: 0.005 in, leave_walls: 0.005 in},
         finishing: {stepover: 10 %},
         shapes: [{rectangle: {at: [3/8, 3/8], size: [5 1/4, 2 1/4], corner_radius: 3/8 in}}]}
      - {name: outline, do: profile, cutter: quarter, hold: {tabs: {width: 1/4 in, height: 1/8 in}}}
  pencils:
    stock: board
    outline: {rectangle: {size: [9 in, 3 in], corner_radius: 1/4 in}}
    operations:
      - {name: dish, do: dish, cutter: bowl, depth: 3/8 in, roughing: {leave_floor: 0.005 in, leave_walls: 0.005 in},
         finishing: {stepover: 10 %},
         shapes: [{rectangle: {at: [3/8, 3/8], size: [8 1/4, 2 1/4], corner_radius: 3/8 in}}]}
      - {name: outline, do: profile, cutter: quarter, hold: {tabs: {width: 1/4 in, height: 1/8 in}}}
"""
