"""`kitforge cost`: what a kit costs its maker, from prices.yaml beside the kit; no build reads that file.

Wood as it is sold, finish, hardware, hours of the machine and by hand, for a batch and for each piece of it.
"""

from __future__ import annotations

import argparse
import pathlib
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE, UNREADABLE
from kitforge.cli.common import add_choice
from kitforge.cli.kits import add_kit, for_each
from kitforge.cli.lines import echo
from kitforge.model.errors import UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.model.family import KitChoice
    from kitforge.model.prices import Cost

_MOST_PIECES = 1000


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("cost", help="what a kit costs its maker", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=True)
    parser.add_argument("--prices", type=pathlib.Path, metavar="FILE", help="default: prices.yaml beside kit.yaml")
    parser.add_argument("--pieces", type=_pieces, default=1, metavar="N", help="how many kits are made together (1)")
    parser.add_argument("--machine", metavar="CLASS", help="the class whose time counts (the weakest that fits)")
    parser.set_defaults(run=run)


def _pieces(text: str) -> int:
    number = int(text)
    if not 1 <= number <= _MOST_PIECES:
        raise argparse.ArgumentTypeError(f"from 1 to {_MOST_PIECES}")
    return number


def run(chosen: argparse.Namespace) -> int:
    """Tell what it costs; return the exit code: 1 where something has no price."""
    from kitforge.release.families import choices_of

    choices = choices_of(chosen.kit, chosen.size or (), chosen.values)
    return for_each(chosen.kit, choices, lambda choice: _cost(chosen, choice))


def _cost(chosen: argparse.Namespace, choice: KitChoice) -> int:
    from kitforge.cli.terminal import print_problems
    from kitforge.model.prices import PRICES_FILE
    from kitforge.pack.options import chosen_machines
    from kitforge.pipeline import plan_kit
    from kitforge.release.cost import cost_of
    from kitforge.release.work import plugins
    from kitforge.stages.read_prices import read_prices

    kit, plan = plan_kit(chosen.kit, plugins(), choice=choice)
    machines = chosen_machines(plan, [chosen.machine] if chosen.machine else [])
    path = chosen.prices or chosen.kit / PRICES_FILE
    try:
        prices = read_prices(path, kit)
    except UnreadableKitError as error:
        print_problems(path.parent, error.problems)
        return UNREADABLE
    found = cost_of(kit, plan, prices, machines, chosen.pieces)
    _tell(found)
    return FINDINGS if found.unknown else FINE


def _tell(cost: Cost) -> None:
    from kitforge.cli.terminal import console, table
    from kitforge.model.characters import clean
    from kitforge.release.cost import money_words

    made = table(None, ["", "", f"{cost.prices.currency}, {cost.prices.on}"])
    for line in cost.lines:
        made.add_row(clean(line.what), clean(line.amount), money_words(line.cost) if line.cost else "no price")
    made.add_row(f"all of {cost.pieces}" if cost.pieces > 1 else "together", "", money_words(cost.total))
    if cost.pieces > 1:
        made.add_row("each", "", money_words((cost.total[0] / cost.pieces, cost.total[1] / cost.pieces)))
    console().print(made)
    if cost.unknown:
        echo(f"Without what has no price: {'; '.join(clean(one) for one in cost.unknown)}. Real costs are higher.")
