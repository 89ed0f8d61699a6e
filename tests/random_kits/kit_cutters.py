"""The cutters that random kits choose from: common nominal sizes, no maker's. Invented data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from kit_draw import Lots, mm

Entry = dict[str, object]
MILLS = ("up-cut", "down-cut", "compression", "straight")


@dataclass
class Rack:
    """The cutters of one kit: those that were asked for, by key."""

    lots: Lots
    entries: dict[str, Entry] = field(default_factory=dict)

    def mill(self, depth: float, widest: float = 6.35, kinds: Sequence[str] = MILLS) -> tuple[str, float]:
        """Return the key and diameter (mm) of an end mill that cuts `depth` mm deep and is no wider than `widest`."""
        sizes = [size for size in (3.175, 4.0, 6.0, 6.35, 8.0) if size <= max(widest, 3.175) and depth <= 4.5 * size]
        diameter = self.lots.pick(sizes or [6.35])
        kind = self.lots.pick(kinds)
        key = f"{kind[:2]}{diameter:g}".replace(".", "-")
        edge = max(4 * diameter, depth + 2)
        known = self.entries.get(key)
        if known is not None:
            edge = max(edge, float(str(known["cutting_length"]).split()[0]))
        self._add(key, kind, diameter, edge, flutes=1 if diameter < 4 and self.lots.chance(0.3) else 2)
        return key, diameter

    def ball(self) -> tuple[str, float]:
        """Return a ball nose."""
        diameter = self.lots.pick((6.0, 12.7))
        return self._add(f"ball{round(diameter)}", "ball nose", diameter, 18.0), diameter

    def bowl(self) -> tuple[str, float]:
        """Return a cutter with a rounded rim and a flat middle that must not plunge."""
        more = {"corner_radius": mm(6.35), "centre_cutting": False, "substrate": "carbide tipped", "max_speed": 22000}
        return self._add("bowl19", "bowl", 19.05, 16.0, shank=6.35, **more), 19.05

    def vee(self) -> tuple[str, float]:
        """Return a V-bit and its included angle in degrees."""
        angle = self.lots.pick((60, 90))
        more = {"angle": angle, "tip": "0.2 mm", "substrate": "carbide tipped", "max_speed": 24000}
        return self._add(f"vee{angle}", "v-bit", 12.7, 10.0 if angle == 60 else 6.0, shank=6.35, **more), float(angle)

    def surfacing(self) -> tuple[str, float]:
        """Return a wide cutter for flattening."""
        more = {"centre_cutting": False, "substrate": "carbide tipped", "max_speed": 20000}
        return self._add("flat25", "surfacing", 25.4, 12.0, shank=6.35, **more), 25.4

    def drill(self, depth: float) -> tuple[str, float]:
        """Return a drill for holes of `depth` mm."""
        diameter = self.lots.pick((3.0, 4.0, 5.0))
        edge = max(12 * diameter, depth + 4)
        return self._add(f"drill{diameter:g}", "drill", diameter, edge, angle=118, substrate="hss"), diameter

    def _add(
        self, key: str, kind: str, diameter: float, edge: float, shank: float | None = None, **more: object
    ) -> str:
        thick = shank or (3.175 if diameter <= 3.175 else 6.35 if diameter <= 6.35 else 8.0)
        entry: Entry = {
            "kind": kind,
            "diameter": mm(diameter),
            "cutting_length": mm(edge),
            "shank": mm(thick),
            "overall_length": mm(edge + 34),
            "flutes": 2,
        }
        self.entries[key] = entry | more
        return key
