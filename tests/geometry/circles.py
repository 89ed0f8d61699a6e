"""Circles that paths are."""

from __future__ import annotations

from kitforge.model.path import Path, is_circle


def circle_of(path: Path, *within: float) -> tuple[float, float, float]:
    """Return the circle that a path is: centre and radius."""
    found = is_circle(path, *within)
    assert found is not None
    return found
