"""`each`: a part that is written once and cut in several pieces is so many parts to all that follows."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_kits import changed, place, refusals, resolved

from kitforge.model.findings import Finding
from kitforge.model.kit import Kit
from kitforge.model.needs import CountNeed, JointNeed, KeepNeed, ModuleNeed, SpacingNeed
from kitforge.model.own_words import in_language
from kitforge.resolve.each import MOST_NEEDS, MOST_OPERATIONS

SHELF = changed(
    ("  hole: 32 mm\n", "  hole: 32 mm\n  n: 1\n  long: = n * 100 mm - 0.5 mm\n"),
    (
        "  front:\n",
        """\
  shelf:
    stock: board
    count: 3
    each:
      one: {}
      two: {title: twice as long, set: {n: 2}, count: 2}
    outline: {rectangle: {size: [long, 60 mm]}}
    operations:
      - {do: drill, name: pegs, cutter: drill, depth: through,
         shapes: [{array: {of: {points: [[20, 20]]}, columns: n, spacing: [100, 0]}}]}
      - {do: profile, name: outline, cutter: end-mill}
  front:
""",
    ),
)
"""The sample with a shelf of two pieces; invented."""


def shelf(folder: Path, end: str = "", *pairs: tuple[str, str]) -> Kit:
    return resolved(folder, changed(*pairs, text=SHELF) + end)


def problems(folder: Path, *pairs: tuple[str, str], end: str = "") -> list[Finding]:
    return refusals(folder, changed(*pairs, text=SHELF) + end)


def test_a_parameter_is_called_by_its_label_where_pieces_differ_in_it(tmp_path: Path) -> None:
    kit = resolved(tmp_path, SHELF + "labels: {n: {en: Bays, de: Felder}}\n")
    found = kit.parts[1].piece_of
    assert found is not None
    assert [(one.name, in_language(one.label, "en"), in_language(one.label, "de")) for one in found.values] == [
        ("n", "Bays", "Felder")
    ]
    (finding,) = problems(tmp_path, end="labels: {wide: Bays}\n")
    assert finding.code == "unknown-name"


def test_every_piece_is_a_part_with_its_values(tmp_path: Path) -> None:
    kit = shelf(tmp_path)
    one, two, front = kit.parts
    assert [part.key for part in kit.parts] == ["shelf-one", "shelf-two", "front"]
    assert [part.title for part in kit.parts] == ["Shelf (One)", "Shelf (twice as long)", "Front"]
    assert [part.count for part in kit.parts] == [3, 2, 2]
    assert (one.outline.bounds.width, two.outline.bounds.width) == pytest.approx((99.5, 199.5))
    assert [len(part.operation("pegs").points) for part in (one, two)] == [1, 2]
    assert two.piece_of is not None
    assert (two.piece_of.part, two.piece_of.title, two.piece_of.piece) == ("shelf", "Shelf", "twice as long")
    assert [(one.name, one.label, one.value) for one in two.piece_of.values] == [("n", "", 2)]
    assert front.piece_of is None
    assert front.outline.bounds.width == 150


def test_titles_are_joined_in_every_language(tmp_path: Path) -> None:
    kit = shelf(
        tmp_path,
        "",
        ("    count: 3\n", "    count: 3\n    title: {en: Shelf, de: Boden}\n"),
        ("title: twice as long", "title: {en: long, de: lang}"),
    )
    assert kit.parts[1].title.said_in("de") == "Boden (lang)"  # type: ignore[attr-defined]
    assert kit.parts[1].title == "Shelf (long)"
    assert kit.parts[0].title.said_in("de") == "Boden (One)"  # type: ignore[attr-defined]


def test_a_need_is_asked_of_every_piece_with_its_values_or_of_one(tmp_path: Path) -> None:
    kit = shelf(
        tmp_path,
        """
needs:
  - {count: {part: shelf, feature: pegs, count: n}}
  - {count: {part: shelf-two, feature: pegs, count: n}}
  - {keeps: {part: shelf, features: [pegs], edge: = 5 mm * n}}
  - {keeps: {part: all, wall: 2 mm}}
  - {mates: {slot: {part: shelf, feature: outline, at: [= long, 5]}, takes: {part: shelf}, clearance: [0, 1]}}
  - {spacing: {part: shelf, features: [pegs], least: = 10 mm * n}}
""",
    )
    counts = [(one.part, one.count) for one in kit.needs if isinstance(one, CountNeed)]
    assert counts == [("shelf-one", 1), ("shelf-two", 2), ("shelf-two", 2)]
    keeps = [(one.part, one.edge, one.wall) for one in kit.needs if isinstance(one, KeepNeed)]
    assert keeps == [
        ("shelf-one", 5, None),
        ("shelf-two", 10, None),
        *((key, None, 2) for key in ("shelf-one", "shelf-two", "front")),
    ]
    joints = [(one.part, one.takes, one.at) for one in kit.needs if isinstance(one, JointNeed)]
    ends = {"shelf-one": (99.5, 5), "shelf-two": (199.5, 5)}
    assert joints == [(a, b, ends[a]) for a in ends for b in ends]
    assert [one.distance for one in kit.needs if isinstance(one, SpacingNeed)] == [10, 20]


def test_a_module_names_pieces_by_their_own_keys(tmp_path: Path) -> None:
    kit = shelf(
        tmp_path,
        """
needs:
  - {module: {part: shelf, pitch: 100 mm, play: 0.5 mm, field: 400 mm, mixes: [{one: = 2 + 2}, {shelf-two: 2}]}}
  - {module: {part: [shelf-one], pitch: [100, 60], field: [200, 60], mixes: [{one: 2}]}}
  - {module: {part: shelf, pitch: 60.5 mm, play: 0.5 mm, field: 121 mm, along: y, mixes: [{one: 2}]}}
