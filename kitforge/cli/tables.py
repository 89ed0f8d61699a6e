"""`kitforge list`: what can be written in a kit: woods and panels, machine classes, hold-downs, finishes, hazards."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from kitforge.cli.common import Subparsers
    from kitforge.model.workshop import Workshop
    from kitforge.workshop.names import Named

TABLES = ("materials", "machines", "hold-downs", "finishes", "hazards")


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("list", help="list what can be written in a kit", description=__doc__)
    parser.add_argument("table", choices=TABLES, help="what to list")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="text for people, json for programs")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print one row per entry, sorted by key; return the exit code."""
    from kitforge.cli.codes import FINE

    rows = list(rows_of(chosen.table))
    (_print_json if chosen.format == "json" else _print_text)(rows)
    return FINE


def rows_of(table: str) -> Iterator[tuple[str, str, tuple[str, ...], str]]:
    """Yield key, name, other names and a sentence for each entry of a table, those of plugins too."""
    if table == "hazards":
        yield from _hazards()
        return
    from kitforge.plugins import load_plugins, merge_workshop
    from kitforge.workshop.load import load_workshop

    workshop = load_workshop()
    merge_workshop(workshop, load_plugins().workshop())
    entries, about = _entries(workshop, table)
    for entry in entries:
        yield entry.key, entry.name, (*entry.aliases, *entry.former_keys), about(entry)


def _entries(workshop: Workshop, table: str) -> tuple[Iterable[Named], Callable[[object], str]]:
    if table == "machines":
        ranked = sorted(workshop.machines.values(), key=lambda machine: machine.rank)
        return ranked, lambda entry: str(getattr(entry, "about", ""))
    found: dict[str, dict[str, Named]] = {
        "materials": {**workshop.materials},
        "hold-downs": {**workshop.hold_downs},
        "finishes": {**workshop.finishes},
    }
    entries = [entry for _key, entry in sorted(found[table].items())]
    field = "kind" if table == "materials" else "about"
    return entries, lambda entry: str(getattr(entry, field))


def _hazards() -> Iterator[tuple[str, str, tuple[str, ...], str]]:
    from kitforge.model.facts import ABOUT_HAZARDS, ABOUT_USES

    for hazard, about in ABOUT_HAZARDS.items():
        yield hazard.value, "hardware / hazard", (), about
    for use, about in ABOUT_USES.items():
        yield use.value, "kit / use", (), about


def _print_text(rows: list[tuple[str, str, tuple[str, ...], str]]) -> None:
    from kitforge.cli.terminal import console, table
    from kitforge.model.characters import clean

    shown = table(None, ("key", "name", "other names", "about"))
    for key, name, others, about in rows:
        shown.add_row(*map(clean, (key, name, ", ".join(others), about)))
    console().print(shown)


def _print_json(rows: list[tuple[str, str, tuple[str, ...], str]]) -> None:
    import json

    from kitforge.cli.lines import echo_text

    keys = ("key", "name", "other_names", "about")
    echo_text(json.dumps([dict(zip(keys, row, strict=True)) for row in rows], ensure_ascii=False, indent=2))
