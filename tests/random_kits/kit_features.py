"""What can be cut into one cell of a random part, each as an author would write it. Invented data.

A feature is a function of its cell and returns operations. Some are sound, some have one of the faults that makers
make (a disc that nothing holds); a kit with such a fault is still a kit, and the laws have to find it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit_cutters import Rack
from kit_draw import Lots, at, mm

Entry = dict[str, object]


@dataclass(frozen=True)
class Cell:
    """Where a feature goes: its middle and the room on all sides, mm, in the part's coordinates; and in what wood."""

    lots: Lots
    rack: Rack
    name: str
    x: float
    y: float
    half: float
    thick: float

    def circle(self, diameter: float) -> Entry:
        """Return a circle about the middle."""
        return {"circle": {"centre": at(self.x, self.y), "diameter": mm(diameter)}}

    def rectangle(self, width: float, height: float, radius: float = 0.0) -> Entry:
        """Return a rectangle about the middle."""
        found: Entry = {"centre": at(self.x, self.y), "size": at(width, height)}
        return {"rectangle": found | ({"corner_radius": mm(radius)} if radius else {})}

    def line(self, half: float | None = None) -> Entry:
        """Return a straight line through the middle along x or y."""
        reach = self.half if half is None else half
        if self.lots.chance(0.5):
            return {"polyline": {"points": [at(self.x - reach, self.y), at(self.x + reach, self.y)]}}
        return {"polyline": {"points": [at(self.x, self.y - reach), at(self.x, self.y + reach)]}}

    def does(self, do: str, cutter: str, shapes: list[Entry], more: Mapping[str, object], suffix: str = "") -> Entry:
        """Return an operation."""
        return {"name": self.name + suffix, "do": do, "cutter": cutter, "shapes": shapes, **more}

    def part_way(self, least: float = 0.2, most: float = 0.7) -> str:
        """Return a depth that leaves wood below."""
        return mm(self.lots.size(max(0.5, least * self.thick), most * self.thick, 0.1))


def tabs(cell: Cell) -> Entry:
    """Return tabs that suit the thickness."""
    height = max(0.5, min(0.4 * cell.thick, cell.lots.size(1.5, 3, 0.5)))
    return {"tabs": {"width": mm(cell.lots.size(5, 9, 1)), "height": mm(height)}}


def skin(cell: Cell) -> Entry:
    """Return an onion skin."""
    return {"onion_skin": mm(min(cell.thick / 2, cell.lots.pick((0.3, 0.5, 0.8))))}


def _hole(cell: Cell, hold: Entry | None, share: float = 1.8) -> list[Entry]:
    key, _diameter = cell.rack.mill(cell.thick)
    shape = cell.circle(cell.lots.size(22, max(22.0, share * cell.half)))
    if cell.lots.chance(0.3):
        side = cell.lots.size(22, max(22.0, share * cell.half))
        shape = cell.rectangle(side, side * 0.8, cell.lots.pick((0.0, 4.0)))
    return [cell.does("profile", key, [shape], {"depth": "through"} | ({"hold": hold} if hold else {}))]


def plug(cell: Cell) -> list[Entry]:
    """A disc cut out inside the part, held by nothing."""
    return _hole(cell, None)


def plug_on_tabs(cell: Cell) -> list[Entry]:
    return _hole(cell, tabs(cell))


def plug_on_skin(cell: Cell) -> list[Entry]:
    return _hole(cell, skin(cell))


def ring(cell: Cell) -> list[Entry]:
    """Two circles about one middle cut through: a loose ring and a loose disc, held or not."""
    key, diameter = cell.rack.mill(cell.thick)
    outer = max(30.0, 1.8 * cell.half)
    inner = max(8.0, outer - 2 * cell.lots.size(2 * diameter, max(2 * diameter, outer / 2 - 5)))
    hold: Entry = {"hold": tabs(cell)} if cell.lots.chance(0.5) else {}
    first = cell.does("profile", key, [cell.circle(inner)], {"side": "inside"} | hold, "-inner")
    return [first, cell.does("profile", key, [cell.circle(outer)], {"side": "inside"} | hold, "-outer")]


def loose_island(cell: Cell) -> list[Entry]:
    """A pocket through the part around an island: the island comes loose."""
    key, diameter = cell.rack.mill(cell.thick)
    outer = max(30.0, 1.8 * cell.half)
    inner = max(6.0, outer - 4 * diameter)
    hold: Entry = {"hold": tabs(cell)} if cell.lots.chance(0.3) else {}
    return [cell.does("pocket", key, [cell.circle(outer), cell.circle(inner)], {"depth": "through"} | hold)]


