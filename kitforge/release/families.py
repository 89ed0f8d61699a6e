"""The sizes of a kit as a call needs them, before anything heavy is loaded."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitforge.files.reading import read_bounded
from kitforge.model.errors import KitforgeError
from kitforge.model.family import MOST_RUNGS, KitChoice, count_of_rungs
from kitforge.model.findings import KIT_FILE
from kitforge.model.units import parse_length

if TYPE_CHECKING:
    from kitforge.model.pack import BuildOptions
    from kitforge.release.jobs import BuildJob

MOST_PRINTED = 36
"""Sizes times languages times papers of one kit in one call, each with its booklet (a bound of taste, no source)."""

MOST_PLANNED = 72
"""Sizes times thicknesses of one kit in one call, each planned and checked like a kit (a bound of taste, no source)."""

_LARGEST = 1 << 20
_SIZES = re.compile(rb"(?m)^[\"']?sizes[\"']?[ \t]*:|^\s*\{|ladder")
_KEY = re.compile(r"[a-z][a-z0-9_-]{0,39}")


def sizes_of(folder: Path) -> tuple[str, ...]:
    """Return the keys of a kit's sizes in the order written, none where it has none or cannot be read."""
    return _sizes(_written(folder))


def _sizes(written: Mapping[str, Any]) -> tuple[str, ...]:
    sizes = written.get("sizes")
    return tuple(key for key in sizes if _KEY.fullmatch(key)) if isinstance(sizes, dict) else ()


def packed(folder: Path) -> str:
    """Return how the kit's sizes are packed: each, together or both."""
    release = _written(folder).get("release")
    how = release.get("sizes") if isinstance(release, dict) else None
    return how if how in ("together", "both") else "each"


def rungs_in(written: Mapping[str, Any]) -> int:
    """Return for how many thicknesses each size of a kit is planned: the rungs of all ladders, 1 without any.

    written: what kit.yaml holds. A ladder that is not written in plain lengths counts as long as one may be.
    """
    stocks = written.get("stock")
    entries = stocks.values() if isinstance(stocks, dict) else ()
    ladders = [one["ladder"] for one in entries if isinstance(one, dict) and isinstance(one.get("ladder"), dict)]
    return max(1, sum(map(_rungs, ladders)))


def _rungs(ladder: Mapping[str, object]) -> int:
    try:
        low, high, step = (parse_length(str(ladder.get(name)), "mm") for name in ("from", "to", "step"))
        return max(1, min(MOST_RUNGS, count_of_rungs(low, high, step)))
    except (ValueError, ZeroDivisionError):
        return MOST_RUNGS


def _written(folder: Path) -> dict[str, Any]:
    """Return what kit.yaml holds at its top; nothing where that cannot be read, which reading the kit will tell."""
    try:
        data = read_bounded(folder / KIT_FILE, _LARGEST)
    except OSError:
        return {}
    if not _SIZES.search(data):
        return {}
    from kitforge.definition.yaml_reader import read_yaml

    tree, _where, problems = read_yaml(data, KIT_FILE)
    return tree if isinstance(tree, dict) and not problems else {}


def choices_of(folder: Path, wanted: Sequence[str], values: Sequence[tuple[str, str]]) -> list[KitChoice]:
    """Return what a call means by a kit: each size that is wanted, all of them where none is.

    Raises KitforgeError for a size that the kit does not have, and where they are too many to be planned.
    """
    written = _written(folder)
    known = _sizes(written)
    for size in wanted:
        if size not in known:
            raise KitforgeError(f"{folder}: {_no_size(size, known)}")
    sizes = dict.fromkeys(wanted) or known or ("",)
    _require_plannable(folder, len(sizes), rungs_in(written))
    return [KitChoice(size, tuple(values)) for size in sizes]


def _no_size(size: str, known: Sequence[str]) -> str:
    import difflib

    if not known:
        return f"the kit has no sizes, so there is none called '{size}'. Leave out --size."
    near = difflib.get_close_matches(size, known, n=1)
    return f"there is no size '{size}'. " + (f"Did you mean '{near[0]}'?" if near else f"Sizes: {', '.join(known)}.")


def one_choice(folder: Path, wanted: str | None, values: Sequence[tuple[str, str]]) -> KitChoice:
    """Return what a call for one kit means: the size that is wanted, else the first. Raises KitforgeError."""
    return choices_of(folder, [wanted] if wanted else [], values)[0]


def build_jobs(job: BuildJob, wanted: Sequence[str], values: Sequence[tuple[str, str]]) -> Iterator[BuildJob]:
    """Yield the packs of a kit: one of each size, one of all of them together, or both, as its `release` says.

    Sizes that are named are packed each by itself. Raises KitforgeError where it would be too much.
    """
    choices = choices_of(job.folder, wanted, values)
    _require_few(job.folder, len(choices), job.options)
    how = "each" if wanted or len(choices) == 1 else packed(job.folder)
    if how != "together":
        yield from (replace(job, choice=choice) for choice in choices)
    if how != "each":
        together = tuple(one.size for one in choices)
        yield replace(job, choice=replace(choices[0], size=""), together=together, told=how == "both")


def order_jobs(job: BuildJob, orders: Path) -> tuple[list[BuildJob], list[str]]:
    """Return a job for each order of a file, and the columns of it that mean nothing to the kit.

    Raises KitforgeError for a file that cannot be used, UnreadableKitError for a kit that cannot be read.
    """
    from kitforge.release.orders import read_orders
    from kitforge.stages.read import read

    definition = read(job.folder).definition
    names = [*definition.texts, *definition.parameters]
    choices, left_out = read_orders(orders, names, tuple(definition.sizes))
    return [replace(job, choice=choice) for choice in choices], left_out


def _require_plannable(folder: Path, sizes: int, rungs: int) -> None:
    if sizes * rungs > MOST_PLANNED:
        raise KitforgeError(
            f"{folder}: {sizes} {'size' if sizes == 1 else 'sizes'} in {rungs} thicknesses are {sizes * rungs} kits to "
            f"plan; {MOST_PLANNED} at a time is the limit. Name sizes with --size, or let the ladders have fewer rungs."
        )


def _require_few(folder: Path, sizes: int, options: BuildOptions) -> None:
    languages, papers = len(options.languages), len(options.papers)
    if sizes * languages * papers > MOST_PRINTED:
        raise KitforgeError(
            f"{folder}: {sizes} sizes in {languages} languages on {papers} papers are {sizes * languages * papers} "
            f"booklets (one holds all thicknesses); {MOST_PRINTED} at a time is the limit. Name sizes with --size, or "
            "fewer languages or papers."
        )
