"""`kitforge nest`: lays parts out by their true shapes, to use less wood; where they lie is kept in layout.lock.

A build only reads that file and never searches, so that the same kit gives the same layout everywhere.
"""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE
from kitforge.cli.kits import add_kit, for_each
from kitforge.cli.lines import echo
from kitforge.cli.nest_offcuts import nest_on_offcuts
from kitforge.model.errors import KitforgeError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.model.family import KitChoice
    from kitforge.planning.nesting.lay import StockLayout
    from kitforge.release.nesting import Nested

_MOST_TRIES = 100_000


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("nest", help="lay parts out by their true shapes", description=__doc__)
    add_kit(parser)
    parser.add_argument("--size", metavar="NAME", action="append", help="only this size of the kit (default: all)")
    parser.add_argument(
        "--tries", type=_tries, default=500, metavar="N", help="orders to try beyond the sorted ones (500); not a time"
    )
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="another seed tries other orders (1)")
    parser.add_argument("--dry-run", action="store_true", help="write nothing; say what would be gained")
    parser.add_argument(
        "--offcuts",
        type=pathlib.Path,
        metavar="FILE",
        help="say which parts fit on these offcuts; keeps no layout",
    )
    parser.add_argument(
        "--draw", type=pathlib.Path, metavar="DIR", help="with --offcuts: write a DXF of each offcut that is used"
    )
    parser.set_defaults(run=run)


def _tries(text: str) -> int:
    number = int(text)
    if not 0 <= number <= _MOST_TRIES:
        raise argparse.ArgumentTypeError(f"from 0 to {_MOST_TRIES}")
    return number


def run(chosen: argparse.Namespace) -> int:
    """Search, tell and write; return the exit code."""
    from kitforge.release.families import choices_of

    if chosen.offcuts is not None:
        return nest_on_offcuts(chosen)
    if chosen.draw is not None:
        raise KitforgeError("--draw goes with --offcuts; the drawings of sheets are in the pack.")
    choices = choices_of(chosen.kit, chosen.size or (), ())
    return for_each(chosen.kit, choices, lambda choice: _nest(chosen, choice))


def _nest(chosen: argparse.Namespace, choice: KitChoice) -> int:
    from kitforge.release.nesting import nested
    from kitforge.release.work import plugins

    found = nested(chosen.kit, plugins(), chosen.tries, chosen.seed, choice)
    if not found.stocks:
        echo(f"{chosen.kit}: nothing to lay out: no stock holds two parts or more without places of the author's")
        return FINE
    for stock in found.stocks:
        _tell(stock)
    if found.layout is None:
        _tell_refused(found)
        return FINDINGS
    for finding in found.more:
        echo(f"  new with this layout: {finding.as_line()}")
    if not chosen.dry_run:
        _write(chosen, found)
    return FINE


def _tell(stock: StockLayout) -> None:
    sheets, length = stock.before
    title = stock.stock.title
    if stock.left_over:
        names = ", ".join(f"'{part}' (copy {copy})" for part, copy in stock.left_over[:5])
        echo(f"{title}: no place for {names}; use larger stock or a smaller part")
    for fault in stock.faults:
        echo(f"{title}: refused: {fault}")
    if stock.sheets:
        last = f"{stock.length:.0f} of {stock.stock.length:.0f} mm of the last one"
        echo(f"{title}: {len(stock.sheets)} sheet(s), {last}; parts are {stock.share:.0%} of that")
        how = "kept" if stock.rectangles else f"by shape, {stock.tried} orders tried"
        if stock.left:
            echo(f"  left over: {', '.join(f'{one.width:.0f} × {one.height:.0f} mm' for one in stock.left)}")
        echo(f"  as rectangles: {sheets} sheet(s), {length:.0f} mm of the last one ({how})")


def _tell_refused(found: Nested) -> None:
    for finding in found.new[:20]:
        echo(f"  {finding.as_line()}")
    echo("Nothing is written: this layout cannot be cut." if found.new else "Nothing is written.")


def _write(chosen: argparse.Namespace, found: Nested) -> None:
    from kitforge.files.writing import write_whole
    from kitforge.model.layout import layout_file
    from kitforge.release.nesting import text_for

    path = chosen.kit / layout_file(found.kit.info.size)
    try:
        write_whole(path, text_for(found))
    except OSError as problem:
        raise KitforgeError(f"Cannot write {path}: {problem.strerror or problem}.") from None
    echo(f"wrote {path}")
