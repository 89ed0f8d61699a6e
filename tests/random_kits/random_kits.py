"""Random kits: one seed, one kit.yaml, the same for ever. Invented data throughout.

    from random_kits import random_kit
    random_kit(17).text      # the kit.yaml

Consecutive seeds take turns at everything that must be covered (features, outlines, hold-downs, materials, grain,
ways to free a part), so that any fifty in a row hold all of it; sizes and the company that features keep are drawn.
`python tests/random_kits/kit_coverage.py [seeds]` prints what a set of kits covers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import yaml
from kit_cutters import Rack
from kit_draw import Lots, at, lots, mm
from kit_features import FEATURES
from kit_parts import DrawnPart, drawn_part

from kitforge.model.workshop import HoldDown, HoldKind, Material, MaterialKind, Workshop
from kitforge.workshop.load import load_workshop

Entry = dict[str, object]
RARE = ("plug from both faces", "disc over pocket")
"""Faults that come only when it is their turn, so that most kits are free of them."""
HAZARDS: Mapping[str, object] = {
    "Wood screw 3.5 x 30": "none",
    "Round magnet, 8 mm": ["magnet", "small part"],
    "Mains cable with switch and plug": "mains",
    "Wall hook": "wall fixing",
    "Glass pane, 2 mm": "glass",
    "Wood glue": "none",
}
USES = ("indoors", "outdoors", "food", "children", "wall")
HARDWARE: tuple[Entry, ...] = (
    {"item": "Wood screw 3.5 x 30", "count": 4, "use": "hold the parts together"},
    {"item": "Round magnet, 8 mm", "count": 2},
    {"item": "Mains cable with switch and plug", "use": "power"},
    {"item": "Wall hook", "count": 1, "use": "in the wall"},
    {"item": "Glass pane, 2 mm"},
    {"item": "Wood glue", "count": "a little"},
)
GRAINS = ("length", "width", "none")
FASTENED = (HoldKind.SCREWS, HoldKind.BRADS)
CLAMPED = (HoldKind.CLAMPS, HoldKind.EDGE_FENCES)
SOLID = (MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD)


@dataclass(frozen=True, slots=True)
class RandomKit:
    """The kit.yaml of a seed."""

    seed: int
    text: str

    @property
    def name(self) -> str:
        """For the name of a test."""
        return f"random-{self.seed}"


def random_kit(seed: int) -> RandomKit:
    """Return the kit of a seed. It can always be read; whether it is sound is for the check to say."""
    return RandomKit(seed, yaml.dump(_definition(lots(seed)), Dumper=_Plain, sort_keys=False, allow_unicode=True))


class _Plain(yaml.SafeDumper):
    """Writes everything out; kit.yaml knows no anchors."""

    def ignore_aliases(self, _data: object) -> bool:
        return True


@cache
def _shop() -> Workshop:
    return load_workshop()


def _definition(lots: Lots) -> Entry:
    rack = Rack(lots)
    boards = 1 if lots.number % 4 else 2
    made = [_board(lots, rack, index) for index in range(boards)]
    stock = {key: entry for key, entry, _parts in made}
    parts = {key: part for _key, _entry, parts in made for key, part in parts.items()}
    holds = _hold_downs(lots, stock)
    found: Entry = {
        "kitforge": 1,
        "kit": _about(lots),
        "units": "in" if lots.number % 5 == 3 else "mm",
        "stock": stock,
        "cutters": rack.entries,
        "machines": _machines(lots),
        "hold_down": holds,
        "parts": parts,
        "hardware": _hardware(lots),
        "assembly": [{"text": "Look at what was cut.", "parts": list(parts)}],
        "finishing": {"sanding": [120, 180], "finish": lots.turn(sorted(_shop().finishes))},
    }
    if lots.number % 13 == 6:
        found["order"] = "as written"
    if setups := _setups(lots, holds, stock, parts):
        found["setups"] = setups
    return found


def _hardware(lots: Lots) -> list[Entry]:
    """Return up to two things to buy; in every third kit nothing is said of their hazards."""
    things = lots.some(HARDWARE, lots.whole(0, 2))
    if lots.number % 3 == 0:
        return things
    return [{**thing, "hazard": HAZARDS[str(thing["item"])]} for thing in things]


def _about(lots: Lots) -> Entry:
    number = lots.number
    use: Entry = {} if number % 4 == 0 else {"use": lots.turn(USES) if number % 2 else ["indoors", lots.turn(USES[2:])]}
    return use | {
        "title": f"Invented piece {number}",
        "slug": f"invented-{number}",
        "version": "1.0.0",
        "author": "Workshop of invented things",
        "licence": "CC-BY-4.0",
        "summary": "An invented piece for trying the checks.",
    }


def _board(lots: Lots, rack: Rack, index: int) -> tuple[str, Entry, dict[str, Entry]]:
    """Return one stock piece and the parts that are cut from it."""
    shop = sorted(_shop().materials.values(), key=lambda material: material.key)
    panels = lots.number % 4 == 2
    material = lots.turn([one for one in shop if (one.kind not in SOLID) is panels], 4 if panels else 1)
    material = material if index == 0 else lots.pick(shop)
    nominal, actual = _thickness(lots, material)
    key = f"board-{index + 1}"
    parts: dict[str, Entry] = {}
    drawn: list[DrawnPart] = []
    for number in range(2 if lots.chance(0.3) else 1):
        part = drawn_part(lots, rack, key, actual, _features(lots, first=index == 0 and number == 0))
        count = lots.pick((1, 1, 1, 2, 3))
        part.entry["count"] = count
        drawn += [part] * count
        parts[f"part-{index + 1}-{number + 1}"] = part.entry
    _facing(lots, rack, next(iter(parts.values())), actual)
    return key, _stock(lots, material, (nominal, actual), drawn), parts


def _features(lots: Lots, *, first: bool) -> list[str]:
    """Return the features of a part: in the first one that whose turn it is, and some company."""
    company = lots.some([name for name in FEATURES if name not in RARE], lots.pick((0, 1, 1, 2, 3)))
    return [lots.turn(list(FEATURES)), *company] if first else company[:2]


def _facing(lots: Lots, rack: Rack, part: Entry, thick: float) -> None:
    """Let every sixth kit flatten a whole face of the stock first, some of them both."""
    if lots.number % 6 != 1 or thick < 6:
        return
    operations = part["operations"]
    assert isinstance(operations, list)
    key, _diameter = rack.surfacing() if lots.chance(0.7) else rack.mill(2.0, 8.0, ("straight", "up-cut"))
    faces = ("bottom", "top") if lots.chance(0.3) else (lots.pick(("top", "top", "bottom")),)
    for face in faces:
        operations.insert(0, {"name": f"flatten-{face}", "do": "face", "cutter": key, "depth": "1 mm", "face": face})


def _thickness(lots: Lots, material: Material) -> tuple[float, float]:
    """Return what the shop calls a thickness and what the calliper says, mm."""
    thin = material.kind not in SOLID
    nominal = lots.pick((6.0, 9.0, 12.0, 18.0) if thin else (8.0, 12.0, 16.0, 19.05, 22.0, 28.0))
    return nominal, round(nominal - lots.pick((0.0, 0.0, 0.2, 0.45)), 2)


def _stock(lots: Lots, material: Material, thick: tuple[float, float], drawn: Sequence[DrawnPart]) -> Entry:
    """Return a stock piece with room for all of the parts, or now and then for one of them, so that more are needed."""
    gap, margin = 18.0, lots.pick((10.0, 12.0, 20.0))
    widths = [part.box[2] - part.box[0] for part in drawn]
    heights = [part.box[3] - part.box[1] for part in drawn]
    fits = [max(widths)] if lots.number % 3 == 2 else widths
    length = sum(fits) + gap * len(fits) + 2 * margin + lots.size(0, 30, 1)
    width = max(heights) + gap + 2 * margin + lots.size(0, 30, 1)
    found: Entry = {
        "material": material.key,
        "thickness": {"nominal": mm(thick[0]), "actual": mm(thick[1])},
        "length": mm(round(length, 1)),
        "width": mm(round(width, 1)),
        "grain": lots.turn(GRAINS),
        "margin": mm(margin),
    }
    if material.kind in SOLID and lots.chance(0.3):
        found["boards"] = lots.pick(("85 mm", "130 mm", "400 mm"))
    return found


def _machines(lots: Lots) -> list[str]:
    """Return one or two machine classes; the weakest one now and then."""
    keys = [machine.key for machine in sorted(_shop().machines.values(), key=lambda machine: machine.rank)]
    return list(dict.fromkeys([lots.turn(keys, 2), lots.pick(keys[1:])]))


def _hold_downs(lots: Lots, stock: Mapping[str, Entry]) -> list[str]:
    """Return the hold-downs; the first one suits cutting out of these stocks and has room, most of the time."""
    shop = _shop()
    keys = sorted(set(shop.hold_downs) - {"vacuum_blower"})
    listed = [lots.turn(keys), *lots.some(keys, lots.pick((0, 0, 1, 2)))]
    oily = any(shop.materials[str(entry["material"])].oily for entry in stock.values())
    suited = [key for key in keys if _suits(shop.hold_downs[key], oily=oily)]
    if listed[0] not in suited and lots.chance(0.8):
        listed.insert(0, lots.pick(suited))
    if shop.hold_downs[listed[0]].kind in CLAMPED and lots.chance(0.8):
        for entry in stock.values():
            _add_room(entry)
    # A blower takes the place of the other vacuum table by turns, so that the kits of all seeds stay what they were.
    table = lots.turn(["vacuum_board", "vacuum_blower"], len(keys))
    return list(dict.fromkeys(table if key == "vacuum_board" else key for key in listed))


def _suits(hold: HoldDown, *, oily: bool) -> bool:
    """Return whether a hold-down suits cutting small parts out: nothing soft, no suction, no tape on oily wood."""
    tape = hold.kind in (HoldKind.TAPE_AND_GLUE, HoldKind.DOUBLE_SIDED_TAPE)
    return not (hold.gives or hold.kind is HoldKind.VACUUM or (tape and oily))


def _add_room(entry: Entry) -> None:
    """Leave a wider margin all around, for clamps."""
    for key, more in (("length", 60.0), ("width", 60.0), ("margin", 30.0)):
        entry[key] = mm(round(float(str(entry[key]).split()[0]) + more, 1))


def _setups(lots: Lots, holds: Sequence[str], stock: Mapping[str, Entry], parts: Mapping[str, Entry]) -> Entry:
    """Return places for screws and clamps, in every third kit that can use them."""
    kinds = [_shop().hold_downs[key].kind for key in holds]
    key, entry = next(iter(stock.items()))
    length, width = (float(str(entry[side]).split()[0]) for side in ("length", "width"))
    corners = [at(x, y) for x in (6.0, length - 6) for y in (6.0, width - 6)]
    faces = {str(op.get("face", "top")) for part in parts.values() for op in part["operations"]}  # type: ignore[attr-defined]
    setup: Entry = {}
    if lots.number % 3 == 0 and set(kinds) & set(FASTENED):
        setup["fasteners"] = corners
    if lots.number % 3 == 0 and set(kinds) & set(CLAMPED):
        setup["clamps"] = corners[: lots.pick((2, 4))]
    return {key: dict.fromkeys(sorted(faces), setup)} if setup else {}
