"""What stands in several drawings of the page stands there once, and every drawing is what it was."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from kitforge.print.svg import Picture
from kitforge_booklet.page.pictures import symbols

_USE = re.compile(r'<use href="#(d\d+)"/>')
_HEAD = re.compile(r'<g id="(d\d+)">(.*?)</g>|<path id="(d\d+)"(.*?)/>')
_ELEMENTS = [f'<path d="M{place} 0L{place}.5 {"9" * 60}"/>' for place in range(6)]
_WORDS = ["<text>A</text>", '<path d="M0 0"/>']


def _drawn(bodies: list[list[str]]) -> tuple[str, list[str]]:
    """Return the hidden drawing of some drawings, and its parts with all that is shared put back."""
    pictures = {str(n): Picture(f"<svg>{''.join(body)}</svg>", "", 10, 10) for n, body in enumerate(bodies)}
    store = symbols(pictures, {src: int(src) + 1 for src in pictures})
    heads = {}
    for group, inside, single, rest in _HEAD.findall(store):
        heads[group or single] = inside or f"<path{rest}/>"
    parts = re.findall(r"<symbol [^>]*>(.*?)</symbol>", store)
    return store, [_USE.sub(lambda use: heads[use[1]], part) for part in parts]


@given(st.lists(st.lists(st.sampled_from(_ELEMENTS + _WORDS), max_size=8), min_size=1, max_size=5))
def test_every_drawing_is_what_it_was(bodies: list[list[str]]) -> None:
    """Whatever follows whatever, shared or not: put back, each drawing has its elements in their order."""
    store, parts = _drawn(bodies)
    assert parts == ["".join(body) for body in bodies]
    assert all(store.count(f'"{element[9:-3]}"') <= 1 for element in _ELEMENTS)


def test_elements_that_follow_each_other_everywhere_are_one_group() -> None:
    """A part that stands in three drawings is used by one short element in each."""
    part = _ELEMENTS[:3]
    store, _ = _drawn([[*part, _WORDS[0]], [_WORDS[0], *part], [*part, _ELEMENTS[4]]])
    assert store.count("<use ") == 3
    assert store.count("<g id=") == 1
