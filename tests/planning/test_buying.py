"""Boards cut to length and wood as it is sold: against all ways of cutting, by hand, and by the demo kits."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from builders import freed, kit, plate, stock
from demo_kits import demo
from hypothesis import given
from hypothesis import strategies as st
from kit_samples import checked_demo

import kitforge.planning.boards as boards_module
from kitforge.cli.main import main
from kitforge.model.findings import Source
from kitforge.model.kit import Grain, Stock
from kitforge.model.plan import Plan, Prepared
from kitforge.model.workshop import Material
from kitforge.pack.readme import wood_items
from kitforge.pipeline import load_kit
from kitforge.planning.boards import CutBoard, Saw, boards_to_buy, on_own_board
from kitforge.planning.buying import BOARD_FOOT, Purchase, board_volume, purchases
from kitforge.planning.nesting.in_a_row import length_in_a_row
from kitforge.plugins import load_plugins
from kitforge.print.buying import how_words, to_buy
from kitforge.print.figures import Units
from kitforge.workshop.load import load_workshop
from kitforge.workshop.sold import REGIONS, sold_sizes

KITS = Path(__file__).parents[2] / "kits"
SAW = Saw(3.0, 10.0)
NOT_WOOD = "birch_plywood"


def test_three_pieces_fit_on_one_board_with_their_cuts() -> None:
    """By hand: 3 x 700, two cuts of 3 and two ends of 10 are 2126 mm."""
    assert SAW.takes([700.0, 700.0, 700.0]) == 2126.0
    assert boards_to_buy([700.0] * 3, [1800.0, 2400.0], SAW) == ([CutBoard(2400.0, (0, 1, 2))], [])
    boards, _none = boards_to_buy([700.0] * 3, [1800.0, 2125.0], SAW)
    assert [board.length for board in boards] == [1800.0, 1800.0]


def test_a_piece_longer_than_every_board_is_told() -> None:
    assert boards_to_buy([3000.0, 500.0], [1800.0], SAW) == ([CutBoard(1800.0, (1,))], [0])


LENGTHS = st.lists(st.integers(100, 1500).map(float), min_size=1, max_size=6)


@given(LENGTHS)
def test_no_way_of_cutting_buys_less(pieces: list[float]) -> None:
    """Against every partition of the pieces into boards."""
    sold = [1800.0, 2400.0, 3000.0]
    boards, none = boards_to_buy(pieces, sold, SAW)
    assert none == [] and sorted(n for board in boards for n in board.pieces) == list(range(len(pieces)))
    assert all(SAW.takes([pieces[n] for n in board.pieces]) <= board.length for board in boards)
    assert sum(board.length for board in boards) == min(cost for cost in map(cost_of(pieces, sold), ways(len(pieces))))


def ways(count: int) -> list[list[list[int]]]:
    found: list[list[list[int]]] = [[]]
    for number in range(count):
        found = [
            grown
            for groups in found
            for grown in (
                *([*groups[:i], [*groups[i], number], *groups[i + 1 :]] for i in range(len(groups))),
                [*groups, [number]],
            )
        ]
    return found


def cost_of(pieces: list[float], sold: list[float]):  # type: ignore[no-untyped-def]  # noqa: ANN201
    def cost(groups: list[list[int]]) -> float:
        needs = [SAW.takes([pieces[n] for n in group]) for group in groups]
        return sum(min((one for one in sold if one >= need), default=float("inf")) for need in needs)

    return cost


@given(st.lists(st.integers(100, 1500).map(float), min_size=11, max_size=40))
def test_many_pieces_stay_within_the_bound_of_first_fit(pieces: list[float]) -> None:
    """At most 11/9 of what the lengths alone would take, and a board more; nothing is lost."""
    boards, none = boards_to_buy(pieces, [3000.0], SAW)
    assert none == [] and sorted(n for board in boards for n in board.pieces) == list(range(len(pieces)))
    assert all(SAW.takes([pieces[n] for n in board.pieces]) <= board.length for board in boards)
    ideal = -(-sum(length + SAW.kerf for length in pieces) // (3000.0 - 2 * SAW.trim + SAW.kerf))
    assert len(boards) <= 2 * ideal + 1


@given(LENGTHS, st.lists(st.tuples(st.integers(0, 2300), st.integers(1, 200)), max_size=4))
def test_a_board_is_sawn_around_its_bad_places(pieces: list[float], knots: list[tuple[int, int]]) -> None:
    bad = [(float(at), float(at + wide)) for at, wide in knots]
    placed, left = on_own_board(pieces, 2400.0, bad, SAW)
    assert sorted([number for number, _start in placed] + left) == list(range(len(pieces)))
    spans = [(start, start + pieces[number]) for number, start in placed]
    assert all(SAW.trim <= start and end <= 2400.0 - SAW.trim + 1e-6 for start, end in spans)
    assert all(one[1] + SAW.kerf <= two[0] + 1e-6 for one, two in itertools.pairwise(spans))
    kerf = SAW.kerf - 1e-6
    assert all(end + kerf <= low or high + kerf <= start for start, end in spans for low, high in bad)


def test_a_board_foot_is_one_foot_by_one_foot_by_one_inch() -> None:
    """Worked example of the trade: 2 in thick, 6 in wide, 8 ft long are 8 board feet; 3/4 in counts as 1 in."""
    assert board_volume(25.4, 304.8, 304.8) == pytest.approx(BOARD_FOOT)
    assert board_volume(50.8, 6 * 25.4, 8 * 304.8) == pytest.approx(8 * BOARD_FOOT)
    assert board_volume(19.05, 304.8, 304.8) == pytest.approx(BOARD_FOOT)


@pytest.mark.parametrize("region", REGIONS)
def test_the_table_of_sizes_is_sound(region: str) -> None:
    sold = sold_sizes().regions[region]
    assert all(500 < span.low <= span.high < 4000 for span in sold.panels.values())
    lengths = [fact.value for fact in sold.lengths.values()]
    assert lengths == sorted(lengths) and lengths[0] > 1500


def bought(sheet: Stock, pieces: int = 1, region: str = "europe") -> Purchase:
    of = kit(freed(outline=plate(100.0, 80.0), stock=sheet))
    ready = Prepared(sheet, pieces, sheet.nominal, "4/4", None, None)
    (found,) = purchases(of, Plan((), (), (), (), (ready,)), region)
    return found


def test_a_fit_coupon_is_bought_with_the_sheets() -> None:
    """The plant stand's sheet of 720 x 600 lies on 1220 x 600 as 720 + 290 = 1010 of its 1220 mm."""
    checked = checked_demo("plant-stand")
    (with_coupon,) = purchases(checked.kit, checked.plan, "europe")
    (without,) = purchases(checked.kit, replace(checked.plan, coupons=()), "europe")
    assert (with_coupon.pieces, without.pieces) == (2, 1)
    one, other = with_coupon.panels[0], without.panels[0]
    assert (one.size, one.sheets) == (other.size, other.sheets)  # there was room for it on the same sheet
    assert one.taken > other.taken == pytest.approx(720 * 600 / (1220 * 600))


