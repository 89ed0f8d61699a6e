"""How much of a drawing is read before it is refused: drawings come from strangers."""

from __future__ import annotations

import gc
import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from kitforge.geometry.drawing import DrawingError

LARGEST_COORDINATE = 1e6
"""Largest coordinate in mm; 1 km is beyond any router."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Largest file in bytes, entities or elements, lines and arcs, and levels of nesting."""

    size: int = 64_000_000
    entities: int = 1_000_000
    pieces: int = 2_000_000
    depth: int = 8
    svg_depth: int = 200


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause the search for cyclic garbage: on a million small records it costs a quarter of the time and finds none."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


class Budget:
    """Counts down what a drawing may still hold."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.entities = 0
        self.pieces = 0

    def take_entities(self, count: int = 1) -> None:
        """Count entities. Raises DrawingError when there are too many."""
        self.entities += count
        if self.entities > self.limits.entities:
            raise DrawingError(f"the drawing holds more than {self.limits.entities} entities, blocks counted out")

    def take_pieces(self, count: int) -> None:
        """Count lines and arcs. Raises DrawingError when there are too many."""
        self.pieces += count
        if self.pieces > self.limits.pieces:
            raise DrawingError(f"the drawing holds more than {self.limits.pieces} lines and arcs")


def check_size(data: bytes, limits: Limits) -> None:
    """Raise DrawingError for a file that is empty or too big."""
    if not data.strip():
        raise DrawingError("the file is empty")
    if len(data) > limits.size:
        raise DrawingError(f"the file has {len(data) / 1e6:.0f} MB; the largest drawing is {limits.size / 1e6:.0f} MB")


def finite(*values: float) -> None:
    """Raise ValueError unless every number is finite."""
    if not all(map(math.isfinite, values)):
        raise ValueError("a number is not finite")


def within_reach(*values: float) -> None:
    """Raise ValueError unless every coordinate in mm is finite and within 1 km."""
    finite(*values)
    for value in values:
        if abs(value) > LARGEST_COORDINATE:
            raise ValueError("a coordinate lies more than 1 km from the origin; check the drawing's unit")
