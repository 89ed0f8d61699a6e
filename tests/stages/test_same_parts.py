"""Parts that must be interchangeable between sizes: what differs by more than a hundredth of a millimetre is found."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from builders import cutter, drilled, freed, pocket
from scipy.spatial.distance import directed_hausdorff

from kitforge.api import check
from kitforge.geometry.shapes import circle, rectangle
from kitforge.model.errors import UnreadableKitError
from kitforge.model.kit import Part
from kitforge.stages.same_parts import differences, farthest

MARKERS = """\
kitforge: 1
kit: {title: Marker, slug: marker, version: 1.0.0, author: Invented, licence: CC-BY-4.0, summary: Marks.}
parameters: {width: 60 mm, hole: 8 mm}
sizes:
  small: {}
  large: {set: {width: 90 mm}}
release: {same: [peg]}
stock:
  board: {material: birch_plywood, thickness: {nominal: 6 mm, actual: 6 mm}, width: 150 mm, length: 400 mm}
cutters:
  end-mill: {kind: up-cut, diameter: 1/4 in, cutting_length: 22 mm, shank: 1/4 in, overall_length: 50 mm}
parts:
  marker:
    stock: board
    outline: {rectangle: {size: [width, width], corner_radius: 5 mm}}
    operations: [{do: profile, name: outline, cutter: end-mill}]
  peg:
    stock: board
    outline: {rectangle: {size: [40 mm, 30 mm], corner_radius: 5 mm}}
    operations:
      - {do: pocket, name: hole, depth: through, cutter: end-mill, shapes: [{circle: {centre: [9, 9], diameter: hole}}]}
      - {do: profile, name: outline, cutter: end-mill}
machines: [light_router]
"""
"""A kit in two sizes; the piece and its maker are invented."""


def plate(*, at: float = 0.0, hole: float = 20.0, depth: float = 6.0, x: float = 100.0, long: float = 200.0) -> Part:
    return freed(
        pocket(circle((x + at, 75 + at), hole), depth=depth),
        drilled((20 + at, 20 + at)),
        outline=rectangle((long, 150), at=(at, at), corner_radius=4),
    )


def said(part: Part, other: Part) -> list[str]:
    return [str(one.said) for one in differences(part, other)]


def test_the_same_part_with_another_zero_is_the_same() -> None:
    assert said(plate(), plate()) == []
    assert said(plate(), plate(at=37.5)) == []


def test_how_far_a_cut_lies_beside_is_told_with_its_place() -> None:
    """A circle moved by d lies d beside itself; one that is larger by d in diameter d / 2."""
    (moved,) = differences(plate(x=100.4), plate())
    assert moved.operation == "pocket-1"
    assert str(moved.said).startswith("'Pocket' lies up to 0.4 mm beside the other one, near (")
    assert moved.at is not None
    assert math.dist(moved.at, (100.4, 75)) == pytest.approx(10, abs=0.01)
    far, _ = farthest([circle((0, 0), 20.06)], [circle((5, 5), 20)], (-5, -5))
    assert far == pytest.approx(0.03, abs=0.0015)


def test_a_hundredth_of_a_millimetre_decides() -> None:
    assert said(plate(x=100.008), plate()) == []
    assert len(said(plate(x=100.013), plate())) == 1


def test_depth_number_cutter_and_cuts_are_compared() -> None:
    part = plate()
    assert said(plate(depth=6.2), part) == ["'Pocket' is 6.2 mm deep, not 6 mm"]
    bored, rest = part.operations[0], part.operations[1:]
    two = replace(part, operations=(replace(bored, shapes=(*bored.shapes, circle((150, 75), 20))), *rest))
    assert said(two, part) == ["'Pocket' has 2 shapes, not 1"]
    other = replace(bored, finishing=replace(bored.finishing, cutter=cutter(3.0)))
    assert said(replace(part, operations=(other, *rest)), part) == ["'Pocket' is made with another cutter"]
    assert said(replace(part, operations=rest), part) == ["it lacks 'Pocket'"]
    assert said(part, replace(part, operations=rest)) == ["only here it has 'Pocket'"]


def test_an_outline_is_told_once_and_not_again_as_the_cut_along_it() -> None:
    assert [one.operation for one in differences(plate(long=201), plate())] == [None]


def test_distances_agree_with_another_librarys() -> None:
    """The Hausdorff distance of dense points by SciPy, to the spacing of the points."""
    one, other = rectangle((80, 50), corner_radius=12), rectangle((78, 53), at=(1, -2), corner_radius=3)
    dense = [_dense(np.asarray(path.flatten(0.001))) for path in (one, other)]
    reference = max(directed_hausdorff(*dense)[0], directed_hausdorff(*reversed(dense))[0])
    assert farthest([one], [other], (0, 0))[0] == pytest.approx(reference, abs=0.06)


def _dense(corners: np.ndarray) -> np.ndarray:
    steps = [np.linspace(a, b, max(2, int(math.dist(a, b) / 0.05))) for a, b in pairwise(corners)]
    return np.vstack(steps)


def written(folder: Path, *pairs: tuple[str, str]) -> Path:
    text = MARKERS
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (folder / "kit.yaml").write_text(text, encoding="utf-8")
    return folder


def test_a_size_is_compared_with_the_first_one_and_the_finding_names_both(tmp_path: Path) -> None:
    assert not [one for one in check(written(tmp_path), "large").findings if one.code == "same-differs"]
    folder = written(tmp_path, ("{width: 90 mm}", "{width: 90 mm, hole: 8.1 mm}"))
    assert not [one for one in check(folder, "small").findings if one.code == "same-differs"]
    (found,) = (one for one in check(folder, "large").findings if one.code == "same-differs")
    assert (found.severity, found.part, found.operation) == ("error", "peg", "hole")
    assert str(found.message).startswith("'Peg' is not the same in 'large' as in 'small': 'Hole' lies up to 0.05 mm")
    assert (found.source.line, found.source.column) == (7, 18)


def test_a_name_that_no_part_has_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnreadableKitError) as error:
        check(written(tmp_path, ("same: [peg]", "same: [pegg]")))
    (found,) = error.value.problems
    assert (str(found.advice), found.source.line) == ("Did you mean 'peg'?", 7)