def material(key: str) -> Material:
    return load_workshop().materials[key]


def test_pieces_of_a_panel_are_sawn_from_the_sheet_that_wastes_least() -> None:
    """Four pieces of 600 x 600: 2 x 600 + 3.2 = 1203.2 mm, so two lie on 1220 x 600, which is less than 1220 x 1220."""
    sheet = stock(length=600.0, width=600.0, grain=Grain.NONE, material=material(NOT_WOOD))
    first, second = bought(sheet, 4).panels[:2]
    assert (first.size, first.sheets) == ((1220.0, 600.0), 2)
    assert (second.size, second.sheets) == ((1220.0, 1220.0), 1)


def test_the_grain_keeps_a_piece_from_lying_across_an_oblong_sheet() -> None:
    """The grain along its 300 mm: of a sheet of 1220 x 600 with the grain along 1220, its 700 mm find no room."""
    sheet = stock(length=700.0, width=300.0, grain=Grain.WIDTH, material=material(NOT_WOOD))
    sizes = {one.size for one in bought(sheet).panels}
    assert (1220.0, 600.0) not in sizes and (2440.0, 1220.0) in sizes


def test_a_piece_larger_than_every_sheet_is_told() -> None:
    found = bought(stock(length=2600.0, width=1300.0, material=material(NOT_WOOD)))
    assert found.panels == () and found.unsold == ("sheet",)


def test_the_nest_box_needs_one_board(capsys: pytest.CaptureFixture[str]) -> None:
    """Three pieces of 700 from one board of 2.4 m; laid out in a row all six parts take less than 1.8 m."""
    assert main(["buy", str(KITS / "nest-box")]) == 0
    told = capsys.readouterr().out
    assert "1 board, 2400 × 235 mm; 0.015 m³, 4/4; " in told and "2400 mm: 3 × 700 mm" in told
    of = load_kit(KITS / "nest-box", load_plugins())
    row = length_in_a_row(of, tuple(of.stock.values()))
    assert row is not None and 1650 < row < 1800
    assert f"take {row:.0f} mm of one such board instead of 2100 mm" in told


