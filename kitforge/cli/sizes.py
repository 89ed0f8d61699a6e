"""`kitforge sizes`: what the sizes of a kit come to, side by side: overall size, stock, time, cutters, findings."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from kitforge.cli.common import add_choice, add_units
from kitforge.cli.kits import add_kit, code_of, worst
from kitforge.cli.lines import echo, echo_text

if TYPE_CHECKING:
    from kitforge.cli.common import Subparsers
    from kitforge.release.size_facts import CheckedSize


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("sizes", help="compare the sizes of a kit", description=__doc__)
    add_kit(parser)
    add_choice(parser, many=True)
    add_units(parser, both=False)
    parser.add_argument("--format", choices=("text", "json"), default="text", help="for people (text) or programs")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the sizes; return the worst exit code of them all."""
    from kitforge.release.families import choices_of
    from kitforge.release.size_facts import checked_size
    from kitforge.release.work import plugins

    choices = choices_of(chosen.kit, chosen.size or (), chosen.values)
    found = [checked_size(chosen.kit, choice, plugins()) for choice in choices]
    if chosen.format == "json":
        echo_text(json.dumps([_as_data(one) for one in found], indent=2))
    else:
        _print(found, chosen.units or "mm")
        if any(one.result.counts.get("error") for one in found):
            echo(f"See: kitforge check {chosen.kit}")
    return worst([code_of(one.result) for one in found])


def _as_data(one: CheckedSize) -> dict[str, Any]:
    facts = one.facts
    return {
        "size": one.size or None,
        "title": one.title,
        "overall_mm": _rounded(facts.overall) if facts and facts.overall else None,
        "stock": {key: {"count": count, "size_mm": _rounded(sides)} for key, (count, *sides) in _stock_of(one).items()},
        "parts": facts.parts if facts else 0,
        "cutters": list(facts.cutters) if facts else [],
        "seconds": {key: _rounded(span) for key, span in _seconds(one).items()},
        "counts": dict(one.result.counts),
        "readable": one.result.readable,
    }


def _stock_of(one: CheckedSize) -> Mapping[str, tuple[int, float, float, float]]:
    return one.facts.stock if one.facts else {}


def _seconds(one: CheckedSize) -> Mapping[str, tuple[float, float]]:
    return one.facts.seconds if one.facts else {}


def _rounded(values: Sequence[float]) -> list[float]:
    return [float(f"{value:.6g}") for value in values]


def _print(found: Sequence[CheckedSize], unit: str) -> None:
    from kitforge.cli.terminal import console, table
    from kitforge.model.characters import clean

    machines = list(dict.fromkeys(key for one in found for key in _seconds(one)))
    rows = [("overall size", [_sides(one.facts.overall if one.facts else None, unit) for one in found])]
    rows += [("parts to cut", [str(one.facts.parts) if one.facts else "-" for one in found])]
    rows += [(f"stock: {key}", [_stock(one, key, unit) for one in found]) for key in _stocks(found)]
    rows += [("cutters", ["\n".join(one.facts.cutters if one.facts else ()) or "-" for one in found])]
    rows += [(f"time: {key}", [_time(one, key) for one in found]) for key in machines]
    rows += [("findings", [_counts(one) for one in found])]
    made = table(None, ["", *(clean(one.title) for one in found)])
    for name, cells in rows:
        made.add_row(clean(name), *(clean(cell, keep="\n") for cell in cells))
    console().print(made)


def _stocks(found: Sequence[CheckedSize]) -> list[str]:
    return list(dict.fromkeys(key for one in found for key in _stock_of(one)))


def _sides(sides: Sequence[float] | None, unit: str) -> str:
    from kitforge.model.units import MM_PER_UNIT, plain_number

    if not sides:
        return "-"
    places = 1 if unit == "mm" else 3
    return " x ".join(plain_number(side / MM_PER_UNIT[unit], places) for side in sides) + f" {unit}"


def _stock(one: CheckedSize, key: str, unit: str) -> str:
    piece = _stock_of(one).get(key)
    return f"{piece[0]} x ({_sides(piece[1:], unit)})" if piece else "-"


def _time(one: CheckedSize, key: str) -> str:
    from kitforge.print.figures import minutes

    span = _seconds(one).get(key)
    return minutes(span) if span else "does not fit"


def _counts(one: CheckedSize) -> str:
    if not one.result.readable:
        return "cannot be read"
    said = [f"{count} {severity}{'s' if count > 1 else ''}" for severity, count in one.result.counts.items() if count]
    return "\n".join(said) or "none"
