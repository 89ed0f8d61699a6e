"""Safety messages: a signal word from how bad it can get and how likely, and always hazard, consequence and avoidance.

Definitions of the words: ANSI Z535.4 (DANGER will, WARNING could kill or seriously injure, CAUTION could cause minor
or moderate injury, NOTICE is not about injury); ISO 3864-2 has the first three. Three parts of a message: the usual
reading of ANSI Z535.6 and IEC/IEEE 82079-1.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum

from kitforge.language import later, say_as
from kitforge.model.lines import Use


class SignalWord(StrEnum):
    """Signal words, worst first."""

    DANGER = later("DANGER")
    WARNING = later("WARNING")
    CAUTION = later("CAUTION")
    NOTICE = later("NOTICE")


class Injury(StrEnum):
    """How bad it can get. SERIOUS is also what does not heal, such as lost hearing, and what needs a hospital."""

    SERIOUS = "death or serious injury"
    MODERATE = "minor or moderate injury"
    NONE = "damage to machine, cutter or work only"


class Likelihood(StrEnum):
    """How sure it is to happen if nothing is done about it."""

    WILL = "will"
    COULD = "could"


class Harm(Enum):
    """What happens if nothing is done about a hazard, worst first."""

    CERTAIN_DEATH = (Injury.SERIOUS, Likelihood.WILL)
    SERIOUS = (Injury.SERIOUS, Likelihood.COULD)
    MODERATE = (Injury.MODERATE, Likelihood.COULD)
    DAMAGE = (Injury.NONE, Likelihood.COULD)

    @property
    def word(self) -> SignalWord:
        """The signal word for this injury at this likelihood."""
        injury, likelihood = self.value
        if injury is Injury.SERIOUS:
            return SignalWord.DANGER if likelihood is Likelihood.WILL else SignalWord.WARNING
        return SignalWord.CAUTION if injury is Injury.MODERATE else SignalWord.NOTICE


@dataclass(frozen=True, slots=True)
class SafetyMessage:
    """One safety message. Raises ValueError when a part is missing: such a message helps nobody.

    uses: what its avoidance asks the reader to wear or to have.
    """

    harm: Harm
    title: str
    hazard: str
    consequence: str
    avoidance: str
    source: str = ""
    uses: tuple[Use, ...] = ()

    def __post_init__(self) -> None:
        for part in ("title", "hazard", "consequence", "avoidance"):
            if not getattr(self, part).strip():
                raise ValueError(f"the safety message '{self.title}' has no {part}")

    @property
    def word(self) -> SignalWord:
        """The signal word, which follows from the harm alone."""
        return self.harm.word

    @property
    def signal(self) -> str:
        """The signal word in the language that is being written."""
        return say_as(self.word)

    @property
    def has_triangle(self) -> bool:
        """True for messages about injury; a triangle never stands beside NOTICE."""
        return self.harm is not Harm.DAMAGE


def worst_first(messages: list[SafetyMessage]) -> tuple[SafetyMessage, ...]:
    """Return the messages without repeats, the worst harm first."""
    return tuple(sorted(dict.fromkeys(messages), key=lambda message: list(Harm).index(message.harm)))
