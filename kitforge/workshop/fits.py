"""Kinds of joint and the play that each of them starts with."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from kitforge.model.record import record
from kitforge.model.workshop import Span
from kitforge.workshop.cutting_data import entry_as
from kitforge.workshop.tables import table


@record
class FitClass:
    """play: how much wider the slot is than what goes into it, mm, over both faces."""

    play: Span


@cache
def fits() -> Mapping[str, FitClass]:
    """Return the table `data/fits.yaml` by kind, read once per process. Raises TableError if the file is wrong."""
    top = table("fits")
    block = top.row("fits")
    found = {name: entry_as(FitClass, block.row(name)) for name in block.names()}
    block.done()
    top.done()
    return MappingProxyType(found)
