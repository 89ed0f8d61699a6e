"""Ugly drawings: what drawing programs write into SVG files."""

from __future__ import annotations

from ugly import EDGE, PINS, PLATE, WELL, WINDOW, Ugly, Wanted
from writing import box, path_of, svg

_HEAD = 'width="220mm" height="140mm" viewBox="0 0 220 140"'
PIN = "".join(f'<circle cx="{x}" cy="{y}" r="2.5"/>' for x, y in PINS)
OUTLINE = f'<path d="{path_of(EDGE)}"/>'
INSIDE = f'<g id="pins">{PIN}</g><circle cx="{WELL[0]}" cy="{WELL[1]}" r="25"/><path d="{path_of(WINDOW)}"/>'
BODY = f'<g id="edge">{OUTLINE}</g>{INSIDE}'
BARE = Wanted((200, 120), {5.0: 4})


def _dots(per_inch: float) -> str:
    """Return the head of a page of 220 x 140 mm given in dots of so many to the inch, and a group that scales to it."""
    factor = per_inch / 25.4
    return f'width="{220 * factor:.4f}" height="{140 * factor:.4f}"'


def _scaled(body: str, per_inch: float) -> str:
    return f'<g transform="scale({per_inch / 25.4:.9f})">{body}</g>'


def _bezier_circle(x: float, y: float, r: float) -> str:
    k = 0.5522847498 * r
    return (
        f'<path d="M{x + r},{y} C{x + r},{y + k} {x + k},{y + r} {x},{y + r} S{x - r},{y + k} {x - r},{y} '
        f'S{x - k},{y - r} {x},{y - r} S{x + r},{y - k} {x + r},{y}Z"/>'
    )


