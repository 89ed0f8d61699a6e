"""`kitforge buy`: the wood of a kit as sheets and boards that are sold, how they are sawn, and what is waste."""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE
from kitforge.cli.common import add_choice
from kitforge.cli.kits import add_kit, for_each
from kitforge.cli.lines import echo
from kitforge.cli.nest_offcuts import chosen_offcuts

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.model.family import KitChoice
    from kitforge.model.kit import Kit
    from kitforge.model.offcuts import Offcut
    from kitforge.planning.buying import BoardsToBuy, Purchase
    from kitforge.print.figures import Units

_REGIONS = ("europe", "north_america")
_SHOWN = 3


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("buy", help="sheets and boards to buy, as they are sold", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=True)
    parser.add_argument("--region", choices=_REGIONS, help="where you buy (where the kit's units are in use)")
    parser.add_argument(
        "--offcuts",
        type=pathlib.Path,
        metavar="FILE",
        help="boards of your shop are sawn before any is bought",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Tell what to buy; return the exit code: 1 where something cannot be bought so."""
    from kitforge.release.families import choices_of

    offcuts = chosen_offcuts(chosen.offcuts)
    choices = choices_of(chosen.kit, chosen.size or (), chosen.values)
    return for_each(chosen.kit, choices, lambda choice: _buy(chosen, choice, offcuts))


def _buy(chosen: argparse.Namespace, choice: KitChoice, offcuts: tuple[Offcut, ...]) -> int:
    from kitforge.pipeline import plan_kit
    from kitforge.planning.buying import purchases
    from kitforge.release.work import plugins
    from kitforge.workshop.sold import region_of

    kit, plan = plan_kit(chosen.kit, plugins(), choice=choice)
    region = chosen.region or region_of(kit.info.units)
    found = purchases(kit, plan, region, offcuts)
    for one in found:
        _tell(kit, one, region)
    return FINDINGS if any(one.unsold for one in found) else FINE


def _tell(kit: Kit, one: Purchase, region: str) -> None:
    from kitforge.print.buying import bought_words, panel_words
    from kitforge.print.figures import Units
    from kitforge.workshop.sold import units_of

    units = Units(units_of(region), both=False)
    echo(f"{', '.join(str(stock.title) for stock in one.stocks)}: {one.pieces} piece(s)")
    for own in one.own:
        cuts = ", ".join(f"{length:.0f} mm from {start:.0f} mm on" for length, start in own.cuts)
        echo(f"  from {own.offcut.title}: {cuts}")
    for panel in one.panels[:_SHOWN]:
        echo(f"  {panel_words(panel, units)}; {panel.waste:.0%} of that becomes no part")
    if one.boards is not None and one.boards.boards:
        echo(f"  {bought_words(one, units)}, {one.boards.quarters}; {one.boards.waste:.0%} of that becomes no part")
        _tell_cuts(one.boards, units)
        _tell_row(kit, one, units)
    if one.unsold:
        echo(f"  larger than anything in the table of sizes: {', '.join(one.unsold)}; ask your timber yard")


def _tell_cuts(found: BoardsToBuy, units: Units) -> None:
    from kitforge.print.buying import cuts_words

    side_by_side = f", {found.rows} strips side by side" if found.rows > 1 else ""
    for board in found.boards:
        echo(f"    {units.length(board.length, 0).main}: {cuts_words(found, board.pieces, units)}{side_by_side}")


def _tell_row(kit: Kit, one: Purchase, units: Units) -> None:
    from kitforge.planning.nesting.in_a_row import length_in_a_row

    row = length_in_a_row(kit, one.stocks)
    separate = sum(stock.length * (stock.count or 1) for stock in one.stocks)
    if row is not None and row < separate:
        taken, instead = (units.length(length, 0).main for length in (row, separate))
        echo(f"  laid out in a row, all parts take {taken} of one such board instead of {instead}")
