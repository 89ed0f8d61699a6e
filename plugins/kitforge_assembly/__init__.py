"""Puts the parts together where kit.yaml says they stand and looks whether they can stand there.

| code | what it finds |
|---|---|
| `parts-collide` | two parts want the same room, pockets and slots taken into account; by how much and where |
| `part-stands-alone` | parts that nothing holds: they stand away from all the others |
| `together-unproved` | so many parts and cuts that not every pair was tried |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge_assembly.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield parts that run into each other or hang in the air in the finished piece."""
    from kitforge_assembly.check import check_together

    if kit.together:
        yield from check_together(kit, plan)
