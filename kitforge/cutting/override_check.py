"""What to say about settings that an author insists on."""

from __future__ import annotations

from enum import StrEnum

from kitforge.cutting.worksheet.results import figures
from kitforge.model.messages import Message, msg, term
from kitforge.model.record import record
from kitforge.model.settings import Limit, Problem, TroubleCode, Window

_SLACK = 1e-3


class OverrideStanding(StrEnum):
    """Where a value stands against a window."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    PAST_LIMIT = "past a limit"


@record
class Verdict:
    """Where a value stands and the limit that it passes, if any."""

    standing: OverrideStanding
    limit: Limit | None
    message: Message


def override_verdict(window: Window, value: float) -> Verdict:
    """Return where `value` stands: inside, outside the advised window, or past a limit that must hold.

    A tenth of a percent over counts as inside, for values that were rounded or converted from inches.
    """
    over = [limit for limit in window.highs if value > limit.value * (1 + _SLACK)]
    under = [limit for limit in window.lows if value < limit.value * (1 - _SLACK)]
    passed = [limit for limit in (*over, *under) if limit.hard] or [*over, *under]
    if not passed:
        inside = msg(
            "{setting} {value} is inside the window", setting=term(window.quantity), value=figures(value, window.unit)
        )
        return Verdict(OverrideStanding.INSIDE, None, inside)
    worst = max(passed, key=lambda limit: _ratio(value, limit.value))
    standing = OverrideStanding.PAST_LIMIT if worst.hard else OverrideStanding.OUTSIDE
    message = msg(
        "The author's {setting} {value} is {side} {limit} ({limit_name}).",
        setting=term(window.quantity),
        value=figures(value, window.unit),
        side=term("above") if worst in over else term("below"),
        limit=figures(worst.value, window.unit),
        limit_name=term(worst.reason),
    )
    return Verdict(standing, worst, message)


def verdict_note(window: Window, value: float) -> Problem | None:
    """Return the note for a value outside its window, None for one inside."""
    verdict = override_verdict(window, value)
    if verdict.standing is OverrideStanding.INSIDE:
        return None
    trouble = TroubleCode.PAST_LIMIT if verdict.standing is OverrideStanding.PAST_LIMIT else TroubleCode.OUTSIDE
    advice = msg("stay between {low} and {high}", low=figures(window.low, ""), high=figures(window.high, window.unit))
    return Problem(trouble, verdict.message, (advice,), high=verdict.limit)


def _ratio(value: float, bound: float) -> float:
    if value <= 0 or bound <= 0:
        return float("inf")
    return max(value / bound, bound / value)
