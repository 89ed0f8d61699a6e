"""Kits as arguments: from what was typed to a folder, and from an error to findings that can be printed."""

from __future__ import annotations

import argparse
import pathlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitforge.cli.codes import FINDINGS, FINE, UNREADABLE
from kitforge.model.errors import UnreadableKitError
from kitforge.model.findings import Finding, Severity, in_words
from kitforge.model.messages import Wording

if TYPE_CHECKING:
    from kitforge.pipeline import CheckedKit


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one kit: its findings, and whether it could be read at all."""

    folder: pathlib.Path
    findings: tuple[Finding, ...]
    readable: bool = True

    def code(self, *, strict: bool = False) -> int:
        """Return the exit code for this kit alone."""
        forbidden = (Severity.ERROR, Severity.WARNING) if strict else (Severity.ERROR,)
        if not self.readable:
            return UNREADABLE
        return FINDINGS if any(finding.severity in forbidden for finding in self.findings) else FINE


def add_kit(parser: argparse.ArgumentParser, *, many: bool = False) -> None:
    """Add the KIT argument: a kit's folder, or the kit.yaml in it."""
    about = "folder of a kit, or the kit.yaml in it"
    parser.add_argument(
        "kits" if many else "kit", metavar="KIT", type=folder_of, nargs="+" if many else None, help=about
    )


def folder_of(typed: str) -> pathlib.Path:
    """Return the kit's folder: what was typed, or its parent when that is the kit.yaml itself."""
    path = pathlib.Path(typed)
    return path.parent if path.name == "kit.yaml" and not path.is_dir() else path


def unreadable(folder: pathlib.Path, error: UnreadableKitError) -> Outcome:
    """Return the outcome for a kit that could not be read, with every problem that the error carries."""
    return Outcome(folder, in_words(error.problems, Wording(units=error.units)), readable=False)


def checked_outcome(folder: pathlib.Path, checked: CheckedKit) -> Outcome:
    """Return the outcome for a kit that was checked, its findings in words and in the author's units."""
    return Outcome(folder, in_words(checked.findings, Wording(units=checked.kit.info.units)))


def worst(codes: Sequence[int]) -> int:
    """Return the exit code of a call from those of its kits."""
    return max(codes, default=FINE)