def island(cell: Cell) -> list[Entry]:
    key, diameter = cell.rack.mill(0.7 * cell.thick)
    shapes = [cell.rectangle(1.8 * cell.half, 1.6 * cell.half, 6), cell.circle(max(4.0, 0.9 * cell.half - diameter))]
    return [cell.does("pocket", key, shapes, {"depth": cell.part_way()})]


def window(cell: Cell) -> list[Entry]:
    """A hole cleared whole, so that nothing comes loose."""
    key, diameter = cell.rack.mill(cell.thick)
    if cell.lots.chance(0.5):
        return [cell.does("pocket", key, [cell.circle(max(diameter + 1, cell.half))], {"depth": "through"})]
    more = {"depth": "through"} | ({"corner_relief": "dog-bone"} if cell.lots.chance(0.6) else {})
    return [cell.does("pocket", key, [cell.rectangle(1.2 * cell.half, 0.8 * cell.half)], more)]


def pocket(cell: Cell) -> list[Entry]:
    key, _diameter = cell.rack.mill(0.7 * cell.thick)
    relief = cell.lots.pick((None, "dog-bone", "t-bone"))
    shape = cell.rectangle(cell.lots.size(16, 1.6 * cell.half), cell.lots.size(14, 1.4 * cell.half))
    more: Entry = {"depth": cell.part_way()}
    if relief:
        more["corner_relief"] = relief
    return [cell.does("pocket", key, [shape], more)]


def pocket_in_two_passes(cell: Cell) -> list[Entry]:
    key, _diameter = cell.rack.mill(0.7 * cell.thick, 4.0)
    rough, _wide = cell.rack.mill(0.7 * cell.thick, 6.35, ("up-cut", "straight"))
    more: Entry = {"depth": cell.part_way(0.3), "roughing": {"cutter": rough, "leave_walls": "0.4 mm"}}
    return [cell.does("pocket", key, [cell.rectangle(1.7 * cell.half, 1.5 * cell.half, 7)], more)]


def dimples(cell: Cell) -> list[Entry]:
    key, diameter = cell.rack.ball()
    depth = min(0.4 * cell.thick, 0.45 * diameter)
    gap = cell.half * 0.8
    shape: Entry = {
        "array": {
            "of": {"points": [at(cell.x - gap / 2, cell.y - gap / 2)]},
            "columns": 2,
            "rows": 2,
            "spacing": at(gap, gap),
        }
    }
    return [cell.does("dish", key, [shape], {"depth": mm(depth)})]


def dish(cell: Cell) -> list[Entry]:
    wide = cell.half >= 18 and cell.thick >= 10
    key, diameter = cell.rack.bowl() if wide and cell.lots.chance(0.7) else cell.rack.ball()
    width = max(1.5 * diameter, cell.half)
    reach = max(0.0, cell.half - width / 2)
    slot: Entry = {
        "slot": {"start": at(cell.x - reach, cell.y), "end": at(cell.x + reach + 1, cell.y), "width": mm(width)}
    }
    more: Entry = {"depth": cell.part_way(0.2, 0.45)}
    if cell.lots.chance(0.5):
        rough, _wide = cell.rack.mill(0.5 * cell.thick, 6.35, ("up-cut",))
        more["roughing"] = {"cutter": rough, "leave_floor": "0.3 mm", "leave_walls": "0.3 mm"}
    return [cell.does("dish", key, [slot], more)]


def groove(cell: Cell) -> list[Entry]:
    key, _diameter = cell.rack.mill(0.5 * cell.thick)
    return [cell.does("groove", key, [cell.line(0.8 * cell.half)], {"depth": cell.part_way(0.15, 0.4)})]


def fine_lines(cell: Cell) -> list[Entry]:
    key, _angle = cell.rack.vee()
    ray: Entry = {"polyline": {"points": [at(cell.x + 0.3 * cell.half, cell.y), at(cell.x + 0.9 * cell.half, cell.y)]}}
    shape: Entry = {"ring": {"of": ray, "count": cell.lots.whole(3, 8), "centre": at(cell.x, cell.y)}}
    return [cell.does("groove", key, [shape], {"width": mm(cell.lots.size(0.8, 2.4, 0.2))})]


def holes(cell: Cell) -> list[Entry]:
    through = cell.lots.chance(0.5)
    key, diameter = cell.rack.drill(cell.thick)
    depth = "through" if through else cell.part_way(0.3, 0.6)
    if cell.lots.chance(0.4):
        return [cell.does("drill", key, [cell.circle(diameter)], {"depth": depth})]
    gap = cell.lots.size(10, 1.6 * cell.half, 1)
    points = [at(cell.x - gap / 2, cell.y), at(cell.x + gap / 2, cell.y)]
    return [cell.does("drill", key, [{"points": points}], {"depth": depth})]


