"""Paths: chains of straight lines and true arcs, the one shape record that every stage hands on.

A path is a tuple of vertices (x, y, bulge). The bulge belongs to the piece that starts at its vertex: the tangent of
a quarter of the included angle, positive counter-clockwise, 0 for a straight line, 1 for a half circle (DXF reference,
LWPOLYLINE group 42). Lengths mm, y upwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Vertex(NamedTuple):
    """A point and the bulge of the piece that leaves it."""

    x: float
    y: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Path:
    """A chain of lines and arcs. In a closed path the last piece runs back to the first vertex, which is not repeated."""

    vertices: tuple[Vertex, ...]
    closed: bool = True
