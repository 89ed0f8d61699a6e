"""Drawings in and out: DXF and SVG, units, joining, faults and what is told of them."""
