"""What lies on the machine has a name: read anew from the drawings of the set-ups, large and small."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from xml.etree import ElementTree

import pytest
import shapely
from kit_samples import Sample
from planted import Fault
from shapely import Polygon
from shapely.affinity import affine_transform
from words import Word, overprinted, picture_words

from kitforge.model.kit import Face, Kit
from kitforge.model.plan import PlannedSetup
from kitforge.pictures.drawn.part_names import PartNames
from kitforge.pictures.drawn.placing import words_room
from kitforge.pictures.drawn.sheet import sheet_picture
from kitforge.print.figures import Units
from kitforge.print.svg import Picture

LAW = "in the drawing of a set-up every piece carries its name, or a number that a key below explains"
ROOMS = ((114.0, 104.0), (82.0, 75.0))
"""The largest and the smallest room that the booklet gives to such a drawing, mm."""
_HAIR = 0.05  # mm
_SVG = "{http://www.w3.org/2000/svg}"


def broken(sample: Sample) -> list[str]:
    """Return every piece without a name, every name over an edge or over another one, every drawing out of its room."""
    return [
        f"{planned.stock.key}, {planned.face.value}, {room[0]:.0f} mm: {said}"
        for planned in sample.plan.setups
        for room in ROOMS
        for said in _amiss(sample.kit, planned, room)
    ]


def _amiss(kit: Kit, planned: PlannedSetup, room: tuple[float, float]) -> Iterator[str]:
    picture = sheet_picture(kit, planned.sheets[0], planned.places, Units("mm", both=True), *room, planned.face)
    if picture.width > room[0] + _HAIR or picture.height > room[1] + _HAIR:
        yield f"it is {picture.width:.1f} × {picture.height:.1f} mm large"
    words = _once(picture_words(picture.svg))
    yield from (f"'{one}' stands over '{other}'" for one, other in overprinted(words))
    yield from (f"'{word.text}' is cut off" for word in words if not word.inside(0, 0, picture.width, picture.height))
    shown = list(_shown(kit, planned, picture))
    key = dict(_key(words))
    for index, (title, area) in enumerate(shown):
        others = [other for number, (_, other) in enumerate(shown) if number != index]
        if not _carries(title, area, words) and not _keyed(title, area, others, picture, key):
            yield f"'{title}' has no name"


def _once(words: Iterator[Word]) -> list[Word]:
    """Return the words of a picture, each once: under some lies a halo."""
    return list(dict.fromkeys(words))


def _shown(kit: Kit, planned: PlannedSetup, picture: Picture) -> Iterator[tuple[str, Polygon]]:
    """Yield the title of every piece and its area on the paper, from where its stock is drawn."""
    sheet, stock = planned.sheets[0], planned.stock
    first = next(iter(ElementTree.fromstring(picture.svg).iter(f"{_SVG}path"))).attrib["d"]
    numbers = [float(one) for one in re.findall(r"-?[\d.]+", first)]
    left, right, top, bottom = min(numbers[::2]), max(numbers[::2]), min(numbers[1::2]), max(numbers[1::2])
    x, y = (right - left) / stock.length, (bottom - top) / stock.width
    matrix = [x, 0, 0, -y, left, bottom] if planned.face is Face.TOP else [-x, 0, 0, -y, right, bottom]
    for place in sheet.placements:
        part = kit.part(place.part)
        yield part.title, affine_transform(place.path(part.outline).to_polygon(0.05), matrix)


def _carries(title: str, area: Polygon, words: Sequence[Word]) -> bool:
    """Whether the words that lie in a piece are those of its title."""
    room = area.buffer(_HAIR)
    inside = [one for word in words if room.contains(_box(word)) for one in word.text.split()]
    return sorted(inside) == sorted(title.split())


def _keyed(title: str, area: Polygon, others: Sequence[Polygon], picture: Picture, key: dict[str, str]) -> bool:
    """Whether a number stands in a piece, or a line leads from it to one in no other, and the key has the title."""
    words = [_box(word) for word in _once(picture_words(picture.svg)) if key.get(word.text) == title]
    if any(area.contains(word.centroid) for word in words):
        return True
    free = [word for word in words if not any(word.intersects(other) for other in others)]
    ends = [[float(one) for one in re.findall(r"-?[\d.]+", path.attrib["d"])] for path in _lines(picture)]
    return any(
        area.buffer(_HAIR).contains(shapely.Point(x, y))
        and any(word.distance(shapely.Point(u, v)) < 2.5 for word in free)
        for x, y, u, v in ends
    )


def _lines(picture: Picture) -> Iterator[ElementTree.Element]:
    paths = ElementTree.fromstring(picture.svg).iter(f"{_SVG}path")
    return (path for path in paths if re.fullmatch(r"M[-\d. ]+L[-\d. ]+", path.attrib["d"]))


def _key(words: Sequence[Word]) -> Iterator[tuple[str, str]]:
    """Yield the entries of the key: a number and the words right of it, on one line."""
    for number in words:
        if number.text.isdigit():
            level = [one for one in words if abs(one.top - number.top) < 1.5 and 0 < one.left - number.right < 2.5]
            yield from ((number.text, one.text) for one in level)


def _box(word: Word) -> Polygon:
    return shapely.box(word.left, word.top, word.right, word.bottom)


def _changed(patch: pytest.MonkeyPatch, change: Callable[[list[str]], list[str]]) -> None:
    draw = PartNames.draw

    def drawn(self: PartNames) -> None:
        titles = change([title for title, _ in self.shown])
        self.shown = [(title, path) for title, (_, path) in zip(titles, self.shown, strict=False)]
        draw(self)

    patch.setattr(PartNames, "draw", drawn)


def _last_forgotten(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda titles: titles[:-1])


def _mixed_up(patch: pytest.MonkeyPatch) -> None:
    _changed(patch, lambda titles: [*titles[1:], *titles[:1]])


def _too_narrow(patch: pytest.MonkeyPatch) -> None:
    patch.setattr("kitforge.pictures.drawn.part_names.words_room", lambda words, size: words_room(words, size) / 2)


FAULTS = (
    Fault("the last piece of a sheet is not named", _last_forgotten),
    Fault("names are held to be half as wide", _too_narrow),
    Fault("pieces carry each other's names", _mixed_up),
)
