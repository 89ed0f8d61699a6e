"""Small kits whose boards are faced, as kit.yaml. Invented data."""

from __future__ import annotations

LETTER_TRAY = """\
kitforge: 1
kit:
  title: Letter tray
  slug: letter-tray
  version: 1.0.0
  author: Invented Workshop
  licence: CC-BY-4.0
  summary: A tray for letters from a rough board that the machine planes first.
units: mm
stock:
  board:
    material: american_beech
    thickness: {nominal: 27 mm, actual: 24 mm}
    length: 420 mm
    width: 180 mm
cutters:
  wide: {kind: surfacing, diameter: 25 mm, cutting_length: 10 mm, shank: 6 mm, overall_length: 50 mm}
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 28 mm, shank: 6 mm, overall_length: 70 mm}
  drill: {kind: drill, diameter: 5 mm, cutting_length: 40 mm, shank: 5 mm, overall_length: 80 mm}
machines: [medium_router]
hold_down: [double_sided_tape]
parts:
  tray:
    stock: board
    outline: {rectangle: {size: [240, 120], corner_radius: 10}}
    operations:
      - {do: face, name: plane, cutter: wide, depth: 1.5 mm}
      - do: pocket
        name: hollow
        cutter: mill
        depth: 12 mm
        shapes: [{rectangle: {at: [15, 15], size: [210, 60], corner_radius: 8}}]
      - {do: drill, name: holes, cutter: drill, depth: through, shapes: [{points: [[20, 100], [220, 100]]}]}
      - {do: profile, name: outline, cutter: mill, hold: {onion_skin: 0.5 mm}}
  stop:
    stock: board
    count: 2
    outline: {rectangle: {size: [60, 40]}}
    operations:
      - {do: groove, name: line, cutter: mill, depth: 2 mm, shapes: [{polyline: {points: [[10, 20], [50, 20]]}}]}
      - {do: profile, name: outline, cutter: mill, hold: {tabs: {width: 6 mm, height: 2 mm}}}
"""
"""A tray and two stops from one board that is faced as a whole, a skin under the tray, tabs on the stops."""

PEN_REST = """\
kitforge: 1
kit:
  title: Pen rest
  slug: pen-rest
  version: 1.0.0
  author: Invented Workshop
  licence: CC-BY-4.0
  summary: A rest for pens, planed and cut from both faces.
units: mm
stock:
  block:
    material: american_beech
    thickness: 20 mm
    length: 200 mm
    width: 110 mm
cutters:
  wide: {kind: surfacing, diameter: 25 mm, cutting_length: 10 mm, shank: 6 mm, overall_length: 50 mm}
  mill: {kind: up-cut, diameter: 6 mm, cutting_length: 28 mm, shank: 6 mm, overall_length: 70 mm}
machines: [medium_router]
hold_down: [double_sided_tape]
parts:
  rest:
    stock: block
    outline: {rectangle: {size: [150, 60], corner_radius: 8}}
    operations:
      - {do: face, name: under, face: bottom, cutter: wide, depth: 0.8 mm}
      - do: pocket
        name: weight
        face: bottom
        cutter: mill
        depth: 5 mm
        shapes: [{circle: {centre: [75, 30], diameter: 30}}]
      - {do: face, name: over, cutter: wide, depth: 1.2 mm, roughing: {leave_floor: 0.2 mm}}
      - {do: groove, name: pens, cutter: mill, depth: 4 mm, shapes: [{polyline: {points: [[15, 30], [135, 30]]}}]}
      - {do: profile, name: outline, cutter: mill, hold: {tabs: {width: 6 mm, height: 2 mm}}}
"""
"""Both faces are faced, the underside first; the top is faced in two passes."""
