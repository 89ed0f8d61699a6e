"""SVG files: units, view boxes, transformations, uses, styles and names, each against closed form."""

import math
import time

import pytest
from circles import circle_of
from hypothesis import given, settings
from hypothesis import strategies as st

from kitforge.drawings.limits import ReadingLimits
from kitforge.drawings.svg_read import is_svg, read_svg
from kitforge.model.drawing import Drawing, DrawingError, ProblemKind
from kitforge.model.path import is_circle

PI = math.pi
MM = 'width="100mm" height="80mm" viewBox="0 0 100 80"'
NAMES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:any="urn:any"'


def svg(body: str, attributes: str = MM) -> bytes:
    return f"<svg {NAMES} {attributes}>{body}</svg>".encode()


def read(body: str, attributes: str = MM, unit: str | None = None) -> Drawing:
    return read_svg(svg(body, attributes), unit)


def box(drawing: Drawing) -> tuple[float, ...]:
    (path,) = drawing.whole.closed + drawing.whole.open
    return tuple(path.bounds)


SHAPES = [
    ("rect", '<rect x="10" y="20" width="30" height="10"/>', 300, 80, (10, 50, 40, 60)),
    ("rounded rect", '<rect width="30" height="10" rx="2"/>', 300 - (4 - PI) * 4, 64 + 4 * PI, (0, 70, 30, 80)),
    ("over-rounded rect", '<rect width="10" height="10" rx="50"/>', 25 * PI, 10 * PI, (0, 70, 10, 80)),
    ("circle", '<circle cx="50" cy="40" r="10"/>', 100 * PI, 20 * PI, (40, 30, 60, 50)),
    ("ellipse", '<ellipse cx="50" cy="40" rx="10" ry="5"/>', 50 * PI, 48.4422411, (40, 35, 60, 45)),
    ("polygon", '<polygon points="0,0 30,0 30,40"/>', 600, 120, (0, 40, 30, 80)),
    ("path", '<path d="M0 0H30V40Z"/>', 600, 120, (0, 40, 30, 80)),
    ("arc path", '<path d="M10 40A10 10 0 0 1 30 40Z"/>', 50 * PI, 20 + 10 * PI, (10, 40, 30, 50)),
    ("in", '<rect width="1in" height="2cm"/>', 25.4 * 20, 2 * (25.4 + 20), (0, 60, 25.4, 80)),
]


@pytest.mark.parametrize(("body", "area", "length", "bounds"), [row[1:] for row in SHAPES], ids=[r[0] for r in SHAPES])
def test_shape_has_its_measures(body: str, area: float, length: float, bounds: tuple[float, ...]) -> None:
    attributes = MM if " 1in" not in body and "1in" not in body else 'width="100mm" height="80mm"'
    drawing = read(body, attributes)
    (path,) = drawing.whole.closed
    assert abs(path.area) == pytest.approx(area, rel=2e-5)
    assert path.length == pytest.approx(length, rel=1e-5)
    assert path.bounds == pytest.approx(bounds, abs=0.0011)


def test_line_and_polyline_are_open_and_points_are_points() -> None:
    drawing = read('<line x1="0" y1="0" x2="3" y2="4"/><polyline points="50 0 53 0 53 4"/><path d="M5 5h0"/>')
    assert [path.length for path in drawing.whole.open] == pytest.approx([5, 7])
    assert drawing.whole.points == ((5, 75),)


@pytest.mark.parametrize(
    ("attributes", "unit", "side"),
    [
        ('width="50mm" height="50mm" viewBox="0 0 100 100"', None, 5),
        ('width="5cm" height="5cm" viewBox="0 0 100 100"', None, 5),
        ('width="2in" height="2in" viewBox="0 0 100 100"', None, 5.08),
        ('width="72pt" height="72pt" viewBox="0 0 100 100"', None, 2.54),
        ('width="96px" height="96px" viewBox="0 0 100 100"', None, 2.54),
        ('width="50mm" viewBox="0 0 100 100"', None, 5),
        ("", None, 10 * 25.4 / 96),
        ('viewBox="0 0 100 100"', "mm", 10),
        ('viewBox="0 0 100 100"', "in", 254),
        ('width="2in" height="2in" viewBox="0 0 100 100"', "mm", 10),
    ],
)
def test_user_units_in_mm(attributes: str, unit: str | None, side: float) -> None:
    """A CSS inch is 96 px, 72 pt, 2.54 cm (CSS Values and Units 3, section 6.2)."""
    bounds = box(read('<rect width="10" height="10"/>', attributes, unit))
    assert (bounds[2] - bounds[0], bounds[3] - bounds[1]) == pytest.approx((side, side), rel=1e-12)


