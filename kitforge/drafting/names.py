"""Names of layers: which can be written in kit.yaml, which a person chose, and what they seem to say."""

from __future__ import annotations

import re

from kitforge.model.units import MM_PER_INCH
from kitforge.stages.printable import unprintable

LONGEST = 120
_NUMBERED = re.compile(
    r"(?i)^(?:path|rect|circle|ellipse|line|polyline|polygon|g|group|use|svg|layer|object|shape)[-_ ]?\d[\d-]*$|^\d+$"
)
_CUT_OUT = re.compile(r"(?i)(?:^|[^a-z])(?:through|thru|cut[-_ ]?outs?|windows?|openings?|holes?|inside)(?:$|[^a-z])")
_NOTES = re.compile(
    r"(?i)(?:^|[^a-z])(?:dim(?:ension)?s?|measures?|notes?|annot\w*|cent(?:er|re)(?:[-_ ]?lines?)?|axis|axes|help|"
    r"construction|hidden|bema(?:ss|ß)ung|hilfslinien?)(?:$|[^a-z])"
)
_BEFORE = r"(?<![a-z0-9.,/])(?:d(?:epth)?[-_ ]?)?"
_LENGTH = re.compile(
    rf"(?i){_BEFORE}(?P<whole>\d+[-_ ])?(?P<top>\d+)/(?P<bottom>\d+)[-_ ]?(?:in(?:ch)?(?:es)?\b|\")"
    rf"|{_BEFORE}(?P<value>\d+(?:[.,]\d+)?)[-_ ]?(?P<unit>mm|cm|inch(?:es)?|in|\")(?![a-z0-9])"
)
_LINES = re.compile(r"(?i)(?:^|[^a-z])(?:grooves?|engrav\w*|scores?|lines?|marks?|letter\w*|text)(?:$|[^a-z])")


def is_plain(name: str) -> bool:
    """Return whether a layer's name can be written in kit.yaml as it is."""
    return bool(name.strip()) and name == name.strip() and len(name) <= LONGEST and name.isprintable()


def looks_numbered(name: str) -> bool:
    """Return whether a drawing program, rather than a person, seems to have given the name."""
    return bool(_NUMBERED.match(name))


def says_through(name: str) -> bool:
    """Return whether a layer's name seems to say that its closed lines are cut out."""
    return bool(_CUT_OUT.search(name))


def says_lines(name: str) -> bool:
    """Return whether a layer's name seems to say that its lines are cut as grooves, closed or not."""
    return bool(_LINES.search(name))


def says_notes(name: str) -> bool:
    """Return whether a layer's name seems to say that its lines are dimensions or help lines, not to be cut."""
    return bool(_NOTES.search(name))


def length_in(name: str) -> float | None:
    """Return the length in mm that a layer's name states with its unit, as in 'POCKET_6MM' or 'recess 1/4 in'."""
    found = _LENGTH.search(name.replace("_", " "))
    if found is None:
        return None
    if found["top"]:
        bottom = int(found["bottom"])
        value = (int(found["whole"] or 0) + int(found["top"]) / bottom) * MM_PER_INCH if bottom else 0.0
    else:
        factor = {"mm": 1.0, "cm": 10.0}.get(found["unit"].lower(), MM_PER_INCH)
        value = float(found["value"].replace(",", ".")) * factor
    return value if value > 0 else None


def as_key(text: str, taken: set[str]) -> str:
    """Return a short name for kit.yaml from any text, unlike those taken, and take it."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40].strip("-")
    plain = plain if plain[:1].isalpha() else f"work-{plain}".strip("-")
    key, number = plain, 2
    while key in taken:
        key, number = f"{plain}-{number}", number + 1
    taken.add(key)
    return key


def as_title(text: str, otherwise: str = "Part") -> str:
    """Return a name as a title: 'drain_hole' becomes 'Drain hole'. What cannot be printed is left out."""
    odd = set(unprintable(text))
    plain = "".join(" " if char in odd or not char.isprintable() else char for char in text)
    words = re.sub(r"[-_.\s]+", " ", plain).strip()[:100]
    if words.isupper():
        words = words.lower()
    return words[:1].upper() + words[1:] or otherwise
