"""Cuts every part on a height map and checks what comes out.

| code | what it finds |
|---|---|
| `cuts-nothing` | a step that takes no wood away where its part lies |
| `cut-away-later` | a step whose work later steps remove: a mistake in the order or in the depths |
| `ridges-left` | a cleared floor with strips left standing between the passes |
| `faces-meet` | a cut that should stop in the wood and comes out in a cut of the other face |
| `web-thin` | little wood between a cut from the top and one from the bottom |
| `shank-rubs`, `beyond-cutting-length` | a thicker or another shank beside wood, above the cutting edges |
| `nut-near-wood` | the collet nut near the wood beside a deep cut, with the stick-out of the settings |
| `below-stock` | a facing cut or a chamfer that reaches below the stock |
| `spoilboard-deep` | a through cut that goes far deeper into the spoilboard than its cutter needs |
| `through-shallow` | a through cut that ends right at the underside |
| `through-tapers` | a point or rounded corner that does not come out whole and leaves wood along the underside |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge_surface.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what the cut surface of every part gives away."""
    from kitforge_surface.check import findings_of

    return findings_of(kit, plan)
