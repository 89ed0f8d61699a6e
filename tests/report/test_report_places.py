"""Findings are drawn where they are: on their part, or on the sheet they are about."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from broken_kits import broken, broken_kit, finding, with_findings
from builders import HERE, drilled, freed, kit, plate, pocket, rounded

from kitforge.geometry.shapes import circle
from kitforge.model.findings import OnSheet, Source
from kitforge.pipeline import CheckedKit
from kitforge.report.drawing import draw_section
from kitforge.report.gather import report_of
from kitforge.report.part_scene import PartScene
from kitforge.report.places import locate
from kitforge.report.records import Home, ListedFinding, Located, Section


@pytest.fixture(scope="module")
def report_sections() -> tuple[Section, ...]:
    """The sections of the broken kit's report."""
    return report_of(broken()).sections


def _found(checked: CheckedKit, code: str) -> list[Located]:
    return [located for located in locate(checked) if located.finding.code == code]


def _board_kit() -> CheckedKit:
    board = freed(pocket(rounded(20, 20, 60, 40, 4.0)), outline=plate(200, 150))
    return with_findings(kit(board), [])


def test_every_finding_stands_in_exactly_one_section(report_sections: tuple[Section, ...]) -> None:
    found = broken().findings
    listed = [entry.finding for section in report_sections for entry in section.entries]
    assert len(found) >= 20
    assert Counter(listed) == Counter(found)


def test_numbers_run_without_gaps_in_the_order_of_the_sections(report_sections: tuple[Section, ...]) -> None:
    numbers = [entry.number for section in report_sections for entry in section.entries]
    assert numbers == list(range(1, len(numbers) + 1))


def test_every_part_is_drawn_even_when_nothing_is_wrong_with_it() -> None:
    sections = report_of(_board_kit()).sections
    assert [section.title for section in sections if isinstance(section.scene, PartScene)] == ["Board"]


def test_a_fastener_is_drawn_on_the_sheet_that_the_finding_names() -> None:
    checked = broken()
    for located in _found(checked, "fastener-in-cut"):
        setup = checked.plan.setups[located.home.setup or 0]
        place = (setup.fasteners[0].x, setup.fasteners[0].y)
        assert setup.sheets[located.home.sheet].number == 2
        assert located.mark == place


def test_a_part_beside_its_stock_is_drawn_where_that_copy_lies() -> None:
    (located,) = _found(broken(), "part-off-stock")
    assert (located.home.setup, located.mark) == (0, (330.0 + 30.0, 385.0 + 20.0))


def test_parts_too_close_are_drawn_between_their_two_copies() -> None:
    board = replace(freed(outline=plate(100, 80)), count=2, places=((20.0, 20.0), (118.0, 20.0)))
    near = with_findings(kit(board), [])
    spot = OnSheet("sheet", 1, "top", 117.0, 50.0)
    named = replace(finding(code="parts-too-close", at=(-1.0, 30.0)), on_sheet=spot)
    (located,) = locate(replace(near, findings=(named,)))
    assert (located.home, located.mark) == (Home(setup=0, sheet=0), (117.0, 50.0))


def test_a_sheet_that_the_plan_does_not_have_is_not_drawn() -> None:
    named = replace(finding(code="part-off-stock", part="board"), on_sheet=OnSheet("sheet", 7, "top", 1.0, 2.0))
    (located,) = locate(replace(_board_kit(), findings=(named,)))
    assert (located.home, located.mark) == (Home(part="board"), None)


def test_a_flaw_of_a_drawing_is_drawn_on_the_one_part_with_a_line_there() -> None:
    flaw = finding(code="drawing-flaw", part=None, at=(20.0, 40.0), source=Source("board.dxf"))
    (located,) = locate(replace(_board_kit(), findings=(flaw,)))
    assert (located.home, located.mark) == (Home(part="board"), (20.0, 40.0))


def test_a_flaw_of_a_drawing_that_meets_no_part_is_listed_with_its_place() -> None:
    flaw = finding(code="drawing-flaw", part=None, at=(120.0, 40.0), source=Source("board.dxf"))
    (located,) = locate(replace(_board_kit(), findings=(flaw,)))
    assert (located.home, located.at, located.mark) == (Home(), (120.0, 40.0), None)


