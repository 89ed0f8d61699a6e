"""What a drawing holds, for the terminal: size, unit, layers with counts, and what looks wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitforge.drafting.records import DrawingSource
from kitforge.drawings import kinds as drawing_kinds
from kitforge.drawings.findings import UsedDrawing, drawing_findings, size_of
from kitforge.drawings.write import bounds_of
from kitforge.model.drawing import LayerShapes
from kitforge.model.findings import Finding
from kitforge.model.messages import ENGLISH, Wording

MOST_LAYERS = 40
_WIDEST = 32


def listing(source: DrawingSource) -> Iterator[str]:
    """Yield lines that say what was found in a drawing, in the units that its kit will have."""
    drawing, words = source.drawing, words_for(source)
    stated = "as you said" if source.unit else "guessed" if _is_guess(source) else "as the file says"
    yield f"{source.name}: {_size(drawing.whole, words)}, read in {drawing.unit} ({stated})"
    names = sorted(drawing.layers)
    width = min(_WIDEST, max(map(len, names), default=0))
    yield f"  {'layer':{max(width, 5)}}  closed  open  points  size"
    for name in names[:MOST_LAYERS]:
        shapes = drawing.layers[name]
        counts = f"{len(shapes.closed):6}  {len(shapes.open):4}  {len(shapes.points):6}"
        yield f"  {_plain(name)[:_WIDEST]:{max(width, 5)}}  {counts}  {_size(shapes, words)}"
    if len(names) > MOST_LAYERS:
        yield f"  and {len(names) - MOST_LAYERS} more layers"
    yield from _problems(source)


def words_for(source: DrawingSource) -> Wording:
    """Return the wording for the reader of a drawing: inches for one that is drawn in inches or feet."""
    return Wording(units="in" if source.drawing.unit in ("in", "ft") else "mm")


def _is_guess(source: DrawingSource) -> bool:
    return any(problem.kind == "unit-missing" for problem in source.drawing.problems)


def _problems(source: DrawingSource) -> Iterator[str]:
    used = UsedDrawing(source.drawing, {"*": source.drawing.whole}, [source.drawing.whole])
    findings = list(drawing_findings(source.name, [used]))
    if not findings:
        yield "  nothing looks wrong"
    for finding in findings:
        if finding.code != drawing_kinds.LAYERS_UNUSED.code:
            yield _line(finding, words_for(source))


def doubted(doubts: Iterable[Finding], words: Wording = ENGLISH) -> Iterator[str]:
    """Yield lines that say what is doubtful about a first kit."""
    for finding in doubts:
        yield _line(finding, words)


def _line(finding: Finding, words: Wording) -> str:
    told = f"{words.write(finding.message)} {words.write(finding.advice)}"
    line = f" in line {finding.source.line}" if finding.source.line else ""
    return f"  {finding.severity} [{finding.code}]{line}: {told}".rstrip()


def _size(shapes: LayerShapes, words: Wording) -> str:
    return words.write(size_of(bounds_of((*shapes.closed, *shapes.open), shapes.points)))


def _plain(name: str) -> str:
    return "".join(char if char.isprintable() else "?" for char in name)
