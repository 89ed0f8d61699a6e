"""Wording that the needs share."""

from __future__ import annotations

from kitforge.model.kit import Face, Part
from kitforge.model.messages import NO_ADVICE, Message, mm, msg, point_mm
from kitforge.model.needs import Need

Point = tuple[float, float]


def place(at: Point) -> Message:
    """Return a place in words, e.g. '(12.5, 3) mm'."""
    return msg("{at}", at=point_mm(at, 1))


def purpose(need: Need) -> Message:
    """Return what the need is for, e.g. ' for the cable', or nothing."""
    return msg(" for {use}", use=need.use.rstrip(".")) if need.use else NO_ADVICE


def title(part: Part, feature: str) -> str:
    """Return a feature's title in quotes."""
    return f"'{part.operation(feature).title}'"


def size_of(width: float, height: float, *, round_body: bool) -> Message:
    """Return a cross-section in words: '6 mm round' or '6 mm wide and 5 mm high'."""
    if round_body:
        return msg("{width} round", width=mm(width))
    return msg("{width} wide and {height} high", width=mm(width), height=mm(height))


def face_words(face: Face) -> Message:
    """Return a face in words."""
    return msg("the top face") if face is Face.TOP else msg("the bottom face")
