"""How much of a drawing is read before it is refused: drawings come from strangers."""

from __future__ import annotations

import gc
import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from kitforge.model.drawing import DrawingError, MisfitError
from kitforge.model.messages import Message, Quantity, msg

LARGEST_COORDINATE = 1e6
"""Largest coordinate in mm; 1 km is beyond any router."""


@dataclass(frozen=True, slots=True)
class ReadingLimits:
    """How much is read: more is refused.

    size: bytes of the file; text: characters of SVG path data and point lists, those shown by `use` counted out;
    tags: pairs of code and value in an ASCII DXF; entities: entities or elements, blocks and uses counted out;
    pieces: lines and arcs; fitted: those of them that stand for ellipses, splines and Bezier curves, which cost most;
    depth, svg_depth: levels of blocks or uses, and of SVG elements.
    """

    size: int = 64_000_000
    entities: int = 1_000_000
    pieces: int = 2_000_000
    fitted: int = 2_000_000
    tags: int = 10_000_000
    text: int = 64_000_000
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


def too_much(what: Message, line: int = 0) -> DrawingError:
    """Return the error for a drawing that is too large."""
    advice = msg("Simplify it: fewer points on curves, arcs in place of short lines, and nothing that is not cut.")
    return DrawingError(what, line=line, advice=advice)


class Budget:
    """Counts down what a drawing may still hold."""

    def __init__(self, limits: ReadingLimits) -> None:
        self.limits = limits
        self.entities = 0
        self.pieces = 0
        self.fitted = 0
        self.text = 0

    def take_entities(self, count: int = 1) -> None:
        """Count entities. Raises DrawingError when there are too many."""
        self.entities += count
        if self.entities > self.limits.entities:
            raise too_much(
                msg(
                    "it holds more than {most} entities or elements, those in blocks and uses counted out",
                    most=self.limits.entities,
                )
            )

    def take_pieces(self, count: int) -> None:
        """Count lines and arcs. Raises DrawingError when there are too many."""
        self.pieces += count
        if self.pieces > self.limits.pieces:
            raise too_much(msg("it holds more than {most} lines and arcs", most=self.limits.pieces))

    def take_fitted(self, count: int) -> None:
        """Count lines and arcs that stand for other curves. Raises DrawingError when there are too many."""
        self.fitted += count
        if self.fitted > self.limits.fitted:
            raise too_much(
                msg(
                    "its ellipses, splines and Bezier curves come to more than {most} arcs within 0.001 mm",
                    most=self.limits.fitted,
                )
            )

    def take_text(self, count: int) -> None:
        """Count characters of path data. Raises DrawingError when there are too many."""
        self.text += count
        if self.text > self.limits.text:
            most = Quantity(self.limits.text / 1e6, "")
            raise too_much(msg("its path data come to more than {most} million characters", most=most))


def check_size(data: bytes, limits: ReadingLimits) -> None:
    """Raise DrawingError for a file that is empty or too big."""
    if not data.strip():
        raise DrawingError(msg("the file is empty"))
    if len(data) > limits.size:
        raise too_much(
            msg(
                "the file has {size}; the largest drawing that is read has {most}",
                size=Quantity(len(data) / 1e6, "MB", 1),
                most=Quantity(limits.size / 1e6, "MB", 3),
            )
        )


def finite(*values: float) -> None:
    """Raise ValueError unless every number is finite."""
    if not all(map(math.isfinite, values)):
        raise MisfitError(msg("a number is not finite"))


def within_reach(*values: float) -> None:
    """Raise ValueError unless every coordinate in mm is finite and within 1 km."""
    finite(*values)
    for value in values:
        if abs(value) > LARGEST_COORDINATE:
            raise MisfitError(msg("a coordinate lies more than 1 km from the origin; check the drawing's unit"))
