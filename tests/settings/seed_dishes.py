"""A kit of three dishes in which seeds are sorted and dried; everything in it is invented."""

from __future__ import annotations

from collections.abc import Callable

from kitforge.pipeline import CheckedKit

Check = Callable[..., CheckedKit]

DISHES = """\
kitforge: 1
kit:
  title: Seed dishes
  slug: seed-dishes
  version: 0.1.0
  author: Invented Workshop
  licence: CC-BY-4.0
  summary: A test kit. A round, a long and a square dish in which seeds of the garden dry; everything is invented.
parameters:
  wide: 84 mm
  rim: 9 mm
  deep: 9 mm
stock:
  plank: {material: white_ash, thickness: 18 mm, width: 130 mm, length: 480 mm}
cutters:
  bowl: {kind: bowl, diameter: 16 mm, corner_radius: 5 mm, cutting_length: 14 mm, shank: 6 mm,
    overall_length: 52 mm, flutes: 2, centre_cutting: false, substrate: carbide tipped}
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 22 mm, shank: 6 mm, overall_length: 60 mm}
hold_down: [masking_tape_glue]
parts:
  round:
    stock: plank
    outline: {circle: {centre: [0, 0], diameter: wide}}
    operations:
      - {name: hollow, do: dish, cutter: bowl, depth: deep, roughing: {leave_floor: 0.15 mm, leave_walls: 0.15 mm},
         shapes: [{circle: {centre: [0, 0], diameter: = wide - 2 * rim}}]}
      - {name: outline, do: profile, cutter: mill, hold: {tabs: {width: 6 mm, height: 3 mm}}}
  long:
    stock: plank
    outline: {slot: {start: [0, 0], end: [120 mm, 0], width: wide}}
    operations:
      - {name: hollow, do: dish, cutter: bowl, depth: deep, roughing: {leave_floor: 0.15 mm, leave_walls: 0.15 mm},
         shapes: [{slot: {start: [0, 0], end: [120 mm, 0], width: = wide - 2 * rim}}]}
      - {name: outline, do: profile, cutter: mill, hold: {tabs: {width: 6 mm, height: 3 mm}}}
  square:
    stock: plank
    outline: {rectangle: {size: [wide, wide], corner_radius: 16 mm}}
    operations:
      - {name: hollow, do: dish, cutter: bowl, depth: deep, roughing: {leave_floor: 0.15 mm, leave_walls: 0.15 mm},
         shapes: [{rectangle: {at: [rim, rim], size: [= wide - 2 * rim, = wide - 2 * rim], corner_radius: 12 mm}}]}
      - {name: outline, do: profile, cutter: mill, hold: {tabs: {width: 6 mm, height: 3 mm}}}
"""
