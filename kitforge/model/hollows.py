"""How hollows (pockets and dishes) are finished."""

from __future__ import annotations

from kitforge.model.kit import Operation, OperationKind


def walls_apart(operation: Operation) -> bool:
    """Return whether the walls are finished after the floor, with settings of their own: both kept stock for it."""
    rough = operation.roughing
    floored = operation.does in (OperationKind.POCKET, OperationKind.DISH) and bool(operation.shapes)
    return floored and rough is not None and min(rough.leave_floor, rough.leave_walls) > 0
