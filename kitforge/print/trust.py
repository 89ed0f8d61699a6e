"""How far a reader may trust the pack: what the forces are worth, and what the maker has tried."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitforge.language import decimal, say, say_as
from kitforge.print.figures import sentence
from kitforge.workshop.cutting_data import cutting_data

if TYPE_CHECKING:
    from kitforge.model.kit import Kit


def uncertainty() -> str:
    """Return what stands beside every answer that rests on a computed force; the band is that of the force model."""
    return f"{force_band()} {say('Holding and bending are reckoned with the high end, but no hold was tested.')}"


def force_band() -> str:
    """Return how far a computed force may be off, in one sentence."""
    band = cutting_data().cutting_force.band
    return say(
        "Computed, not measured: the real cutting force may be {low} to {high} times the computed one.",
        low=decimal(f"{band.low:g}"),
        high=decimal(f"{band.high:g}"),
    )


def tried(kit: Kit) -> tuple[str, ...]:
    """Return the maker's own trials, the latest first, or that none is reported."""
    if not kit.tried:
        return (
            say(
                "The maker has not reported a trial of this kit: every setting in it is computed. Try each one on "
                "scrap of the same wood before you cut good stock."
            ),
        )
    return tuple(
        say(
            "Tried by the maker on {date}, {machine}, {wood}: {seen}",
            date=one.date,
            machine=say_as(one.machine),
            wood=say_as(one.wood),
            seen=sentence(one.seen),
        )
        for one in kit.tried
    )
