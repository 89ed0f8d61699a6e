"""The text of a first kit.yaml, with a comment at everything that was guessed."""

from __future__ import annotations

import json
from collections.abc import Iterator

from kitforge.drafting.names import as_key, as_title
from kitforge.drafting.records import DraftOperation, KitDraft, PartDraft, ShapeGroup
from kitforge.drawings.write import svg_path_data
from kitforge.geometry.affine import scaling
from kitforge.geometry.transform import transformed
from kitforge.model.path import Path
from kitforge.model.units import MM_PER_UNIT, plain_number

_PLACES = 6
_HEAD = """\
# yaml-language-server: $schema=kit.schema.json
# A first kit, made from {name}. What is marked GUESS does not stand in the drawing: look at each one,
# change it, and take the mark away.
# Every length carries a unit ('12 mm', '1/4 in') or is in the unit below. Every word after a # is a comment.
kitforge: 1 # the version of this file's schema
units: {units} # GUESS from the drawing's unit, {unit}: the unit of bare numbers, and the one that is printed first

kit:
  title: {title}
  slug: {slug} # for file names
  version: 0.1.0
  author: Your name
  licence: CC-BY-4.0 # an SPDX expression; for your own terms: LicenseRef-Yours and licence_file: terms.txt
  summary: Say in two sentences what this is and what it is for.
  skill: beginner # beginner, some practice, experienced
  use: indoors # GUESS: where the piece is used: indoors, outdoors, food, children, wall

parameters: # names for measures; used below after a '='
  sheet: {thickness} # GUESS{said_by}: thickness of the stock. Measure yours

stock: # what you buy; x runs along the length
  board:
    material: birch_plywood # GUESS: a wood or panel of the workshop's tables
    thickness: sheet
    length: {length} # the part with room for the cutter and a margin, rounded up
    width: {width}

cutters: # GUESS: the largest common ones that get everywhere; write in what is in your drawer
"""
_MACHINES = """
machines: [light_router, medium_router, heavy_router] # GUESS: classes of routers the kit is for
hold_down: [screws, double_sided_tape] # GUESS: ways to hold the stock, best first

"""
_TAIL = """
finishing: { sanding: [120, 180] } # GUESS; add `finish: hardwax_oil`
# Missing still: hardware (things to buy) and assembly (how it goes together).
"""


def kit_text(draft: KitDraft) -> str:
    """Return kit.yaml."""
    source = draft.source
    title = as_title(source.name.rpartition(".")[0])
    head = _HEAD.format(
        name=source.name,
        units=draft.units,
        unit=source.drawing.unit,
        title=_quoted(title),
        slug=as_key(title, set()),
        thickness=draft.thickness,
        said_by=f" from the name '{_comment(draft.thickness_from)}'" if draft.thickness_from else "",
        length=draft.stock[0],
        width=draft.stock[1],
    )
    cutters = "".join(f"  {tool.key}: {tool.written}\n" for tool in draft.tools)
    return head + cutters + _MACHINES + "\n".join(_parts(draft, title)) + "\n" + _TAIL


def _parts(draft: KitDraft, title: str) -> Iterator[str]:
    yield "parts:"
    for one in draft.left_out:
        yield f"  # not used: {one.count} x on {_comment(one.layer)}: {one.why}"
    names: set[str] = set()
    for number, part in enumerate(draft.parts, 1):
        yield from _part(draft, part, title if len(draft.parts) == 1 else f"{title} {number}", names)