""",
    )
    row, plane, across = (one for one in kit.needs if isinstance(one, ModuleNeed))
    assert row.parts == ("shelf-one", "shelf-two")
    assert (row.pitch, row.field, row.play) == ((100, None), (400, None), 0.5)
    assert row.mixes == ((("shelf-one", 4),), (("shelf-two", 2),))
    assert (plane.parts, plane.pitch, plane.field) == (("shelf-one",), (100, 60), (200, 60))
    assert across.pitch == (None, 60.5)


def test_places_and_assembly_mean_every_piece(tmp_path: Path) -> None:
    kit = shelf(
        tmp_path,
        """
together:
  - {part: shelf, at: [= 300 mm * n, 0, 0]}
  - {part: shelf, at: [= 300 mm * n, 100, 0]}
  - {part: shelf-one, at: [0, 200, 0]}
  - {part: front, at: [0, 0, 50]}
  - {part: front, at: [0, 0, 90]}
assembly:
  - {text: Stack them., parts: [front, shelf]}
""",
    )
    assert kit.assembly[0].parts == ("front", "shelf-one", "shelf-two")
    standing = [(pose.part, pose.at[0], pose.step) for pose in kit.together]
    assert standing[:4] == [("shelf-one", 300, 0), ("shelf-two", 600, 0), ("shelf-one", 300, 0), ("shelf-two", 600, 0)]


@pytest.mark.parametrize(
    ("pair", "said", "advice"),
    [
        (("set: {n: 2}", "set: {zz: 2}"), "there is no parameter 'zz'", "What can be"),
        (("set: {n: 2}", "set: {hohle: 2}"), "there is no parameter 'hohle'", "Did you mean 'hole'?"),
        (("      one: {}", "      one: {}\n      two: {}"), "is written twice", "Remove one"),
        (("set: {n: 2}", "set: {n: = 1 / 0}"), "parts / shelf / each / two", ""),
        (("set: {n: 2}", "set: {n: = n + 1}"), "need each other in a circle", "value of its own"),
        (("  front:\n", "  shelf-two:\n"), "the piece is called 'shelf-two', as another part is", "another key"),
        (("      one: {}", f"      {'o' * 39}: {{}}"), "40 characters is the limit", "Shorten"),
    ],
)
def test_what_cannot_be_a_piece_is_told_with_its_line(
    tmp_path: Path, pair: tuple[str, str], said: str, advice: str
) -> None:
    found = problems(tmp_path, pair)
    assert [one for one in found if said in str(one.message)], [str(one.message) for one in found]
    assert any(advice in str(one.advice) for one in found) or not advice
    assert all(one.source.line for one in found)


def test_a_mistake_in_a_value_of_one_piece_names_it_and_its_line(tmp_path: Path) -> None:
    """1 / (2 - n) fails for the second piece alone."""
    found = problems(tmp_path, ("long: = n * 100 mm - 0.5 mm", "long: = 100 mm / (2 - n)"))
    (one,) = (one for one in found if one.code == "bad-expression")
    assert str(one.message).startswith("parts / shelf / each / two: ")
    assert one.part == "shelf-two"


def test_a_shape_that_only_one_piece_cannot_have_is_told_of_that_piece_at_the_shared_line(tmp_path: Path) -> None:
    found = problems(tmp_path, ("set: {n: 2}", "set: {n: 300}"), ("columns: n", "columns: 2"))
    (one,) = found
    assert "parts / shelf-two / outline" in str(one.message)
    assert (one.source.line, one.source.column) == place(SHELF, "long, 60 mm")


def test_a_mistake_that_all_pieces_share_is_told_once(tmp_path: Path) -> None:
    end = "\nneeds:\n  - {spacing: {part: shelf, features: [pegs], least: nothing}}\n"
    assert [str(one.message).count("nothing") for one in problems(tmp_path, end=end)] == [1]


def test_unknown_names_still_find_the_nearest_part(tmp_path: Path) -> None:
    end = "\nneeds:\n  - {count: {part: shelf-tow, feature: pegs, count: 1}}\nassembly: [{text: No., parts: [shelv]}]\n"
    found = {str(one.advice) for one in problems(tmp_path, end=end)}
    assert found == {"Did you mean 'shelf-two'?", "Did you mean 'shelf'?"}


def test_pieces_are_bounded(tmp_path: Path) -> None:
    """Forty pieces of sixty cuts, and two thousand needs, of a stranger's kit."""
    many = "".join(f"      p{number}: {{}}\n" for number in range(39))
    cuts = "".join(
        f"      - {{do: profile, name: o{number}, cutter: end-mill}}\n" for number in range(MOST_OPERATIONS // 40)
    )
    found = problems(
        tmp_path,
        ("      one: {}\n", many),
        ("      - {do: profile, name: outline, cutter: end-mill}\n  front:", f"{cuts}  front:"),
    )
    assert {one.code for one in found} == {"too-much"}
    mates = "{mates: {slot: {part: shelf, feature: outline, at: [1, 1]}, takes: {part: shelf}, clearance: [0, 1]}}"
    end = "\nneeds:\n" + f"  - {mates}\n" * (MOST_NEEDS // 40**2 + 1)
    (found_needs,) = problems(tmp_path, ("      one: {}\n", many), end=end)
    assert (found_needs.code, str(MOST_NEEDS) in str(found_needs.message)) == ("too-much", True)
