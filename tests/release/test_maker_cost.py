"""What a kit costs its maker: by hand, with what has no price told, and without a trace in any pack."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from calling import Call
from family_kits import written
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.model.prices import Prices
from kitforge.pack.times import coated_area, work_times
from kitforge.pipeline import load_kit, plan_kit
from kitforge.plugins import load_plugins
from kitforge.release.cost import cost_of
from kitforge.stages.read_prices import read_prices

ONE_SIZE = (
    "sizes:\n  small: {set: {width: 40 mm}}\n  medium: {}\n"
    "  large: {title: Very large, set: {width: 90 mm, hole: 10 mm}}\n",
    "",
)
MORE = "hardware: [{item: Brass pin, count: 2}, {item: Twine, count: 1 m}]\nfinishing: {finish: hardwax_oil}\nmachines:"
PRICES = """\
currency: EUR
on: "2026-11-29"
wood: {board: {square_metre: 24}}
finish_litre: 40
hardware: {Brass pin: 0.15, Twine: 0.6}
hour: {machine: 18, hand: 30}
"""


@pytest.fixture
def folder(tmp_path: Path, plain_pictures: None) -> Path:  # noqa: F811 - the fixture that is imported
    found = written(tmp_path / "marker", ONE_SIZE, ("machines:", MORE))
    (found / "prices.yaml").write_text(PRICES, encoding="utf-8")
    return found


def prices_of(folder: Path, *changes: tuple[str, str]) -> Prices:
    text = PRICES
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (folder / "prices.yaml").write_text(text, encoding="utf-8")
    return read_prices(folder / "prices.yaml", load_kit(folder, load_plugins()))


def test_a_batch_is_added_up_as_by_hand(folder: Path) -> None:
    """Ten pieces of 400 x 150: nine lie on 1220 x 600 (three by three; 4 x 150 is too wide), so it takes two sheets."""
    kit, plan = plan_kit(folder, load_plugins())
    for pieces, sheets in ((1, 1), (9, 1), (10, 2)):
        found = cost_of(kit, plan, prices_of(folder), plan.machines, pieces)
        wood, finish, pins, twine, machine, hand = (line.cost for line in found.lines)
        assert wood == pytest.approx((sheets * 1.22 * 0.6 * 24,) * 2)
        assert pins == pytest.approx((0.3 * pieces,) * 2)
        assert twine == pytest.approx((0.6 * pieces,) * 2)
        (one,) = plan.machines
        assert machine == pytest.approx(tuple(pieces * 18 * span / 3600 for span in one.machine_seconds))
        assert hand == pytest.approx(tuple(pieces * 30 * span / 3600 for span in work_times(kit, plan).hands_on))
        oil = kit.finishing.finish
        assert oil is not None and finish is not None
        square_metres = coated_area(kit, plan) / 1e6
        with_brush_and_rag = 1.15 * pieces * square_metres * oil.coats / oil.coverage.low
        assert finish[1] == pytest.approx(40 * with_brush_and_rag)
        assert found.total[1] == pytest.approx(sum(line.cost[1] for line in found.lines if line.cost))


def test_solid_wood_is_paid_by_volume_or_area(folder: Path) -> None:
    kit, plan = plan_kit(folder, load_plugins())
    per_volume = prices_of(folder, ("square_metre: 24", "cubic_metre: 4000"))
    line = cost_of(kit, plan, per_volume, (), 1).lines[0]
    assert line.cost == pytest.approx((1.22 * 0.6 * 0.006 * 4000,) * 2)
    foot = prices_of(folder, ("square_metre: 24", "board_foot: 9"))
    line = cost_of(kit, plan, foot, (), 1).lines[0]
    assert line.cost == pytest.approx((1.22 * 0.6 * 0.006 / 0.002359737 * 9,) * 2)


@pytest.mark.parametrize("left_out", ["wood: ", "finish_litre: ", "hardware: ", "hour: "])
def test_what_has_no_price_is_told_and_is_not_free(folder: Path, call: Call, left_out: str) -> None:
    (line,) = (one for one in PRICES.splitlines() if one.startswith(left_out))
    (folder / "prices.yaml").write_text(PRICES.replace(f"{line}\n", ""), encoding="utf-8")
    code, out, _err = call("cost", folder)
    assert code == 1
    names = {"wood": "Birch plywood", "finish_litre": "Hardwax oil", "hardware": "Brass pin; Twine", "hour": "by hand"}
    told = out.partition("Without what has no price: ")[2]
    assert names[left_out.strip(": ")] in " ".join(told.split())
    assert "no price" in out.partition("Without")[0]


def test_the_table_tells_batch_and_piece(folder: Path, call: Call) -> None:
    code, out, _err = call("cost", folder, "--pieces", "10")
    assert code == 0
    assert "EUR, 2026-11-29" in out and "2 sheets, 1220 × 600 mm" in out and "35.14" in out
    assert "all of 10" in out and "each" in out
    assert call("cost", folder, "--pieces", "0")[0] == 2


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("currency: EUR", "currency: euro", 1, "currency"),
        ('on: "2026-11-29"', "on: today", 2, "date"),
        ("square_metre: 24", "square_metre: -24", 3, "square_metre"),
        ("square_metre: 24", "square_metre: .nan", 3, "square_metre"),
        ("square_metre: 24", "square_metre: 24, board_foot: 3", 3, "one price"),
        ("{board: {", "{bord: {", 3, "board"),
        ("Twine: 0.6", "Twin: 0.6", 5, "Twine"),
        ("finish_litre: 40", "finish_liter: 40", 4, "finish_litre"),
        ("machine: 18", "machine: 1e300", 6, "machine"),
    ],
)
def test_a_mistake_is_told_with_file_and_line(
    folder: Path, call: Call, old: str, new: str, line: int, words: str
) -> None:
    assert PRICES.count(old) == 1
    (folder / "prices.yaml").write_text(PRICES.replace(old, new), encoding="utf-8")
    code, out, err = call("cost", folder)
    assert code == 2
    assert f"prices.yaml:{line}" in out + err and words in out + err


def test_no_prices_no_cost(folder: Path, call: Call) -> None:
    (folder / "prices.yaml").unlink()
    code, out, err = call("cost", folder)
    assert code == 2 and "There is no file 'prices.yaml'" in out + err


def test_a_pack_knows_nothing_of_prices(folder: Path, call: Call, tmp_path: Path, quick: None) -> None:
    """The same bytes with prices, with other ones and with none; and no trace of the currency."""
    packs = []
    for number, text in enumerate((PRICES, PRICES.replace("24", "2400"), None)):
        (folder / "prices.yaml").unlink(missing_ok=True)
        if text is not None:
            (folder / "prices.yaml").write_text(text, encoding="utf-8")
        out = tmp_path / str(number)
        code, told, err = call("build", folder, "-o", out, "--paper", "a4", "--no-cache", "--jobs", "1")
        assert code == 0, told + err
        (path,) = out.iterdir()
        packs.append(path.read_bytes())
    assert packs[0] == packs[1] == packs[2]
    with zipfile.ZipFile(tmp_path / "0" / path.name) as opened:
        assert not [name for name in opened.namelist() if "prices" in name]
        assert b"prices" not in opened.read(next(name for name in opened.namelist() if name.endswith("manifest.json")))
