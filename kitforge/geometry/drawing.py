"""What a drawing file holds: paths by layer in mm, what was skipped, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitforge.geometry.path import Path


class DrawingError(ValueError):
    """A drawing that cannot be read. `line` is the line in the file where that is known, else 0."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.line = line


@dataclass(frozen=True, slots=True)
class DrawingProblem:
    """Something wrong in a drawing that could be read: a stable kind, a plain sentence, where and how large in mm."""

    kind: str
    message: str
    layer: str
    at: tuple[float, float] | None = None
    size: float | None = None
    entity: str | None = None


@dataclass(frozen=True, slots=True)
class LayerShapes:
    """The shapes of one layer or group, chained: closed and open paths, and points. Lengths mm, y upwards."""

    paths: tuple[Path, ...] = ()
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing by layer. skipped: how many entities of which type were left out. unit: what it was read in."""

    layers: Mapping[str, LayerShapes]
    unit: str
    skipped: Mapping[str, int] = field(default_factory=dict)
    problems: tuple[DrawingProblem, ...] = ()
    tolerance: float = 0.01
