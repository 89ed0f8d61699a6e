"""Room under and beside a cutter with all plugins at work: one mistake is told once, its sound neighbour not at all."""

from __future__ import annotations

from functools import lru_cache

import pytest
from builders import cutter, drilled, freed, hole, kit, operation, outside, part, plate, pocket, rounded

from kitforge.model.findings import Severity
from kitforge.model.kit import Cutter, CutterKind, Face, Operation, OperationKind, Part, Side, Tabs
from kitforge.plugins import Plugins, load_plugins
from kitforge.stages import checking, planning

SHAPE = rounded(60, 50, 60, 40, 10)
V_BIT = cutter(12.7, CutterKind.V_BIT, angle=60.0)
DRILL = cutter(6, CutterKind.DRILL, angle=118.0)
WHOLE = 2.4  # brings the 1.8 mm long point of a 6 mm drill out of the wood


@lru_cache
def plugins() -> Plugins:
    """Return the plugins of this project, loaded once."""
    return load_plugins()


def told(made: Part) -> list[str]:
    """Return the codes of the warnings and errors of all plugins on a kit of one part, each as often as it is told."""
    own = kit(made)
    findings = checking.check(own, planning.plan(own, plugins()), plugins())
    return sorted(finding.code for finding in findings if finding.severity is not Severity.NOTE)


def edge(depth: float) -> Part:
    """Return a part with a slanting edge that is cut `depth` mm deep."""
    return freed(operation(OperationKind.CHAMFER, [SHAPE], depth, V_BIT, width=2.0, side=Side.ON))


def through(drill_allowance: float) -> Part:
    """Return a part with a drilled through hole."""
    return freed(drilled((60, 60), depth=18.0, tool=DRILL, through=True, allowance=drill_allowance))


def both_faces(below: float) -> Part:
    """Return a part with a pocket 10 mm deep over a smaller one in the other face."""
    small = pocket(rounded(70, 60, 30, 20, 10), depth=below, face=Face.BOTTOM)
    return freed(pocket(SHAPE, depth=10.0), small)


def window(tool: Cutter | None = None, **more: object) -> Operation:
    """Return a round window cut out on tabs."""
    return hole(60, 60, 40, tool, hold=Tabs(4, 8.0, 4.0), **more)


def cut_out(**more: object) -> Part:
    """Return a part that is only cut out."""
    return part(outside(plate(), cutter(6), Tabs(6, 10.0, 4.0), **more))


@pytest.mark.parametrize(
    ("bad", "code", "good"),
    [
        (freed(pocket(SHAPE, depth=18.2)), "cut-too-deep", freed(pocket(SHAPE, depth=12.0))),
        (both_faces(9.0), "faces-meet", both_faces(4.0)),
        (through(0.5), "through-tapers", through(WHOLE)),
        (through(5.0), "spoilboard-deep", through(WHOLE)),
        (cut_out(allowance=0.0), "through-shallow", cut_out(allowance=0.3)),
        (freed(window(allowance=3.0)), "spoilboard-deep", freed(window())),
        (edge(18.5), "below-stock", edge(8.0)),
        (freed(window(cutter(6, cutting_length=19.0, overall_length=32.0))), "nut-near-wood",
         freed(window(cutter(6, cutting_length=19.0, overall_length=33.0)))),
    ],
    ids=["pocket through", "two faces", "drill's point", "deep drill", "no allowance", "deep hole", "edge", "nut"],
)  # fmt: skip
def test_one_mistake_is_told_once(bad: Part, code: str, good: Part) -> None:
    """No two plugins tell the same thing, and what is right passes all of them."""
    assert [code] == told(bad)
    assert told(good) == []


@pytest.mark.parametrize("kind", [CutterKind.BALL_NOSE, CutterKind.V_BIT])
def test_an_odd_kind_of_cutter_is_not_told_as_a_taper_too(kind: CutterKind) -> None:
    """A profile cut through with a ball nose or a V-bit is named by the check of the cutters."""
    tool = cutter(6, kind, angle=90.0 if kind is CutterKind.V_BIT else None, cutting_length=32.0)
    found = told(part(outside(plate(), tool, Tabs(6, 10.0, 4.0))))
    assert "cutter-odd-kind" in found
    assert "through-tapers" not in found


def test_codes_of_a_sound_kit() -> None:
    """The plain part of these tests has nothing to complain of."""
    assert told(freed()) == []
