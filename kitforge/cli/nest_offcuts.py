"""`kitforge nest --offcuts`: which parts fit on the offcuts of a shop, and a drawing of each one that is used."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE
from kitforge.cli.kits import for_each
from kitforge.cli.lines import echo
from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.model.family import KitChoice
    from kitforge.model.kit import Kit
    from kitforge.model.offcuts import Offcut
    from kitforge.planning.nesting.offcuts import OnOffcuts

_MOST = 10


def nest_on_offcuts(chosen: argparse.Namespace) -> int:
    """Tell what fits on the offcuts of --offcuts, size by size; return the exit code: 0 where every copy does."""
    from kitforge.release.families import choices_of

    offcuts = chosen_offcuts(chosen.offcuts)
    choices = choices_of(chosen.kit, chosen.size or (), ())
    return for_each(chosen.kit, choices, lambda choice: _nest(chosen, choice, offcuts))


def _nest(chosen: argparse.Namespace, choice: KitChoice, offcuts: tuple[Offcut, ...]) -> int:
    from kitforge.release.nesting import kits_at_rungs
    from kitforge.release.work import plugins

    kits = kits_at_rungs(chosen.kit, plugins(), choice, offcuts)
    folder = chosen.draw / choice.size if chosen.draw is not None and choice.size else chosen.draw
    # one thickness that all copies fit at is enough: each is another way to cut the whole kit
    return min(_fitted(chosen, rung, kit, offcuts, folder) for rung, kit in kits)


def _fitted(
    chosen: argparse.Namespace, rung: float | None, kit: Kit, offcuts: tuple[Offcut, ...], folder: pathlib.Path | None
) -> int:
    from kitforge.planning.nesting.offcuts import on_offcuts

    if rung is not None:
        echo(f"by the drawings for {rung:g} mm:")
    found = on_offcuts(kit, offcuts, chosen.tries, chosen.seed)
    for one in found:
        _tell(kit, one)
    if folder is not None:
        _draw(kit, found, folder / f"{rung:g}-mm" if rung is not None else folder)
    return FINDINGS if any(one.left_over for one in found) else FINE


def chosen_offcuts(file: pathlib.Path | None) -> tuple[Offcut, ...]:
    """Return the offcuts in a file, none where no file was named.

    Prints everything that is wrong with it and raises KitforgeError when it cannot be used.
    """
    if file is None:
        return ()
    from kitforge.cli.terminal import print_problems
    from kitforge.release.work import plugins
    from kitforge.stages.read_offcuts import read_offcuts

    try:
        return read_offcuts(file, plugins())
    except UnreadableKitError as error:
        print_problems(file.parent, error.problems)
        raise KitforgeError(f"The offcuts in {file} cannot be used; mend the errors above.") from None


def _tell(kit: Kit, one: OnOffcuts) -> None:
    copies = sum(part.count for part in kit.parts if part.stock.key == one.stock.key)
    echo(f"{one.stock.title}: {copies - len(one.left_over)} of {copies} copies fit on offcuts")
    for offcut, row in one.used:
        echo(f"  {offcut.title}: {', '.join(f'{place.part} {place.copy}' for place in row)}")
    for fault in one.faults:
        echo(f"  refused: {fault}")
    for offcut, why in one.unsuited:
        echo(f"  {offcut.title} is not used: {why}")
    if one.left_over:
        rest = ", ".join(f"{part} {copy}" for part, copy in one.left_over[:_MOST])
        more = f" and {len(one.left_over) - _MOST} more" if one.left_over[_MOST:] else ""
        echo(f"  from stock: {rest}{more}")


def _draw(kit: Kit, found: tuple[OnOffcuts, ...], folder: pathlib.Path) -> None:
    from kitforge.drawings.write import dxf_bytes
    from kitforge.files.writing import write_whole
    from kitforge.planning.nesting.offcut_drawings import offcut_drawings
    from kitforge.release.work import plugins
    from kitforge.stages.planning import plan

    planned = plan(kit, plugins())
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for drawing in offcut_drawings(kit, planned, found):
            path = folder / f"{drawing.name}.dxf"
            write_whole(path, dxf_bytes(drawing.layers, notes=drawing.notes))
            echo(f"wrote {path}")
    except OSError as problem:
        raise KitforgeError(f"Cannot write into {folder}: {problem.strerror or problem}.") from None