def rabbet(cell: Cell) -> list[Entry]:
    """A profile that does not go through, on a chosen side of its line."""
    key, _diameter = cell.rack.mill(0.5 * cell.thick)
    side = cell.lots.pick(("inside", "on", "outside"))
    shape = cell.circle(max(16.0, 1.2 * cell.half))
    return [cell.does("profile", key, [shape], {"side": side, "depth": cell.part_way(0.2, 0.5)})]


def slit(cell: Cell) -> list[Entry]:
    """An open line cut through: nothing comes loose."""
    key, _diameter = cell.rack.mill(cell.thick)
    return [cell.does("profile", key, [cell.line(0.7 * cell.half)], {"side": "on", "depth": "through"})]


def rim(cell: Cell) -> list[Entry]:
    """A hole cleared whole, and its upper edge broken."""
    key, diameter = cell.rack.mill(cell.thick)
    vee, _angle = cell.rack.vee()
    shape = cell.circle(max(diameter + 2, 1.1 * cell.half))
    first = cell.does("pocket", key, [shape], {"depth": "through"}, "-hole")
    return [first, cell.does("chamfer", vee, [shape], {"width": "1 mm", "side": "inside"}, "-edge")]


def words(cell: Cell) -> list[Entry]:
    key, _angle = cell.rack.vee()
    height = min(12.0, 0.6 * cell.half)
    text: Entry = {"text": {"write": cell.lots.pick(("N", "A1", "7")), "height": mm(height), "at": at(cell.x, cell.y)}}
    text["text"]["align"] = "centre"  # type: ignore[index]
    return [cell.does("engrave", key, [text], {"depth": mm(min(1.5, cell.thick / 3))})]


def flat_field(cell: Cell) -> list[Entry]:
    """A field of the face lowered a little."""
    key, _diameter = cell.rack.mill(2.0, 6.35, ("straight", "up-cut"))
    return [cell.does("face", key, [cell.rectangle(1.8 * cell.half, 1.8 * cell.half, 4)], {"depth": "0.8 mm"})]


def own_settings(cell: Cell) -> list[Entry]:
    """A pocket whose author insists on settings."""
    key, _diameter = cell.rack.mill(0.5 * cell.thick, 6.35, ("up-cut",))
    more: Entry = {"depth": cell.part_way(0.2, 0.4), "settings": {"speed": 16000, "feed": "900 mm/min"}}
    return [cell.does("pocket", key, [cell.circle(1.4 * cell.half)], more)]


def from_below(cell: Cell) -> list[Entry]:
    """A pocket in the bottom face, and sometimes a hole through into it from the top."""
    key, diameter = cell.rack.mill(cell.thick)
    first = cell.does("pocket", key, [cell.circle(1.7 * cell.half)], {"depth": cell.part_way(), "face": "bottom"})
    if cell.lots.chance(0.5):
        return [first]
    hole = cell.circle(max(diameter + 1, 0.7 * cell.half))
    return [first, cell.does("pocket", key, [hole], {"depth": "through"}, "-through")]


def plug_from_both_faces(cell: Cell) -> list[Entry]:
    """One circle cut from both faces a little over half-way: a disc comes loose though no cut goes through."""
    key, _diameter = cell.rack.mill(cell.thick)
    shape = cell.circle(max(22.0, 1.6 * cell.half))
    more: Entry = {"side": "inside", "depth": mm(0.5 * cell.thick + 0.3)}
    below = cell.does("profile", key, [shape], more | {"face": "bottom"}, "-below")
    return [below, cell.does("profile", key, [shape], more, "-above")]


def disc_over_pocket(cell: Cell) -> list[Entry]:
    """A circle cut down into a pocket of the other face: a thin disc comes loose though the cut is not through."""
    key, _diameter = cell.rack.mill(cell.thick)
    wide = max(28.0, 1.8 * cell.half)
    below = cell.does("pocket", key, [cell.circle(wide)], {"depth": mm(0.5 * cell.thick), "face": "bottom"}, "-below")
    more: Entry = {"side": "inside", "depth": mm(0.5 * cell.thick + 0.3)}
    return [below, cell.does("profile", key, [cell.circle(wide - 4)], more, "-above")]


Feature = Callable[[Cell], list[Entry]]
FEATURES: Mapping[str, Feature] = MappingProxyType(
    {
        make.__name__.replace("_", " "): make
        for make in (
            plug,
            pocket,
            plug_on_tabs,
            holes,
            plug_on_skin,
            groove,
            ring,
            dimples,
            from_below,
            window,
            loose_island,
            words,
            island,
            plug_from_both_faces,
            fine_lines,
            pocket_in_two_passes,
            rabbet,
            disc_over_pocket,
            slit,
            dish,
            rim,
            flat_field,
            own_settings,
        )
    }
)
