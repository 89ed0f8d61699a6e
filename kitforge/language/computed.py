"""Texts that the calculation writes in English: they are known here so that print can say them in another language.

What is computed once for all languages (why a machine class does not fit, what limits a setting) is an English text.
`said_again` finds the wording it was made from, takes out what stands in the places, and says both in the language of
print. Words that are not in the catalogue, such as an author's title, stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache

from kitforge.language.mark import later

LONGEST = 600

WORDS = (
    # what limits a setting
    later("author's value"), later("the author's own"), later("chip too thin"), later("chip too thick"),
    later("chip clearing"), later("cutter bends"), later("cutter diameter"), later("cutter maximum"),
    later("cutter may break"), later("cutting length"), later("depth rule"), later("half the feed"),
    later("lanes must overlap"), later("machine feed"), later("machine force"), later("machine plunge"),
    later("machine speed"), later("narrowest lane"), later("narrowest width"), later("needless time"),
    later("no lower limit"), later("piece held"), later("ridges on the floor"), later("spindle power"),
    later("axial thrust"), later("feed at its upper end"), later("way down"),
    later("thinnest pass"), later("wanted cusp"), later("whole depth"),
    # settings
    later("speed"), later("feed"), later("plunge"), later("depth per pass"), later("stepover"), later("above"),
    later("below"), later("no dial position lies between"), later("no value satisfies both"),
    # cutters and how they go down
    later("straight"), later("up-cut"), later("down-cut"), later("compression"), later("ball nose"), later("bowl"),
    later("V-bit"), later("v-bit"), later("surfacing"), later("drill"), later("solid carbide"),
    later("carbide tipped"), later("straight plunge"), later("from outside"),
    # what holds, and what is held down with
    later("holding tabs"), later("holding tabs, as many as have room"), later("the onion skin"), later("nothing"),
    later("brads"), later("screws"), later("clamps"), later("edge fences"), later("vacuum"),
    # skills
    later("beginner"), later("some practice"), later("experienced"),
    later("a hole is drilled straight down, and this cutter has no edge at its centre"),
)  # fmt: skip

SENTENCES = (
    later("{diameter} mm {kind}, {count} flutes"),
    later("{diameter} mm {kind}, 1 flute"),
    later("{diameter} in {kind}, {count} flutes"),
    later("{diameter} in {kind}, 1 flute"),
    later("ramp {angle} deg"),
    later("helix {angle} deg"),
    later("peck {depth} mm"),
    later("{hold_down} under the piece"),
    later("{hold_down} in the piece"),
    later("{part}, bottom face (mirrored): drawing for cutting, millimetres, one layer per operation"),
    later("{part}, bottom face (mirrored): drawing in true size, millimetres, one group per operation"),
    later("{stock}, sheet {number}: drawing for cutting, millimetres, one layer per operation"),
    later("{stock}, sheet {number}: drawing in true size, millimetres, one group per operation"),
    later("{part}: drawing for cutting, millimetres, one layer per operation"),
    later("{part}: drawing in true size, millimetres, one group per operation"),
    later("{stock} ({size}) is larger than the table ({table})"),
    later("the deepest cut needs {travel} of travel in Z, some machines of the class have {has}"),
    later(
        "stock of {thickness} on a {spoilboard} spoilboard leaves too little room under the spindle ({clearance})"
    ),
    later("{cutter} has a {shank} shank; collets of the class: {collets}"),
    later(
        "No {setting} for the {shape} of {diameter} mm on {machine}: at least {low} {unit} ({low_limit}) and at most "
        "{high} {same_unit} ({high_limit}); {gap}."
    ),
    later("A shank of {shank} mm does not fit the collets of {machine}: {collets}."),
    later("The place is {width} mm wide at its narrowest, the cutter {diameter} mm."),
    later("The cutter sticks out {length} mm, the cut goes {reach} mm down."),
    later(
        "The cut goes {reach} mm down and the collet needs {grip} mm of shank, but the cutter is {length} mm long."
    ),
    later(
        "The cut goes {reach} mm down, the cutting length is {length} mm and the shank of {shank} mm would rub on the "
        "wall."
    ),
    later("The collet holds only {held} mm of a {shank} mm shank; two diameters are wanted."),
    later("No starting chip is known for a diameter of {diameter} mm; the nearest one was taken."),
    later(
        "Burn risk: the mean chip is {chip} mm at {feed} mm per tooth; under {least} mm the edge rubs more than it "
        "cuts."
    ),
    later(
        "Chatter risk: the cutter is {ratio} times as long as it is thick; from {limit} on it tends to sing."
    ),
    later("The cutter is stressed to {stress} MPa; {allowed} MPa is allowed."),
    later("The {shape} of {diameter} mm cannot go down here: {why}."),
    later(
        "a ramp of {angle} deg needs {travel} mm of travel for a pass of {depth} mm, the cut has {length} mm, and a "
        "helix needs a width of {width} mm"
    ),
    later("The author's {setting} {value} is {side} {limit} ({limit_name})."),
)  # fmt: skip

_FIGURES = re.compile(r"[\d.,/ ×x–-]+( (mm|in|N|MPa|deg))?")
_PLACE = re.compile(r"\{(\w+)\}")


def said_again(text: str, texts: Mapping[str, str], say_as: Callable[[str], str], decimal: Callable[[str], str]) -> str:
    """Return a computed text in the language of `texts`, or the text itself where its wording is not known."""
    if _FIGURES.fullmatch(text):
        return decimal(text)
    if len(text) > LONGEST:
        return text
    for sentence in SENTENCES:
        found = places(sentence, text)
        if found is not None and texts.get(sentence):
            return texts[sentence].format(**{name: say_as(value) for name, value in found.items()})
    return text


def places(sentence: str, text: str) -> dict[str, str] | None:
    """Return what stands in the places of a sentence in a text that was made from it, or None if it was not.

    Each piece of wording is looked for once, from the left, so that no text takes long, whatever it holds.
    """
    wording, names = _pieces(sentence)
    if not (text.startswith(wording[0]) and text.endswith(wording[-1])):
        return None
    at, end, found = len(wording[0]), len(text) - len(wording[-1]), {}
    for name, piece in zip(names, (*wording[1:-1], None), strict=True):
        stop = end if piece is None else text.find(piece, at, end)
        if stop <= at:
            return None
        found[name] = text[at:stop]
        at = stop + len(piece or "")
    return found


@cache
def _pieces(sentence: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    parts = _PLACE.split(sentence)
    return tuple(parts[::2]), tuple(parts[1::2])