@pytest.mark.parametrize(
    ("preserve", "bounds"),
    [
        ("", (25, 0, 75, 50)),
        ("xMinYMin", (0, 0, 50, 50)),
        ("xMaxYMax meet", (50, 0, 100, 50)),
        ("xMidYMid slice", (0, -25, 100, 75)),
        ("none", (0, 0, 100, 50)),
    ],
)
def test_aspect_ratio_is_preserved_as_asked(preserve: str, bounds: tuple[float, ...]) -> None:
    attributes = f'width="100mm" height="50mm" viewBox="0 0 10 10" preserveAspectRatio="{preserve}"'
    assert box(read('<rect width="10" height="10"/>', attributes)) == pytest.approx(bounds)


def test_view_box_origin_is_taken_off() -> None:
    attributes = 'width="10mm" height="10mm" viewBox="5 -5 10 10"'
    assert box(read('<rect x="5" y="-5" width="10" height="10"/>', attributes)) == pytest.approx((0, 0, 10, 10))


@pytest.mark.parametrize(
    ("transform", "bounds"),
    [
        ("translate(10)", (10, 78, 14, 80)),
        ("translate(10,20)", (10, 58, 14, 60)),
        ("scale(2 3)", (0, 74, 8, 80)),
        ("rotate(90)", (-2, 76, 0, 80)),
        ("rotate(180 2 1)", (0, 78, 4, 80)),
        ("matrix(1 0 0 1 5 6)", (5, 72, 9, 74)),
        ("translate(10 0) scale(2)", (10, 76, 18, 80)),
        ("scale(2),translate(10 0)", (20, 76, 28, 80)),
        ("skewX(45)", (0, 78, 6, 80)),
        ("skewY(45)", (0, 74, 4, 80)),
    ],
)
def test_transformations(transform: str, bounds: tuple[float, ...]) -> None:
    drawing = read(f'<g transform="{transform}"><rect width="4" height="2"/></g>')
    assert box(drawing) == pytest.approx(bounds, abs=1e-9)


def test_circles_stay_circles_under_similarities_and_become_ellipses_under_others() -> None:
    turned = read('<circle cx="5" cy="5" r="5" transform="rotate(33) scale(-2 2)"/>').whole.closed[0]
    assert circle_of(turned)[2] == pytest.approx(10)
    stretched = read('<circle r="5" transform="scale(2 1)"/>').whole.closed[0]
    assert is_circle(stretched) is None
    assert abs(stretched.area) == pytest.approx(50 * PI, rel=2e-5)


def test_arc_flags_draw_the_four_arcs() -> None:
    """The four arcs through two points: 90° and 270°, both ways (SVG 1.1 section 8.3.8)."""
    lengths = [
        read(f'<path d="M10 0A10 10 0 {large} {sweep} 20 10"/>').whole.open[0].length
        for large in (0, 1)
        for sweep in (0, 1)
    ]
    assert lengths == pytest.approx([5 * PI, 5 * PI, 15 * PI, 15 * PI])
    upper = read('<path d="M0 40A10 10 0 0 1 20 40"/>').whole.open[0]
    assert upper.bounds.top == pytest.approx(50)


def test_nested_svg_and_symbol_have_viewports_of_their_own() -> None:
    inner = '<svg x="10" y="10" width="50" height="50" viewBox="0 0 5 5"><rect width="5" height="5"/></svg>'
    assert box(read(inner)) == pytest.approx((10, 20, 60, 70))
    symbol = '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol>'
    assert box(read(symbol + '<use href="#s" x="10" y="10" width="20" height="20"/>')) == pytest.approx(
        (10, 50, 30, 70)
    )


def test_use_shows_what_is_defined_and_definitions_alone_show_nothing() -> None:
    defs = '<defs><rect id="r" width="4" height="2"/></defs>'
    drawing = read(defs + '<use xlink:href="#r" x="10"/><use href="#r" transform="translate(50 0)"/>')
    assert [path.bounds.left for path in drawing.whole.closed] == pytest.approx([10, 50])
    assert len(drawing.layers["r"].closed) == 2
    with pytest.raises(DrawingError, match="draws no line"):
        read(defs)


def test_percentages_refer_to_the_viewport() -> None:
    assert box(read('<rect x="10%" y="50%" width="50%" height="25%"/>')) == pytest.approx((10, 20, 60, 40))


