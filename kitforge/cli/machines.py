"""A machine or cutters of the reader's own as arguments: from the file that was named to what is in it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from kitforge.model.errors import KitforgeError, UnreadableKitError

if TYPE_CHECKING:
    from kitforge.model.kit import Cutter
    from kitforge.model.workshop import MachineClass


def chosen_machine(chosen: argparse.Namespace) -> MachineClass | None:
    """Return the machine of --machine-file, or None where it was not given.

    Prints everything that is wrong with the file and raises KitforgeError when it cannot be used.
    """
    if chosen.machine_file is None:
        return None
    from kitforge.cli.terminal import print_problems
    from kitforge.stages.read_machine import read_machine

    try:
        return read_machine(chosen.machine_file)
    except UnreadableKitError as error:
        print_problems(chosen.machine_file.parent, error.problems)
        raise KitforgeError(f"The machine in {chosen.machine_file} cannot be used; mend the errors above.") from None


def chosen_cutters(chosen: argparse.Namespace) -> tuple[Cutter, ...]:
    """Return the cutters of --cutter-file, none where it was not given.

    Prints everything that is wrong with the file and raises KitforgeError when it cannot be used.
    """
    if chosen.cutter_file is None:
        return ()
    from kitforge.cli.terminal import print_problems
    from kitforge.stages.read_cutters import read_cutters

    try:
        return read_cutters(chosen.cutter_file)
    except UnreadableKitError as error:
        print_problems(chosen.cutter_file.parent, error.problems)
        raise KitforgeError(f"The cutters in {chosen.cutter_file} cannot be used; mend the errors above.") from None