CASES = [
    Ugly("clean", "a.svg", svg(BODY), [PLATE], certain=True),
    Ugly(
        "a page rectangle without paint",
        "a.svg",
        svg(f'<rect width="220" height="140" fill="none" stroke="none"/>{BODY}'),
        [PLATE],
        ["drawing-hidden", "drawing-frame"],
    ),
    Ugly(
        "a white page behind everything",
        "a.svg",
        svg(f'<rect width="220" height="140" fill="#fff" stroke="none"/>{BODY}'),
        [PLATE],
        ["drawing-frame"],
    ),
    Ugly(
        "a shape that is fully transparent",
        "a.svg",
        svg(f'{BODY}<rect x="-9" y="-9" width="218" height="138" style="opacity:0"/>'),
        [PLATE],
        ["drawing-hidden"],
    ),
    Ugly(
        "a shape whose fill and stroke are transparent",
        "a.svg",
        svg(f'{BODY}<rect x="-9" y="-9" width="218" height="138" style="fill:#000;fill-opacity:0;stroke-opacity:0"/>'),
        [PLATE],
        ["drawing-hidden"],
    ),
    Ugly(
        "a shape hidden by a rule for its class",
        "a.svg",
        svg(f'<style>.st0{{display:none}}</style>{BODY}<rect class="st0" x="-9" y="-9" width="218" height="138"/>'),
        [PLATE],
        ["drawing-hidden"],
    ),
    Ugly(
        "paint by a rule for a class, none by default",
        "a.svg",
        svg(
            f'<style>.a{{fill:none;stroke:#f00}}.b{{fill:none;stroke:none}}</style><g class="a">{BODY}</g>'
            '<rect class="b" width="220" height="140"/>'
        ),
        [PLATE],
        ["drawing-hidden", "drawing-frame"],
    ),
    Ugly("72 dots to the inch", "a.svg", svg(_scaled(BODY, 72), head=_dots(72)), [], ["drawing-unit-doubtful"]),
    Ugly("90 dots to the inch", "a.svg", svg(_scaled(BODY, 90), head=_dots(90)), [], ["drawing-unit-doubtful"]),
    Ugly("pixels of 1/96 inch", "a.svg", svg(_scaled(BODY, 96), head=_dots(96)), [PLATE], ["drawing-unit-doubtful"]),
    Ugly(
        "a view box without a size",
        "a.svg",
        svg(BODY, head='viewBox="0 0 220 140"'),
        [],
        ["drawing-unit-guess"],
        faults=5,  # and four holes that are too near the edge in this unit
    ),
    Ugly("only text", "a.svg", svg('<text x="10" y="20">Plate</text>'), [], ["text"]),
    Ugly("text beside the lines", "a.svg", svg(f'{BODY}<text x="60" y="100">TOP</text>'), [PLATE], ["drawing-text"]),
    Ugly("only a picture", "a.svg", svg('<image width="90" height="90" href="plate.png"/>'), [], ["image"]),
    Ugly(
        "outline and holes as one path",
        "a.svg",
        svg(f'<path d="{path_of(EDGE)} {path_of(WINDOW)}"/>'),
        [Wanted((200, 120), closed=1)],
        certain=True,
    ),
    Ugly(
        "round holes as Bezier curves",
        "a.svg",
        svg(OUTLINE + "".join(_bezier_circle(x, y, 2.5) for x, y in PINS)),
        [BARE],
        certain=True,
    ),
    Ugly(
        "strokes turned into outlines",
        "a.svg",
        svg(f'<path d="{path_of(box(200.4, 120.4, -0.2, -0.2))} {path_of(box(199.6, 119.6, 0.2, 0.2))}"/>'),
        [],
        ["drawing-nested", "thin-wall"],
    ),
    Ugly(
        "groups moved, turned and mirrored",
        "a.svg",
        svg(f'<g transform="translate(210 130) rotate(180) scale(1 1)">{OUTLINE}{PIN}</g>'),
        [BARE],
        certain=True,
    ),
    Ugly(
        "copies shown by use",
        "a.svg",
        svg(
            OUTLINE
            + '<defs><circle id="pin" r="2.5"/></defs>'
            + "".join(f'<use xlink:href="#pin" x="{x}" y="{y}"/>' for x, y in PINS)
        ),
        [BARE],
        certain=True,
    ),
    Ugly(
        "a shape cut off by a clip",
        "a.svg",
        svg(
            f'<clipPath id="c"><rect width="100" height="60"/></clipPath>{BODY}'
            '<g clip-path="url(#c)"><circle cx="90" cy="100" r="9"/></g>'
        ),
        [],
        ["drawing-clipped"],
    ),
    Ugly(
        "the sides of the outline in a group each",
        "a.svg",
        svg(
            "".join(
                f'<g id="side{k}"><path d="{path_of([EDGE[k], EDGE[(k + 1) % 4]], closed=False)}"/></g>'
                for k in range(4)
            )
            + f'<g id="window"><path d="{path_of(WINDOW)}"/></g>'
        ),
        [Wanted((200, 120), closed=1)],
        ["does not close"],
    ),
    Ugly(
        "two parts, each a group",
        "a.svg",
        svg(
            '<g id="a"><rect x="5" y="5" width="60" height="40"/></g>'
            '<g id="b"><rect x="75" y="5" width="90" height="40"/></g>'
        ),
        [Wanted((60, 40)), Wanted((90, 40))],
        certain=True,
    ),
    Ugly(
        "a layer per name with a depth",
        "a.svg",
        svg(f'{OUTLINE}<g id="pocket 6mm"><path d="{path_of(WINDOW)}"/></g>'),
        [Wanted((200, 120), closed=1)],
        certain=True,
    ),
    Ugly(
        "an outline of two sub-paths that meet",
        "a.svg",
        svg(f'<path d="M0,0 L200,0 L200,120 M200,120 L0,120 L0,0"/>{PIN}'),
        [BARE],
        certain=True,
    ),
    Ugly(
        "the outline drawn twice, filled and as a line",
        "a.svg",
        svg(f'<path d="{path_of(EDGE)}" fill="#ccc" stroke="none"/>{BODY}'),
        [PLATE],
        ["drawing-duplicate"],
    ),
    Ugly(
        "a swatch beside the drawing",
        "a.svg",
        svg(f'{BODY}<rect x="204" y="2" width="6" height="6" fill="#f00"/>'),
        [PLATE],
        ["drawing-small", "drawing-left-out"],
    ),
]