RULES = [
    ("none by attribute", "", 'display="none"', False),
    ("none by style", "", 'style="display:none"', False),
    ("none by class", ".c{display:none}", "", False),
    ("none by id", "#i{display:none}", "", False),
    ("none by element", "rect{display:none}", "", False),
    ("none by descendant", "svg .k rect{display:none}", "", False),
    ("none by child", ".k>rect{display:none}", "", False),
    ("child that is a grandchild", "svg>rect{display:none}", "", True),
    ("list", "circle, rect.c {display:none}", "", False),
    ("other class", ".d{display:none}", "", True),
    ("style beats rule", "#i{display:none}", 'style="display:inline"', True),
    ("important beats style", "#i{display:none !important}", 'style="display:inline"', False),
    ("id beats class", "#i{display:inline} .c{display:none}", "", True),
    ("later beats earlier", ".c{display:none} .c{display:inline}", "", True),
    ("rule beats attribute", ".c{display:inline}", 'display="none"', True),
    ("hidden is inherited", ".k{visibility:hidden}", "", False),
    ("visible again", ".k{visibility:hidden} .c{visibility:visible}", "", True),
    ("no paint at all", ".c{fill:none;stroke:none}", "", False),
    ("a stroke in any colour", ".c{fill:none;stroke:#fff}", "", True),
    ("paint is inherited", ".k{fill:none;stroke:none}", "", False),
    ("its own paint counts first", ".k{fill:none;stroke:none} .c{stroke:red}", "", True),
    ("transparent fill, no stroke", ".c{fill:transparent}", "", False),
    ("a colour without opacity", ".c{fill:rgba(0,0,0,0)}", "", False),
    ("black has three zeros", ".c{fill:rgb(0,0,0)}", "", True),
    ("opacity 0 hides what is inside", ".k{opacity:0} .c{opacity:1}", "", False),
    ("a stroke of no width", ".c{fill:none;stroke:#000;stroke-width:0px}", "", False),
    ("a stroke of half a unit", ".c{fill:none;stroke:#000;stroke-width:.5}", "", True),
    ("fill opacity as an attribute", "", 'fill-opacity="0.00"', False),
]


@pytest.mark.parametrize(("rules", "attribute", "shown"), [r[1:] for r in RULES], ids=[r[0] for r in RULES])
def test_styles_decide_what_is_drawn(rules: str, attribute: str, shown: bool) -> None:
    body = f'<style>{rules}</style><g class="k"><rect id="i" class="c b" width="5" height="5" {attribute}/></g>'
    drawing = read(body + '<line x2="50" y2="50"/>')
    assert ("i" in drawing.layers) is shown
    assert any(p.kind in (ProblemKind.HIDDEN, ProblemKind.UNPAINTED) for p in drawing.problems) is not shown


def test_rule_that_is_not_understood_is_said() -> None:
    drawing = read("<style>rect:hover{display:none} @media print{rect{display:none}}</style>" + SHAPES[0][1])
    assert [p.kind for p in drawing.problems] == [ProblemKind.UNRESOLVED] * 2


def test_groups_are_found_by_id_and_label_of_any_vocabulary() -> None:
    body = (
        '<g id="layer1" any:label="Outline"><g id="inner"><rect id="r" width="4" height="2"/></g>'
        '<circle cx="50" cy="50" r="5"/></g><g name="Holes"><circle cx="20" cy="20" r="2"/></g>'
    )
    drawing = read(body)
    counts = {name: len(shapes.closed) for name, shapes in drawing.layers.items()}
    assert counts == {"layer1": 2, "Outline": 2, "inner": 1, "r": 1, "Holes": 1}
    assert len(drawing.whole.closed) == 3


def test_lines_of_a_group_are_joined_and_gaps_are_said() -> None:
    drawing = read('<g id="g"><path d="M0 0L10 0M10 0L10 10M10 10.2L0 0"/></g>')
    assert (len(drawing.layers["g"].closed), len(drawing.layers["g"].open)) == (0, 1)
    assert [(p.kind, p.layer) for p in drawing.problems] == [(ProblemKind.GAP, "g")]
    assert drawing.problems[0].size == pytest.approx(0.2)
    joined = read_svg(svg('<path d="M0 0L10 0M10 0L10 10M10 10.2L0 0"/>'), join=0.3)
    assert len(joined.whole.closed) == 1


def test_text_images_clips_and_masks_are_said() -> None:
    body = '<text x="1" y="1">a</text><image width="1" height="1"/><rect width="5" height="5" clip-path="url(#c)"/>'
    drawing = read(body + '<g mask="url(#m)"><circle cx="30" cy="30" r="3"/></g>')
    left = {p.kind: str(p.message) for p in drawing.problems}
    assert "1 x image" in left[ProblemKind.SKIPPED]
    assert "1 x text" in left[ProblemKind.TEXT]
    kinds = [ProblemKind.CLIPPED, ProblemKind.CLIPPED, ProblemKind.SKIPPED, ProblemKind.TEXT]
    assert sorted(p.kind for p in drawing.problems) == kinds


