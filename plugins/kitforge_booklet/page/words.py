"""The words that the script of the page says, by the keys that it knows them by."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from kitforge.language import Language, later, use_language

if TYPE_CHECKING:
    from kitforge.cutting.worksheet.plain import Plain
    from kitforge.model.pack import BuildOptions

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "up to": later("up to {high}"),
        "author's value": later("author's value"),
        "ramp": later("ramp {angle}°"),
        "helix": later("helix {angle}°"),
        "peck": later("peck {depth} mm"),
        "last": later("+ one of {depth}"),
        "last of both": later("+ one of {depth} or {other}"),
        "passes elsewhere": later("({unit}: {count} + one of {depth})"),
        "equal elsewhere": later("({unit}: {count})"),
        "dial at": later("dial {position}"),
        "yours": later("Yours"),
        "no settings": later("No sound settings."),
        "does not fit": later("The kit does not fit"),
        "fits": later("The kit fits"),
        "stick-out": later("stick-out {length}"),
        "cannot say": later("The settings of this step come from elsewhere; this page cannot compute them."),
        # the form
        "my machine": later("My machine"),
        "own machine": later("My own machine, cutters and board"),
        "own about": later(
            "Every figure that you know makes the settings yours. What you leave empty is taken from the weak end of "
            "the class that is nearest, or of the one that you choose."
        ),
        "like": later("What I do not know, take from"),
        "nearest": later("the nearest class"),
        "lengths in": later("I write lengths and feeds in"),
        "travel x": later("Travel along X"),
        "travel y": later("Travel along Y"),
        "travel z": later("Travel along Z"),
        "slowest": later("Lowest speed, rpm"),
        "fastest": later("Highest speed, rpm"),
        "dial": later("Dial positions with their speeds"),
        "fastest feed": later("Fastest feed"),
        "fastest plunge": later("Fastest plunge"),
        "power": later("Power at the cutter, W"),
        "collets": later("Collets, by shank or size"),
        "my cutters": later("My cutters, measured"),
        "diameter": later("Diameter"),
        "flutes": later("Flutes"),
        "edge": later("Cutting length"),
        "marked": later("Highest speed marked on it, rpm"),
        "my board": later("My board, measured"),
        "thickness": later("Thickness"),
        "wood": later("Wood"),
        "compute": later("Compute my settings"),
        "as the kit": later("as the kit says"),
        "holds": later("Does it hold?"),
        "at the machine": later("At the machine: {time}, cutting, setting up and changing cutters."),
        "without flattening": later("Flattening the stock is not counted."),
        "about": later("about {time}"),
        "under a minute": later("under 1 min"),
        "from minutes": later("{short}–{long} min"),
        "from to": later("{short} to {long}"),
        "minutes only": later("{minutes} min"),
        "hours and minutes": later("{hours} h {minutes} min"),
        "hours only": later("{hours} h"),
        "other hold": later(
            "Whether the work holds is computed for the kit's own wood; this page cannot say it of another."
        ),
        "yes": later("Yes"),
        "less": later("With less safety"),
        "no": later("No"),
        "sideways": later("{answer}, {demand} of {capacity} N"),
        "upwards": later("{answer}, {demand} of {capacity} N upwards"),
        "taken from": later("What is not given is taken from: {name}."),
        # what is refused
        "no number": later("{field}: “{text}” is no number."),
        "out of bounds": later("{field}: {value} is not between {low} and {high} {unit}."),
        "low first": later("{field}: write the lower number first."),
        "dial wrong": later("{field}: write positions with rising speeds, as 1: 10000, 2: 14000."),
        "collet unknown": later("{field}: “{text}” is not known; known are {names}."),
        "pair missing": later("{field}: give both, or leave both empty."),
        "too wide": later("{cutter}: {own} is wider than {limit}, the widest that cuts the drawing."),
        "too narrow": later("{cutter}: {own} is narrower than {limit}, the narrowest that cuts the drawing."),
        "edge short": later("{cutter}: its edge of {own} is shorter than the deepest cut, {limit}."),
        "board thick": later(
            "{stock}: at {own} the cuts that go through would not come out; they are {limit} deep. Plane it to "
            "{drawn}, or ask the maker for the kit in your thickness."
        ),
        "board thin": later(
            "{stock}: at {own} the cuts go {more} deeper into the spoilboard than planned; depths that do not go "
            "through leave less wood. The kit is drawn for {drawn}."
        ),
        "board far": later(
            "{stock}: {own} is too far from {drawn}, for which the kit is drawn. Ask the maker for the kit in your "
            "thickness."
        ),
        "rung": later(
            "{stock}: at {own} take the drawings in {folder}. The text tells depths for {drawn}; where yours differ, "
            "your rows tell them."
        ),
        "rung thick": later(
            "{stock}: {own} is above {most}, the thickest that there are drawings for. Find a thinner piece."
        ),
        "rung thin": later(
            "{stock}: {own} is far below {least}, the thinnest that there are drawings for. Find a thicker one."
        ),
        "deep": later("{depth} deep"),
        "other wood": later(
            "What keeps the piece while this step frees it was computed for {wood}; of another wood this page cannot "
            "say whether it holds. Ask the maker."
        ),
        "not kept": later("This browser keeps nothing: notes last until the page is closed. Save them as a file."),
        # at the machine
        "work": later("At the machine: one step at a time"),
        "leave": later("Back to the whole page"),
        "before": later("Step before"),
        "next": later("Next step"),
        "step of": later("Step {number} of {count}"),
        "next cutter": later("Next: {title}, {cutter}"),
        "my notes": later("My notes and values for this step"),
        "timer": later("Timer for glue and coats"),
        "minutes": later("Minutes"),
        "start": later("Start"),
        "stop": later("Stop"),
        "time is up": later("Time is up."),
        "save": later("Save my notes as a file"),
        "load": later("Load notes from a file"),
        "no notes": later("That file holds no notes of this kit."),
        "print": later("Print this page"),
        "turn it": later("Look at it from all sides"),
        "solid of": later("The piece after step {number}; the arrow keys turn it."),
        "no solid": later("This browser cannot show it from all sides; the picture above shows it."),
        "turn left": later("Turn left"),
        "turn right": later("Turn right"),
        "other face": later("Other face"),
        "close": later("Close"),
        # explaining
        "how": later("How these figures came about"),
        "at least": later("at least"),
        "at most": later("at most"),
        "calculation": later("The calculation, line by line"),
        "what": later("What"),
        "formula": later("Formula"),
        "result": later("Result"),
        "origin": later("Source"),
        "speed": later("Speed"),
        "feed": later("Feed"),
        "plunge": later("Plunge"),
        "depth": later("Depth per pass"),
        "stepover": later("Stepover"),
        "rpm": later("rpm"),
    }
)


def words_in(language: Language) -> dict[str, str]:
    """Return the words in a language."""
    return {key: language.text(text) for key, text in WORDS.items()}


def in_languages(options: BuildOptions, write: Callable[[], str]) -> dict[str, Plain]:
    """Return what is written in each language of a build, by its code."""
    found: dict[str, Plain] = {}
    for code in options.languages:
        with use_language(code):
            found[code] = write()
    return found
