"""Checks whether the work stays put: hold-downs against forces, tabs and skins, fasteners against cuts.

| code | what it finds |
|---|---|
| `hold-too-weak` | no hold-down of a setup bears the cutting force on a class that the kit fits |
| `hold-first-too-weak` | the first one does not, another one does |
| `no-hold-down` | a setup without any |
| `part-loose` | a part, or a piece of it, is cut free and nothing keeps it |
| `loose-piece` | waste is cut loose, and nothing keeps it |
| `hold-unsuited` | foam tape or vacuum cups under a through cut, vacuum under a small piece |
| `tape-on-oily-wood` | tape on a wood that is oily by nature |
| `small-waste` | waste is cut loose that is too small to be held |
| `bridges-too-weak` | tabs, skin and tape under a part do not bear the cut that frees it |
| `bridges-near-limit` | they bear it, with less than their safety factor |
| `tabs-few`, `tab-small`, `tab-thick`, `tab-uncut` | number and size of tabs |
| `tab-in-corner`, `tab-off-outline`, `tab-no-frame` | places of tabs |
| `skin-thick`, `skin-thin` | thickness of an onion skin |
| `fence-in-cut`, `fence-low` | a step that runs over the edge of the stock where fences stand |
| `fastener-in-cut`, `fastener-in-part` | fasteners or clamps in the way of the cutter, or through a part |
| `fastener-off-stock`, `fastener-repeated` | fasteners beside the stock, or two at one place |
| `fastener-unused` | places for fasteners that no hold-down uses |
| `no-fastener-room` | no place, or too few places, for the fasteners that shall hold the stock |
"""

from __future__ import annotations

from collections.abc import Iterator

from kitforge import hookimpl
from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.plan import Plan
from kitforge_holding.kinds import KINDS

__all__ = ["KINDS", "kitforge_check"]


@hookimpl
def kitforge_check(kit: Kit, plan: Plan) -> Iterator[Finding]:
    """Yield what does not hold, and what is in the way."""
    from kitforge_holding.bridges import check_bridges
    from kitforge_holding.fasteners import check_fasteners
    from kitforge_holding.fences import check_fences
    from kitforge_holding.forces import check_forces
    from kitforge_holding.loose import check_loose
    from kitforge_holding.suited import check_suited

    yield from check_forces(plan)
    yield from check_loose(plan)
    yield from check_suited(plan)
    yield from check_bridges(plan)
    yield from check_fences(plan)
    yield from check_fasteners(kit, plan)
