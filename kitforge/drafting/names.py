"""Names of layers: which can be written in kit.yaml, which a person chose, and what they seem to say."""

from __future__ import annotations

import re

LONGEST = 120
_NUMBERED = re.compile(
    r"(?i)^(?:path|rect|circle|ellipse|line|polyline|polygon|g|group|use|svg|layer|object|shape)[-_ ]?\d[\d-]*$|^\d+$"
)
_CUT_OUT = re.compile(r"(?i)(?:^|[^a-z])(?:through|thru|cut[-_ ]?outs?|windows?|openings?|holes?|inside)(?:$|[^a-z])")
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


def as_key(text: str, taken: set[str]) -> str:
    """Return a short name for kit.yaml from any text, unlike those taken, and take it."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40].strip("-")
    plain = plain if plain[:1].isalpha() else f"work-{plain}".strip("-")
    key, number = plain, 2
    while key in taken:
        key, number = f"{plain}-{number}", number + 1
    taken.add(key)
    return key


def as_title(text: str) -> str:
    """Return a name as a title: 'drain_hole' becomes 'Drain hole'."""
    words = re.sub(r"[-_.\s]+", " ", "".join(c if c.isprintable() else " " for c in text)).strip()[:100]
    if words.isupper():
        words = words.lower()
    return words[:1].upper() + words[1:] or "Part"