def test_size_in_pixels_or_no_size_is_doubted() -> None:
    assert [p.kind for p in read(SHAPES[0][1], 'width="100" height="80"').problems] == [ProblemKind.UNIT_DOUBTFUL]
    assert [p.kind for p in read(SHAPES[0][1], "").problems] == [ProblemKind.UNIT_MISSING]
    assert read(SHAPES[0][1], "", unit="mm").problems == ()


def test_plain_document_type_is_passed_over() -> None:
    declared = b'<?xml version="1.0"?>\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN"\n "x.dtd">\n'
    assert len(read_svg(declared + svg(SHAPES[0][1])).whole.closed) == 1


FAULTS = [
    ('\n<rect width="-1" height="3"/>', "negative"),
    ('\n<path d="M0 0L1"/>', "number is missing"),
    ('\n<path d="M0 0L1 inf"/>', "number is missing"),
    ('\n<g transform="foo(1)"><rect width="1" height="1"/></g>', "no transformation"),
    ('\n<g transform="scale(1"><rect width="1" height="1"/></g>', "not understood"),
    ('\n<g transform="scale(0)"><rect width="1" height="1"/></g>', "flattens"),
    ('\n<use href="#u" id="u"/>', "shows itself"),
    ('\n<g id="g"><use href="#g"/></g>', "shows itself"),
    ('\n<rect width="5em" height="1"/>', "unit em"),
    ('\n<rect width="1e300" height="1"/>', "too large"),
    ('\n<rect width="2000000" height="1"/>', "1 km"),
    ('\n<polygon points="1 2 3"/>', "no y"),
    ('\n<polygon points="1 2 3 x"/>', "not a number"),
    ('\n<svg viewBox="0 0 0 5"><rect width="1" height="1"/></svg>', "above 0"),
    ('\n<svg preserveAspectRatio="big" viewBox="0 0 5 5"><rect width="1" height="1"/></svg>', "preserveAspectRatio"),
    ("\n<rect", "well-formed"),
]


@pytest.mark.parametrize(("body", "words"), FAULTS)
def test_fault_names_its_line(body: str, words: str) -> None:
    with pytest.raises(DrawingError, match=words) as caught:
        read(body)
    assert caught.value.line == 2


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<html/>",
        b"\x00\x01",
        b"0\nSECTION\n",
        b'<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg"/>',
        b'<!DOCTYPE svg SYSTEM "file:///etc/passwd" [ ]><svg xmlns="http://www.w3.org/2000/svg"/>',
        svg("<g>" * 300 + "</g>" * 300),
        svg("<g>" * 100_000),
        svg(SHAPES[0][1], 'width="0" height="5"'),
        svg(SHAPES[0][1], 'viewBox="0 0 1e300 1e300"'),
        svg(SHAPES[0][1], 'width="10mm" height="10mm" viewBox="0 0 1e-9 1e-9"'),
    ],
)
def test_hostile_file_is_refused(data: bytes) -> None:
    with pytest.raises(DrawingError):
        read_svg(data)


def test_use_bomb_is_stopped() -> None:
    levels = ['<g id="u0"><rect width="1" height="1"/></g>']
    levels += [f'<g id="u{n}">' + f'<use href="#u{n - 1}"/>' * 10 + "</g>" for n in range(1, 8)]
    start = time.process_time()
    with pytest.raises(DrawingError, match="more than"):
        read_svg(svg("<defs>" + "".join(levels) + '</defs><use href="#u7"/>'), limits=ReadingLimits(entities=100_000))
    assert time.process_time() - start < 30


def test_counts_are_capped() -> None:
    with pytest.raises(DrawingError, match="elements"):
        read_svg(svg(SHAPES[0][1] * 20), limits=ReadingLimits(entities=10))
    with pytest.raises(DrawingError, match="lines and arcs"):
        read_svg(svg(SHAPES[0][1] * 20), limits=ReadingLimits(pieces=20))


def test_svg_is_recognised() -> None:
    assert is_svg(svg(""))
    assert is_svg(b'\xef\xbb\xbf<?xml version="1.0"?><!-- x --><s:svg xmlns:s="http://www.w3.org/2000/svg"/>')
    assert not is_svg(b"0\nSECTION\n")


SAMPLE = svg('<g id="a" transform="rotate(3)"><path d="M1 2C3 4 5 6 7 8A1 2 3 0 1 9 10z"/></g>' + SHAPES[1][1])


@given(st.integers(0, len(SAMPLE) - 1), st.binary(min_size=1, max_size=6))
@settings(max_examples=100, deadline=None)
def test_random_damage_is_read_or_refused_but_never_crashes(at: int, junk: bytes) -> None:
    try:
        assert isinstance(read_svg(SAMPLE[:at] + junk + SAMPLE[at + len(junk) :]), Drawing)
    except DrawingError as error:
        assert str(error.message)
