"""The views that a part needs: one for each face that something is cut into, as ISO 128-3 asks for no more than needed.

The underside is seen as the piece lies when it is turned over from left to right, so that what is written on it reads
right and positions are those of the drawing file for that face. What goes through shows in both views.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.geometry.transform import mirrored, translated
from kitforge.model.kit import Face
from kitforge.pictures.drawn.features import DrawnFeature, features_of, is_feature, letters_of
from kitforge.planning.facing import covers

if TYPE_CHECKING:
    from kitforge.model.kit import Operation, Part

_OFF = 1.0
"""So far from its part, mm, the zero of a drawing still counts as lying on it."""


@dataclass(frozen=True, slots=True)
class FaceView:
    """One face of a part as it is drawn.

    part: only what is cut into this face or through it, in the coordinates in which positions are given; features:
    those of the table, their letters unlike in all views of the part; zero: where the drawing's own zero lies from the
    lower left corner of the part, mm, None where positions count from that zero; alone: whether there is no other view.
    """

    part: Part
    face: Face
    features: tuple[DrawnFeature, ...]
    zero: tuple[float, float] | None
    alone: bool


def face_views(part: Part) -> tuple[FaceView, ...]:
    """Return the views of a part, the upper face first; one where only one face has something of its own.

    A facing that takes the whole face down shows nowhere: it makes the part thinner.
    """
    part = replace(part, operations=tuple(one for one in part.operations if not covers(one, part)))
    own = {operation.face for operation in part.operations if is_feature(operation) and not operation.through}
    faces = [face for face in (Face.TOP, Face.BOTTOM) if face in own] or [Face.TOP]
    letters = letters_of(part)
    found = []
    for face in faces:
        moved, zero = _measured(turned(part, face))
        seen = _seen(moved, face)
        named = {one.name: letters[one.name] for one in seen if one.name in letters}
        features = features_of(moved, named)
        found.append(FaceView(replace(moved, operations=seen), face, features, zero, len(faces) == 1))
    return tuple(found)


def _seen(part: Part, face: Face) -> tuple[Operation, ...]:
    return tuple(operation for operation in part.operations if operation.face is face or operation.through)


def turned(part: Part, face: Face) -> Part:
    """Return a part as it lies when one of its faces is up: for the underside turned over from left to right."""
    if face is Face.TOP:
        return part
    middle = part.outline.bounds.centre[0]
    operations = tuple(
        operation.moved(lambda path: mirrored(path, 90.0, middle, 0.0), lambda spot: (2 * middle - spot[0], spot[1]))
        for operation in part.operations
    )
    return replace(part, outline=mirrored(part.outline, 90.0, middle, 0.0), operations=operations)


def zero_lies_on(part: Part) -> bool:
    """Whether the zero of a part's drawing lies on the part; positions count from its lower left corner else."""
    box = part.outline.bounds
    return box.left - _OFF <= 0 <= box.right + _OFF and box.bottom - _OFF <= 0 <= box.top + _OFF


def _measured(part: Part) -> tuple[Part, tuple[float, float] | None]:
    """Return the part as it is if its zero lies on it, else moved so that its lower left corner is the zero."""
    box = part.outline.bounds
    if zero_lies_on(part):
        return part, None
    operations = tuple(
        operation.moved(
            lambda path: translated(path, -box.left, -box.bottom),
            lambda spot: (spot[0] - box.left, spot[1] - box.bottom),
        )
        for operation in part.operations
    )
    outline = translated(part.outline, -box.left, -box.bottom)
    return replace(part, outline=outline, operations=operations), (0.0 - box.left, 0.0 - box.bottom)
