"""`kitforge settings`: prints the computed settings of every step, per machine class."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice, add_machine, add_units
from kitforge.cli.kits import add_kit, code_of
from kitforge.model.errors import UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("settings", help="print the computed settings of a kit", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=False)
    add_machine(parser, many=False)
    add_units(parser, both=False)
    parser.add_argument(
        "--format", choices=("text", "json", "csv"), default="text", help="for people, programs or spreadsheets"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the settings; return 1 when a finding is an error, for then they are not fit for use."""
    from kitforge.cli.codes import UNREADABLE
    from kitforge.cli.lines import echo_error
    from kitforge.cli.machines import chosen_cutters, chosen_machine
    from kitforge.cli.settings_report import print_csv, print_json, print_tables, report_of
    from kitforge.cli.terminal import print_result
    from kitforge.pack.options import chosen_machines
    from kitforge.pipeline import check_kit
    from kitforge.plugins import load_plugins
    from kitforge.release.families import one_choice
    from kitforge.release.findings.gather import checked_result, unreadable_result
    from kitforge.release.findings.plain import summary

    machine, cutters = chosen_machine(chosen), chosen_cutters(chosen)
    choice = one_choice(chosen.kit, chosen.size, chosen.values)
    try:
        checked = check_kit(chosen.kit, load_plugins(), machine=machine, cutters=cutters, choice=choice)
    except UnreadableKitError as error:
        print_result(unreadable_result(chosen.kit, error, size=choice.size))
        return UNREADABLE
    machines = chosen_machines(checked.plan, [chosen.machine] if chosen.machine else [])
    units = chosen.units or checked.kit.info.units
    report = report_of(checked.plan, machines, units)
    {"text": print_tables, "json": print_json, "csv": print_csv}[chosen.format](report)
    result = checked_result(chosen.kit, checked)
    if result.fails():
        echo_error(f"{summary(result, result.rows)}; see: kitforge check {chosen.kit}")
    return code_of(result)
