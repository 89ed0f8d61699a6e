"""Sizes in words: of parts, and of what an operation makes. The figures come from `planning.sizes` alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kitforge.geometry.extent import Form
from kitforge.language import say
from kitforge.planning.overall import part_extent
from kitforge.print.figures import Measure, Units, figure, listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitforge.geometry.extent import Extent
    from kitforge.model.kit import Kit, Part
    from kitforge.planning.sizes import Made


def family_words(kit: Kit) -> str:
    """Return in which sizes a kit is offered and which of them this is, '' for a kit of one size."""
    family = kit.family
    if family.size is None or len(family.sizes) < 2:
        return ""
    return say("Sizes of this kit: {sizes}. This is {own}.", sizes=listed([one.title for one in family.sizes]),
               own=family.size.title)  # fmt: skip


def part_size(part: Part, units: Units) -> Measure:
    """Return a part's length, width and thickness, or its diameter and thickness."""
    extent, thick = part_extent(part), part.thickness
    if extent.form is not Form.ROUND:
        return units.size(extent.along, extent.across, thick)
    return diameter(units.size(extent.along, thick))


def diameter(size: Measure) -> Measure:
    """Return a size that begins with a diameter, marked so in both unit systems."""
    return Measure(f"Ø {size.main}", f"Ø {size.other}" if size.other else "")


def extent_words(extent: Extent, units: Units) -> str:
    """Return the size of one shape in the first unit system, e.g. 'Ø 8 mm', '58 × 40 mm, turned 30°'."""
    if extent.open_along or extent.open_across:
        return _open_words(extent, units)
    if extent.form is Form.ROUND:
        return f"Ø {units.length(extent.along).main}"
    size = units.size(extent.along, extent.across).main
    if extent.form is Form.FREE:
        size = say("{size} overall", size=size)
    return say("{size}, turned {angle}°", size=size, angle=figure(extent.angle, 1)) if extent.is_turned else size


def first_size(made: Made, units: Units) -> Measure | None:
    """Return the size of the first of what an operation makes, in both unit systems where both are printed.

    Of what runs along a line its width. How many there are stands before it where all are alike. None where nothing
    can be measured.
    """
    first = made.extents[0] if made.extents else None
    if first is not None and not made.line and first.open_along and first.open_across:
        return None
    if first is None and not made.line:
        return None
    if made.line or first is None:
        width = units.length(made.line or 0.0)
        return Measure(say("{width} wide", width=width.main), width.other)
    if first.open_along or first.open_across:
        width = units.length(first.across if first.open_along else first.along)
        return Measure(say("{width} wide", width=width.main), width.other)
    own, second = replace(units, both=False), Units("mm" if units.first == "in" else "in", both=False)
    alike = len({(one.form, round(one.shorter, 2), round(one.longer, 2)) for one in made.extents}) == 1
    count = f"{made.count} × " if alike and made.count > 1 else ""
    if first.form is Form.FREE and not first.is_turned:
        size = units.size(first.along, first.across)
        return Measure(count + size.main, size.other)
    return Measure(count + extent_words(first, own), extent_words(first, second) if units.both else "")


def _open_words(extent: Extent, units: Units) -> str:
    """Return what can be measured of a shape that runs out over an edge or into another one."""
    if extent.open_along and extent.open_across:
        return say("open, no two walls stand opposite each other")
    width = extent.across if extent.open_along else extent.along
    return say("{width} wide, open at an end", width=units.length(width).main)


def made_words(made: Made, sizes: Sequence[Extent], units: Units) -> str:
    """Return in words what an operation makes: sizes that are unlike each other, the width of lines, corner relief."""
    if not sizes:
        return say("{width} wide", width=units.length(made.line).main) if made.line else ""
    if made.line:
        return _line_words(made.line, sizes, units)
    size = "; ".join(extent_words(one, units) for one in sizes)
    if made.relief is None:
        return size
    return say("{size}, with corner reliefs of Ø {relief}", size=size, relief=units.length(made.relief).main)


def _line_words(width: float, sizes: Sequence[Extent], units: Units) -> str:
    """Return the sizes of lines: of straight ones over their ends, of others from middle to middle, and their width."""
    lengths = [units.length(one.longer).main for one in sizes if one.form is Form.SLOT and not _lacks_end(one)]
    middles = [size for one in sizes if one.form is not Form.SLOT and (size := _between(one, units))]
    words = [say("{size} from middle to middle", size="; ".join(middles))] if middles else []
    words += [say("{length} long", length="; ".join(lengths))] if lengths else []
    return ", ".join([*words, say("{width} wide", width=units.length(width).main)])


def _lacks_end(slot: Extent) -> bool:
    return slot.open_along if slot.along > slot.across else slot.open_across


def _between(extent: Extent, units: Units) -> str:
    """Return the sizes of a bent or closed line that can be measured, empty where none can."""
    if extent.form is Form.ROUND:
        return "" if extent.open_along else f"Ø {units.length(extent.along).main}"
    sizes = ((extent.along, extent.open_along), (extent.across, extent.open_across))
    found = [size for size, is_open in sizes if not is_open]
    return units.size(*found).main if found else ""
