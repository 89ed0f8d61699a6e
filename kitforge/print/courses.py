"""A course of a document: blocks in a fixed order of which several may stand together as one, as the pages have room.

A template writes all that there is to choose from: `<!--course NAME 1 4 2-->`, then for every block that covers the
places from one number up to another `<!--piece NAME 0 1-->…<!--end NAME 0 1-->`, and `<!--end NAME-->`. A third number
says how much is lost by it, of several for the same places: a smaller picture. The typesetter measures every block and
all that stands between courses (`kitforge.print.flow`); those blocks are set with which the whole document ends on the
earliest page, of those the ones that lose least, empty feet of pages among it, and of those the ones that end highest
up. What is too tall for a page is taken only where nothing else says the same; a piece that is marked `else` after its
numbers only where no other one of its places fits on a page. Nobody has to know how tall anything is: paper, language
and theme decide. The numbers after the name of the course are how many places each block covers where nothing is
measured.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kitforge.print.errors import ThemeError
from kitforge.print.flow import MARK, Height, stretches
from kitforge.print.heights import SLACK, Fragment, PageSize, measured
from kitforge.print.open_tags import open_tags

if TYPE_CHECKING:
    from weasyprint import Document

_COURSE = re.compile(r"<!--course ([\w-]+)((?: \d+)*)-->(.*?)<!--end \1-->", re.DOTALL)
_PIECE = re.compile(r"<!--piece ([\w-]+) ((\d+) (\d+)(?: (\d+))?( else)?)-->(.*?)<!--end \1 \2-->", re.DOTALL)
_TARGET = re.compile(r"""(<a\b[^>]*?\shref=["']?#)""")
_MARKER = re.compile(r"<!--(?:course|piece|end) ([\w-]+)[\d ]*-->")
_BODY = re.compile(r"<body\b[^>]*>")
_ENDLESS = 1e6
"""Height of a page on which nothing is parted, px."""
_FOOT = 4
"""A foot that stays empty loses so much by the page: a quarter of a page is as much as one step of a scale (a matter of
taste, tried on the demo kits)."""
_PARTED = 50
"""What is lost where blocks that are kept together are parted all the same, a heading alone on a page: worse than
smaller pictures."""
_LITTLE, _FILLED = 4, 0.3
"""What is lost where a last page is filled less than this share of it, as by an imprint alone: as much as by a foot
of a whole page."""
_MOST_ENDS = 30
"""So many ways to come to a place are followed at most."""


@dataclass(frozen=True, slots=True)
class CoursePiece:
    """Blocks that cover the places of a course from `first` up to `last`.

    loss: how much is lost by taking them; last_resort: only where nothing else fits on a page.
    """

    first: int
    last: int
    html: str
    loss: int = 0
    last_resort: bool = False

    @property
    def span(self) -> tuple[int, int]:
        """Its first and last place."""
        return self.first, self.last


@dataclass(frozen=True, slots=True)
class Course:
    """A course in a text, from `start` up to `end` of its characters; usual: the blocks where nothing is measured."""

    start: int
    end: int
    pieces: tuple[CoursePiece, ...]
    usual: tuple[CoursePiece, ...]

    @property
    def fixed(self) -> bool:
        """Whether there is nothing to choose."""
        return len(self.pieces) == len(self.usual)


def usual_form(html: str) -> str:
    """Return the text with the usual blocks of each course. Raises ThemeError for marks that do not match."""
    while (course := _next(html)) is not None:
        html = _with(html, course, course.usual)
    return html


def composed(
    html: str,
    lay_out: Callable[[str], Document],
    look: Callable[[str], Document],
    shown: Callable[[str], bytes] | None = None,
) -> Document:
    """Return the document laid out with the blocks of each course with which it ends first.

    look: lays a part of the document out, to be measured; shown: says all that a part of it is laid out with, beside
    its text (`kitforge.print.heights`). Raises ThemeError for marks that do not match.
    """
    usual = usual_form(html)
    courses: list[Course] = []
    rest = html
    while (course := _next(rest)) is not None:
        mark = f'<div {MARK}="{len(courses)}"></div>' if not course.fixed else ""
        courses += [] if course.fixed else [course]
        stands = "".join(piece.html for piece in course.usual) if course.fixed else mark
        rest = rest[: course.start] + stands + rest[course.end :]
    if not courses:
        return lay_out(usual)
    heights, page = _heights(html, look, shown)
    chosen = _chosen(courses, heights, stretches(look(_endless(rest, page.width))), page.room)
    while (course := _next(html)) is not None:
        html = _with(html, course, course.usual if course.fixed else chosen.pop(0))
    return lay_out(html)


def _endless(html: str, width: float) -> str:
    """Return a text on pages of some width, px, that are so high that nothing on them is parted.

    Its links lead nowhere: the typesetter would lay the whole page out three times to say that all of it is on page 2.
    """
    html = _TARGET.sub(r"\1measured-", html)
    head, _ = _around(html, len(html))
    style = f"<style>@page {{ size: {width}px {_ENDLESS}px !important }}</style>"
    return f"{head}{style}{html[len(head) :]}"


def _chosen(
    courses: Sequence[Course],
    heights: Mapping[CoursePiece, Sequence[Height]],
    between: Mapping[str, Sequence[Height]],
    room: float,
) -> list[tuple[CoursePiece, ...]]:
    """Return the pieces of each course: those with which the whole document ends first.

    A course that a theme does not show takes what is usual. between: what stands before each course, and below all.
    """
    chain: list[CoursePiece] = []
    tall: dict[CoursePiece, Sequence[Height]] = {}
    place, starts = 0, []
    for number, course in enumerate(courses):
        starts.append(place)
        if str(number) in between:
            place = _added(chain, tall, place, [CoursePiece(0, 1, f"before {number}")], {}, between[str(number)])
            starts[-1] = place
            place = _added(chain, tall, place, course.pieces, heights, ())
    _added(chain, tall, place, [CoursePiece(0, 1, "below")], {}, between[""])
    found = shortest(chain, tall, 0.0, room)
    return [
        tuple(
            replace(piece, first=piece.first - start, last=piece.last - start)
            for piece in found
            if start <= piece.first and piece.last <= start + course.usual[-1].last
        )
        if str(number) in between
        else course.usual
        for number, (course, start) in enumerate(zip(courses, starts, strict=True))
    ]


def _added(
    chain: list[CoursePiece],
    tall: dict[CoursePiece, Sequence[Height]],
    place: int,
    pieces: Sequence[CoursePiece],
    heights: Mapping[CoursePiece, Sequence[Height]],
    alone: Sequence[Height],
) -> int:
    """Add pieces to a chain from a place on, those without heights of their own with those given; return their end."""
    for piece in pieces:
        moved = replace(piece, first=place + piece.first, last=place + piece.last)
        chain.append(moved)
        tall[moved] = heights.get(piece, alone)
    return place + max(piece.last for piece in pieces)


def _around(html: str, start: int) -> tuple[str, list[tuple[str, str]]]:
    """Return a text up to its body, and the tags that are open at a place in it, each with its name."""
    body = _BODY.search(html)
    if body is None:
        raise ThemeError("A document with a course needs an element body.")
    return html[: body.end()], open_tags(html[body.end() : start])


def shortest(
    pieces: Sequence[CoursePiece], heights: Mapping[CoursePiece, Sequence[Height]], at: float, room: float
) -> tuple[CoursePiece, ...]:
    """Return the chain of pieces, from the first place to the last one, that ends on the earliest page.

    Of those that end there it is the one that loses least, then the one that ends highest up, then the one in which the
    fewest places share a piece. heights: of the blocks of each piece; at: how far down the page the course begins;
    room: height of a page, px.
    """
    ends: dict[int, list[_End]] = {0: [_End(0, at, 0.0, 0, 0, None, None)]}
    for piece in sorted(_sound(pieces, heights), key=lambda one: (one.first, one.last, one.loss)):
        found = [_placed(end, piece, heights[piece], room) for end in ends.get(piece.first, [])]
        ends[piece.last] = _best([*ends.get(piece.last, []), *found])
    end: _End | None = min(ends[max(ends)], key=lambda one: one.at_last(room))
    chain: list[CoursePiece] = []
    while end is not None and end.piece is not None:
        chain.append(end.piece)
        end = end.before
    return tuple(reversed(chain))


def _sound(pieces: Sequence[CoursePiece], heights: Mapping[CoursePiece, Sequence[Height]]) -> list[CoursePiece]:
    """Return the pieces that fit on pages, last resorts where no others of their places do; of one place any."""
    by_span: dict[tuple[int, int], list[CoursePiece]] = {}
    for piece in pieces:
        by_span.setdefault(piece.span, []).append(piece)
    found: list[CoursePiece] = []
    for (first, last), alike in by_span.items():
        fit = [piece for piece in alike if all(height.pages == 1 for height in heights[piece])]
        usual = [piece for piece in fit if not piece.last_resort]
        rest = sorted(fit, key=lambda one: one.loss)[:1] or (alike if last - first == 1 else [])
        found += usual or rest
    return found


@dataclass(frozen=True, slots=True)
class _Group:
    """Blocks that stay together: where what stands above them ends, 0 at the head of a page, and where they begin; what
    stands above them again overleaf."""

    foot: float
    start: float
    again: float


@dataclass(frozen=True, slots=True)
class _End:
    """Where a chain ends: page and distance from its head, and the space below; what it loses; how many places share a
    piece; its last piece, and the chain before that; the blocks at the end that are kept with the next one."""

    page: int
    at: float
    gap: float
    loss: int
    sharing: int
    piece: CoursePiece | None
    before: _End | None
    kept: _Group | None = None

    def order(self) -> tuple[int, int, float, int]:
        return self.page, self.loss, self.at, self.sharing

    def at_last(self, room: float) -> tuple[int, float, float, int]:
        """Return the order of chains at the end of a document, whose last page is not to hold next to nothing."""
        return self.page, self.loss + _LITTLE * (self.page > 0 and self.at < _FILLED * room), self.at, self.sharing

    def beaten_by(self, other: _End) -> bool:
        """Whether the other chain cannot become the worse one: a foot that is more empty may still be lost by it."""
        margin = 0 if (other.page, other.at) == (self.page, self.at) else _FOOT
        no_later = (other.page, other.at) <= (self.page, self.at)
        return no_later and other.loss + margin <= self.loss and other.sharing <= self.sharing


def _best(ends: list[_End]) -> list[_End]:
    """Return the ends that no other one beats, of very many the first ones."""
    kept: list[_End] = []
    for end in sorted(ends, key=_End.order):
        if not any(end.beaten_by(other) for other in kept):
            kept.append(end)
    return kept[:_MOST_ENDS]


def _placed(end: _End, piece: CoursePiece, heights: Sequence[Height], room: float) -> _End:
    """Return where a piece ends whose blocks begin below what is there, or overleaf with what keeps them."""
    page, at, gap, loss, kept = end.page, end.at, end.gap, end.loss + piece.loss, end.kept
    for height in heights:
        if height.opens and at:
            page, at, kept = page + 1, 0.0, None
        start = at + (height.lead if height.lead < 0 else max(gap, height.lead)) if at else 0.0
        group = kept or _Group(at, start, height.again)
        if height.pages > 1 or start + height.ink > room + SLACK:
            loss += round(_FOOT * (room - group.foot) / room) if group.foot else 0
            page += bool(group.foot) + height.pages - 1
            moved = start - group.start + group.again if group.foot else start if height.pages == 1 else 0.0
            if height.pages == 1 and moved + height.ink > room + SLACK:  # not even at the head of a page do they fit
                page, moved, loss = page + 1, 0.0, loss + _PARTED
            start = moved - (height.pages - 1) * room
            group = _Group(0.0, 0.0, 0.0)
        at, gap = round(max(start + height.ink, 1.0), 3), height.gap
        kept = group if height.keeps else None
    return _End(page, at, gap, loss, end.sharing + piece.last - piece.first - 1, piece, end, kept)


def _next(html: str) -> Course | None:
    found = _COURSE.search(html)
    if found is None:
        if (left := _MARKER.search(html)) is not None:
            raise _unmatched(left[1])
        return None
    name = found[1]
    marked = list(_PIECE.finditer(found[3]))
    if any(one[1] != name for one in marked) or _MARKER.search(_PIECE.sub("", found[3])) is not None:
        raise _unmatched(name)
    pieces = tuple(
        CoursePiece(int(one[3]), int(one[4]), one[7], int(one[5] or 0), one[6] is not None) for one in marked
    )
    by_span = {piece.span: piece for piece in sorted(pieces, key=lambda one: -one.loss)}
    usual: list[CoursePiece] = []
    for size in map(int, found[2].split()):
        first = usual[-1].last if usual else 0
        if (first, first + size) not in by_span:
            raise _unmatched(name)
        usual.append(by_span[first, first + size])
    last = usual[-1].last if usual else 0
    told = {(*piece.span, piece.loss) for piece in pieces}
    if len(told) < len(pieces) or any(not piece.first < piece.last <= last for piece in pieces):
        raise _unmatched(name)
    return Course(found.start(), found.end(), pieces, tuple(usual))


def _unmatched(name: str) -> ThemeError:
    return ThemeError(
        f"The course “{name}” needs the marks course, piece and end, each piece once and with its places, and the "
        "numbers of its usual pieces."
    )


def _with(html: str, course: Course, pieces: Sequence[CoursePiece]) -> str:
    return html[: course.start] + "".join(piece.html for piece in pieces) + html[course.end :]


def _heights(
    html: str, look: Callable[[str], Document], shown: Callable[[str], bytes] | None
) -> tuple[dict[CoursePiece, list[Height]], PageSize]:
    """Return the heights of the blocks of all pieces of which some may be chosen, and the page that they stand on.

    They are measured inside the elements that their course lies in.
    """
    pieces: list[CoursePiece] = []
    fragments: list[Fragment] = []
    rest = html
    while (course := _next(rest)) is not None:
        if not course.fixed:
            head, tags = _around(rest, course.start)
            opened, closed = "".join(tag for _, tag in tags), "".join(f"</{name}>" for name, _ in reversed(tags))
            pieces += course.pieces
            fragments += [Fragment(opened, piece.html, closed) for piece in course.pieces]
        rest = _with(rest, course, course.usual)
    heights, page = measured(head, fragments, look, shown)
    return dict(zip(pieces, heights, strict=True)), page
