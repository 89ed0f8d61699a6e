"""`kitforge explain`: prints how the settings of one step were computed, as one would write it on paper."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kitforge.cli.common import add_choice, add_machine
from kitforge.cli.kits import add_kit
from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.model.plan import MachinePlan, Plan
    from kitforge.model.steps import Step


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("explain", help="print how a step's settings were computed", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=False)
    parser.add_argument(
        "step", metavar="STEP", nargs="?", help="key or number of a step; without one the steps are listed"
    )
    add_machine(parser, many=False)
    parser.add_argument("--format", choices=("text", "json"), default="text", help="for people (text) or programs")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the steps, or the calculation of one; return the exit code."""
    from kitforge.cli.codes import FINE, UNREADABLE
    from kitforge.cli.explain_report import print_json, print_steps, print_text, report_of
    from kitforge.cli.machines import chosen_cutters, chosen_machine
    from kitforge.cli.terminal import print_result
    from kitforge.pack.options import chosen_machines
    from kitforge.pipeline import plan_kit
    from kitforge.plugins import load_plugins
    from kitforge.release.families import one_choice
    from kitforge.release.findings.gather import unreadable_result

    machine, cutters = chosen_machine(chosen), chosen_cutters(chosen)
    choice = one_choice(chosen.kit, chosen.size, chosen.values)
    try:
        kit, plan = plan_kit(chosen.kit, load_plugins(), machine=machine, cutters=cutters, choice=choice, whole=False)
    except UnreadableKitError as error:
        print_result(unreadable_result(chosen.kit, error, size=choice.size))
        return UNREADABLE
    if chosen.step is None:
        print_steps(plan, chosen.format)
        return FINE
    step = find_step(plan, chosen.step)
    planned = chosen_machines(plan, [chosen.machine])[0] if chosen.machine else smallest(plan)
    report = report_of(kit, plan, step, planned)
    {"text": print_text, "json": print_json}[chosen.format](report)
    return FINE


def find_step(plan: Plan, wanted: str) -> Step:
    """Return the step with this key or number. Raises KitforgeError with the nearest key."""
    from kitforge.definition.reader import nearest

    for step in plan.steps:
        if wanted in (step.key, str(step.number)):
            return step
    keys = [step.key for step in plan.steps]
    advice = nearest(wanted, keys) or f"Steps: {', '.join(f'{step.number} {step.key}' for step in plan.steps)}."
    raise KitforgeError(f"There is no step '{wanted}'. {advice}")


def smallest(plan: Plan) -> MachinePlan:
    """Return the weakest class on which the kit can be cut; failing that one that it fits, failing that the first."""
    sound = plan.smallest_machine()
    if sound is not None:
        return sound
    ranked = sorted(plan.machines, key=lambda one: (not one.fits, one.machine.rank))
    if not ranked:
        raise KitforgeError("The kit is made for no machine class, so nothing was computed.")
    return ranked[0]