def test_boards_of_the_shop_are_sawn_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "mine.yaml"
    board = "{material: western_redcedar, thickness: 19 mm, outline: {rectangle: {size: [1700, 240]}}, bad: [KNOT]}"
    knot = "{circle: {centre: [800, 100], diameter: 40}}"
    file.write_text(f"offcuts:\n  rest: {board.replace('KNOT', knot)}\n", encoding="utf-8")
    assert main(["buy", str(KITS / "nest-box"), "--offcuts", str(file), "--region", "north_america"]) == 0
    told = capsys.readouterr().out
    # by hand: 15 + 700 + 3.2 < 780 - 3.2, and 820 + 3.2 + 700 < 1685
    assert "from Rest: 700 mm from 15 mm on, 700 mm from 823 mm on" in told
    assert "1 board, 72 × 9.25 in" in told


def test_unlike_boards_make_no_row() -> None:
    one, two = stock(), stock(key="other", width=55.0, source=Source("kit.yaml"))
    of = kit(freed(stock=one), freed(stock=two, key="other"))
    assert length_in_a_row(of, (one, two)) is None
    assert length_in_a_row(of, (one,)) is None


@pytest.mark.parametrize("name", ["nest-box", "plant-stand", "morris-board"])
def test_every_document_and_the_command_say_the_same_of_what_to_buy(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    checked = checked_demo(name)
    if name != "nest-box":  # the smallest, whose plan the command works out by itself
        monkeypatch.setattr("kitforge.pipeline.plan_kit", lambda *_call, **_more: (checked.kit, checked.plan))
    assert main(["buy", str(KITS / name)]) == 0
    told = capsys.readouterr().out
    (found,) = to_buy(checked.kit, checked.plan, Units("mm", both=True))
    assert f"  {found.bought.main}" in told
    assert main(["buy", str(KITS / name), "--region", "north_america"]) == 0
    assert f"  {found.bought.other}" in capsys.readouterr().out
    assert "\n".join(wood_items(checked.kit, checked.plan)) == f"- To buy: {found.bought.main.replace('×', 'x')}"
    listing = demo(name).files["listing.txt"].decode("utf-8-sig")
    assert f"- To buy: {found.bought}" in " ".join(listing.split())


def test_a_search_of_ten_equal_pieces_tries_equal_boards_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten equal pieces can be shared out in 115 975 ways, of which 42 are unlike each other (partitions of ten)."""
    tried: list[int] = []
    cost = boards_module._Least._cost

    def counted(search: boards_module._Least, groups: Sequence[Sequence[int]]) -> tuple[float, int]:
        tried.append(len(groups))
        return cost(search, groups)

    monkeypatch.setattr(boards_module._Least, "_cost", counted)
    boards, none = boards_to_buy([1300.0] * 10, [1800.0, 2400.0, 3000.0, 3600.0, 4200.0], Saw(3.2, 15.0))
    assert none == [] and sum(board.length for board in boards) == 14_400.0
    assert len(tried) < 5000


def test_what_no_sheet_gives_is_told_in_words_and_not_as_an_amount() -> None:
    sheet = stock(length=2600.0, width=1300.0, material=material(NOT_WOOD))
    of, ready = (
        kit(freed(outline=plate(100.0, 80.0), stock=sheet)),
        Prepared(sheet, 1, sheet.nominal, "4/4", None, None),
    )
    (found,) = to_buy(of, Plan((), (), (), (), (ready,)), Units("mm", both=False))
    assert str(found.bought) == "larger than what is usually sold"
    assert how_words(found, Units("mm", both=False)) == "No usual sheet or board is so large: ask your timber yard."


def test_a_small_piece_of_a_sheet_may_come_from_a_cut_off() -> None:
    """A piece of 300 x 200 takes 60 000 of 732 000 mm²; one of 1200 x 550 nearly all of it."""
    units = Units("mm", both=False)
    for sides, said in (((300.0, 200.0), True), ((1200.0, 550.0), False)):
        sheet = stock(length=sides[0], width=sides[1], grain=Grain.NONE, material=material(NOT_WOOD))
        of = kit(freed(outline=plate(100.0, 80.0), stock=sheet))
        (found,) = to_buy(of, Plan((), (), (), (), (Prepared(sheet, 1, 12.0, "", None, None),)), units)
        assert ("cut-off" in how_words(found, units)) is said