def test_a_finding_about_a_whole_operation_points_at_it() -> None:
    about = finding(operation="pocket-1")
    (located,) = locate(replace(_board_kit(), findings=(about,)))
    assert located.at is None
    assert located.mark is not None
    assert 20.0 < located.mark[0] < 80.0
    assert 20.0 < located.mark[1] < 60.0


@pytest.mark.parametrize("at", [(float("nan"), 1.0), (1.0, float("inf")), (1e300, 0.0)])
def test_a_place_that_is_no_place_is_not_drawn(at: tuple[float, float]) -> None:
    (located,) = locate(replace(_board_kit(), findings=(finding(at=at),)))
    assert (located.at, located.mark) == (None, None)


def test_a_finding_of_a_part_that_is_not_there_belongs_to_the_kit() -> None:
    (located,) = locate(replace(_board_kit(), findings=(finding(part="nobody"),)))
    assert located.home == Home()


@pytest.mark.parametrize(
    ("shape", "at", "small"),
    [
        (rounded(20, 20, 60, 40, 4.0), (50.0, 40.0), False),
        (rounded(20, 20, 3.0, 40, 1.0), (21.5, 40.0), True),
        (circle((50, 50), 4.0), (50.0, 50.0), True),
        (rounded(20, 2.0, 60, 40, 4.0), (50.0, 1.0), True),
        (rounded(20, 20, 60, 40, 4.0), (0.5, 75.0), False),
    ],
    ids=["wide pocket", "narrow slot", "small hole", "thin wall to the edge", "straight edge"],
)
def test_small_is_what_is_under_5_mm_where_the_finding_is(shape: object, at: tuple[float, float], small: bool) -> None:
    scene = PartScene(freed(pocket(shape)))  # type: ignore[arg-type]
    assert scene.is_small(at) is small


def test_every_marked_place_lies_in_the_drawing_and_every_detail_shows_its_places(
    report_sections: tuple[Section, ...],
) -> None:
    details = 0
    for section in report_sections:
        drawn = draw_section(section)
        if drawn is None:
            continue
        marked = {entry.number for entry in section.entries if entry.mark}
        assert drawn.shown == marked
        for detail in drawn.details:
            details += 1
            assert all(
                abs(s.x - detail.x) <= detail.side / 2 and abs(s.y - detail.y) <= detail.side / 2 for s in detail.spots
            )
    assert details >= 8


def test_a_place_far_from_its_part_is_pointed_at_from_the_edge_of_the_drawing() -> None:
    section = report_of(with_findings(_board_kit().kit, [finding(at=(90000.0, 75.0))])).sections[0]
    drawn = draw_section(section)
    assert drawn is not None
    (sign,) = drawn.signs
    assert sign.beyond
    assert 0 < sign.place[0] < 160


def test_a_part_of_very_many_shapes_is_drawn_in_bounded_space() -> None:
    holes = [(5.0 + 6 * i, 5.0 + 6 * j) for i in range(40) for j in range(40)]
    big = kit(freed(drilled(*holes, diameter=3.0), outline=plate(260, 260)))
    found = [finding(n, at=holes[n * 130]) for n in range(12)]
    drawn = draw_section(report_of(with_findings(big, found)).sections[0])
    assert drawn is not None
    assert len(drawn.details) == 12
    assert sum(map(len, drawn.rows)) < 0.2 * len(drawn.plan)


def test_a_drawing_with_too_many_findings_draws_some_and_says_so_of_the_rest() -> None:
    many = [finding(n, at=(1.0 + n % 190, 1.0 + n * 7 % 140)) for n in range(400)]
    section = report_of(with_findings(_board_kit().kit, many)).sections[0]
    drawn = draw_section(section)
    assert drawn is not None
    assert 100 <= len(drawn.signs) <= 150
    assert len(section.entries) == 400


def test_the_line_of_the_kit_stands_beside_its_finding() -> None:
    entries: list[ListedFinding] = [entry for section in report_of(broken()).sections for entry in section.entries]
    fastener = next(entry for entry in entries if entry.finding.code == "fastener-off-stock")
    assert fastener.written == "line_70: of the kit"


def test_the_kit_as_a_whole_comes_first_when_it_has_findings() -> None:
    sections = report_of(with_findings(broken_kit(), [finding(part=None, source=HERE)])).sections
    assert (sections[0].key, len(sections[0].entries)) == ("kit", 1)
