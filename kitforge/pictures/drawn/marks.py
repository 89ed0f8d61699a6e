"""Small marks: the alert triangle, a tick box, the scale bar. Own drawings, never alone: words stand beside them."""

from __future__ import annotations

from kitforge.language import say
from kitforge.pictures.drawn.placing import words_room
from kitforge.print.figures import Units
from kitforge.print.svg import INK, Picture, SvgCanvas, num


def alert_triangle(colour: str = INK, size: float = 6.0) -> Picture:
    """Return a triangle with an exclamation mark for a warning of injury."""
    canvas = SvgCanvas(size, size)
    canvas.path("M3 0.55L5.75 5.4H0.25Z", fill=colour, stroke=colour, width=0.5)
    canvas.path("M2.65 2.05H3.35L3.22 3.75H2.78ZM2.65 4.2H3.35V4.85H2.65Z", fill="#ffffff")
    return canvas.finish(say("Warning of injury"))


def scale_bar(units: Units, width: float = 174.0) -> Picture:
    """Return a bar to measure on the print: 100 mm, or 4 in where inches come first."""
    metric = units.first != "in"
    length, count = (100.0, 10) if metric else (101.6, 4)
    words = say("If this bar measures right, the print is at 100 %.")
    beside = length + 4 + words_room(words, 2.9) <= width
    canvas = SvgCanvas(width, 7.0 if beside else 11.0)
    for index in range(count):
        fill = INK if index % 2 == 0 else "#ffffff"
        canvas.box(0.2 + index * length / count, 0.4, length / count, 1.8, fill=fill, stroke=INK)
    canvas.text(0.2, 6.0, "0", size=2.9)
    canvas.text(length + 0.2, 6.0, "100 mm" if metric else "4 in", size=2.9, anchor="end")
    canvas.text(*((length + 4, 2.6) if beside else (0.2, 10.0)), words, size=2.9)
    return canvas.finish(say("Scale bar of 100 mm.") if metric else say("Scale bar of 4 inches."))


def zero_mark(canvas: SvgCanvas, x: float, y: float, radius: float, *, hollow: bool = False) -> None:
    """Draw the half-filled circle of a zero at (x, y), mm on paper; hollow, it does not hide what lies under it."""
    r = num(radius)
    canvas.disc(x, y, radius, fill="none" if hollow else "#ffffff", stroke=INK)
    if hollow:
        up, down = f"M{num(x)} {num(y - radius)}", f"M{num(x)} {num(y + radius)}"
        arcs = f"{up}a{r} {r} 0 0 1 {r} {r}{down}a{r} {r} 0 0 1 {num(-radius)} {num(-radius)}"
        canvas.path(arcs, stroke=INK, width=0.7)
        return
    canvas.path(
        f"M{num(x)} {num(y)}v-{r}a{r} {r} 0 0 1 {r} {r}zM{num(x)} {num(y)}v{r}a{r} {r} 0 0 1 -{r} -{r}z", fill=INK
    )
