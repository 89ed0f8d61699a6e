"""Wording that the needs share."""

from __future__ import annotations

from kitforge.model.kit import Face, Part
from kitforge.model.needs import Need
from kitforge.model.units import format_mm, plain_number

Point = tuple[float, float]


def place(at: Point) -> str:
    """Return a place in words, e.g. '(12.5, 3) mm'."""
    return f"({plain_number(at[0], 1)}, {plain_number(at[1], 1)}) mm"


def purpose(need: Need) -> str:
    """Return what the need is for, e.g. ' for the cable', or nothing."""
    return f" for {need.use.rstrip('.')}" if need.use else ""


def title(part: Part, feature: str) -> str:
    """Return a feature's title in quotes."""
    return f"'{part.operation(feature).title}'"


def size_of(width: float, height: float, *, round_body: bool) -> str:
    """Return a cross-section in words: '6 mm round' or '6 mm wide and 5 mm high'."""
    if round_body:
        return f"{format_mm(width)} round"
    return f"{format_mm(width)} wide and {format_mm(height)} high"


def face_words(face: Face) -> str:
    """Return a face in words."""
    return f"the {face.value} face"