def _part(draft: KitDraft, part: PartDraft, title: str, names: set[str]) -> Iterator[str]:
    yield f"  {as_key(title, names)}:"
    yield f"    title: {_quoted(title)}"
    yield "    stock: board"
    if part.part.copies > 1:
        yield f"    count: {part.part.copies} # GUESS: so many like ones are drawn; the first one is used"
    yield f"    drawing: {draft.source.name}"
    yield from _reading(draft)
    if part.part.box is not None:
        box = part.part.box
        at, size = _pair(box.left, box.bottom), _pair(box.width, box.height)
        yield f"    drawing_box: {{ at: {at}, size: {size} }} # where in the drawing this part is"
    size = f"{plain_number(part.box.width, 2)} x {plain_number(part.box.height, 2)} mm"
    yield f"    outline: {_outline(part)} # GUESS: the closed line of the largest area, {size}"
    for one in part.left_out:
        yield f"    # not used: {one.count} x on {_comment(one.layer)}: {one.why}"
    yield "    operations:"
    for work in part.works:
        yield from _operation(work)


def _pair(x: float, y: float) -> str:
    return f"[{plain_number(x, 2)} mm, {plain_number(y, 2)} mm]"


def _outline(part: PartDraft) -> str:
    lot = part.part.outline
    if not lot.layers:
        return f"{{ path: {_path_data(part.part.path)} }}"
    return _shape(lot, f"size: {_pair(part.box.width, part.box.height)}")


def _reading(draft: KitDraft) -> Iterator[str]:
    source = draft.source
    problem = next((one for one in source.drawing.problems if one.kind in ("unit-missing", "unit-doubtful")), None)
    if source.unit is not None:
        yield f"    units: {source.unit} # as you said"
    elif problem is not None and problem.kind == "unit-missing" and source.drawing.unit in MM_PER_UNIT:
        yield f"    units: {source.drawing.unit} # GUESS: the drawing does not say its unit; check the size below"
    elif problem is not None:
        yield "    # GUESS: 1 unit of the drawing was taken for a pixel of 1/96 inch; if it is 1 mm, add `units: mm`"
    if source.join:
        yield f"    join: {plain_number(source.join, 3)} mm # gaps up to this are closed with a line, as you said"


def _operation(work: DraftOperation) -> Iterator[str]:
    yield f"      - name: {work.name} # GUESS: {_comment(work.why)}"
    yield f"        title: {_quoted(work.title)}"
    yield f"        do: {work.do}"
    yield f"        cutter: {work.tool.key}"
    if work.lot is not None:
        yield from _shapes(work.lot)
    if work.depth is not None:
        yield f"        depth: {work.depth}" + ("" if work.depth == "through" else " # GUESS")
    if work.do == "profile":
        yield "        hold: { tabs: {} } # GUESS; number, size and places are computed"


def _shapes(lot: ShapeGroup) -> Iterator[str]:
    if lot.layers:
        yield f"        shapes: [{_shape(lot, f'count: {lot.count}')}]"
        return
    yield f"        shapes: # written out, as no layer of the drawing holds just these; from {_comment(lot.seen_on)}"
    for path in (*lot.shapes.closed, *lot.shapes.open):
        yield f"          - {{ path: {_path_data(path)} }}"
    if lot.shapes.points:
        near = [(plain_number(x, _PLACES), plain_number(y, _PLACES)) for x, y in lot.shapes.points]
        places = ", ".join(f"[{x} mm, {y} mm]" for x, y in near)
        yield f"          - {{ points: [{places}] }}"


def _shape(lot: ShapeGroup, expected: str) -> str:
    """Return a `layer` shape with what it should give, so that a changed drawing is told."""
    names = [_quoted(name) for name in lot.layers]
    words = [f"name: {names[0] if len(names) == 1 else '[' + ', '.join(names) + ']'}"]
    if lot.diameter is not None:
        words.append(f"diameter: {plain_number(lot.diameter, 3)} mm")
    elif lot.only is not None:
        words.append(f"only: {lot.only}")
    return f"{{ layer: {{ {', '.join([*words, expected])} }} }}"


def _path_data(path: Path) -> str:
    # svg_path_data turns y over, kit.yaml has it upwards: turned over twice it is as drawn
    return svg_path_data(transformed(path, scaling(1.0, -1.0)), places=_PLACES)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _comment(text: str) -> str:
    return "".join(char if char.isprintable() else "?" for char in text)[:200]
