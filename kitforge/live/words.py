"""What the script of the page says, by the names that the script knows; the templates hold the rest."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kitforge.language import later, say_as

WORDS: Mapping[str, str] = MappingProxyType(
    {
        # stages of the work, as the follower names them
        "reading": later("Reading the kit …"),
        "planning": later("Working out the settings …"),
        "checking": later("Checking …"),
        "further": later("Checking other thicknesses and trial pieces too …"),
        "done": later("Up to date with the saved files."),
        "trouble": later("What is saved cannot be read; the last state that could be is in grey."),
        "bug": later("A fault of kitforge, not yours: see the terminal. The page follows the next save."),
        # the line to the server
        "ended": later("kitforge live has ended. Start it again and open the address that it prints."),
        "no answer": later("kitforge live does not answer; trying again …"),
        # the piece after each step
        "solid": later("{part} after step {number}, {title}; the arrow keys turn it."),
        "nothing cut": later("Nothing is cut from a part in this step."),
        "step": later("step {number}, {title}, {part}"),
        "of": later("{number} of {count}"),
        # what mends a finding
        "copied": later("Copied"),
        "copy yourself": later("Mark it above and copy it: this browser does not let the page do so"),
    }
)
MARKS: Mapping[str, str] = MappingProxyType(
    {
        "error": later("error on this line"),
        "warning": later("warning on this line"),
        "note": later("note on this line"),
    }
)
"""What is told of a line of kit.yaml, by the worst that was found on it."""


def in_use(words: Mapping[str, str]) -> dict[str, str]:
    """Return words in the language that is being written."""
    return {key: say_as(text) for key, text in words.items()}
