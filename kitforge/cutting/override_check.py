"""What to say about settings that an author insists on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kitforge.model.settings import Limit, Problem, TroubleCode, Window, figure

_SLACK = 1e-3


class OverrideStanding(StrEnum):
    """Where a value stands against a window."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    PAST_LIMIT = "past a limit"


@dataclass(frozen=True, slots=True)
class Verdict:
    """Where a value stands and the limit that it passes, if any."""

    standing: OverrideStanding
    limit: Limit | None
    text: str


def judge(window: Window, value: float) -> Verdict:
    """Return where `value` stands: inside, outside the advised window, or past a limit that must hold.

    A tenth of a percent over counts as inside, for values that were rounded or converted from inches.
    """
    over = [limit for limit in window.highs if value > limit.value * (1 + _SLACK)]
    under = [limit for limit in window.lows if value < limit.value * (1 - _SLACK)]
    passed = [limit for limit in (*over, *under) if limit.hard] or [*over, *under]
    if not passed:
        return Verdict(
            OverrideStanding.INSIDE, None, f"{window.quantity} {figure(value)} {window.unit} is inside the window"
        )
    worst = max(passed, key=lambda limit: _ratio(value, limit.value))
    standing = OverrideStanding.PAST_LIMIT if worst.hard else OverrideStanding.OUTSIDE
    side = "above" if worst in over else "below"
    text = (
        f"{window.quantity} {figure(value)} {window.unit} is {side} {figure(worst.value)} {window.unit} "
        f"({worst.reason})"
    )
    return Verdict(standing, worst, text)


def verdict_note(window: Window, value: float) -> Problem | None:
    """Return the note for a value outside its window, None for one inside."""
    verdict = judge(window, value)
    if verdict.standing is OverrideStanding.INSIDE:
        return None
    trouble = TroubleCode.PAST_LIMIT if verdict.standing is OverrideStanding.PAST_LIMIT else TroubleCode.OUTSIDE
    advice = f"stay between {figure(window.low)} and {figure(window.high)} {window.unit}"
    return Problem(trouble, f"The author's {verdict.text}.", (advice,), high=verdict.limit)


def _ratio(value: float, bound: float) -> float:
    if value <= 0 or bound <= 0:
        return float("inf")
    return max(value / bound, bound / value)
