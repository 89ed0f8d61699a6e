"""Following a kit without a browser: what is put up when, what keeps the last good state, and what is no save."""

from __future__ import annotations

import gc
import json
import os
import re
import tracemalloc
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from kit_samples import plugins

from kitforge.cutting.worksheet.plain import Plain
from kitforge.live import work
from kitforge.live.board import PieceBoard
from kitforge.live.watching import look
from kitforge.live.work import Follower
from kitforge.model.family import AS_WRITTEN
from kitforge.model.kit import Kit, Part
from kitforge.model.plan import Plan
from kitforge.pipeline import check_kit
from kitforge.release.cost import cost_of
from kitforge.stages.read_prices import read_prices
from kitforge.surface import maps
from kitforge.testing import SmallKit

SAVES, MANY = 4, 500


class Followed:
    """A small kit that is followed by hand: one look after another, no thread."""

    def __init__(self, folder: Path) -> None:
        self.kit = SmallKit(folder)
        self.board = PieceBoard()
        self.bugs: list[str] = []
        self.follower = Follower(self.kit.folder, AS_WRITTEN, plugins(), self.board, self.bugs.append)

    def save(self, text: str, how: str = "in place") -> None:
        """Save kit.yaml as editors do: in place, or a new file that takes its place."""
        if how == "in place":
            self.kit.file.write_text(text, encoding="utf-8")
            return
        beside = self.kit.folder / ".kit.yaml.new"
        beside.write_text(text, encoding="utf-8")
        beside.replace(self.kit.file)

    def look(self) -> bool:
        return self.follower.step()

    @property
    def status(self) -> dict[str, object]:
        return dict(self.board.state().status)

    def stage(self) -> object:
        return self.status["stage"]

    def piece(self, name: str) -> str:
        return (self.board.piece(name) or b"").decode("utf-8")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Followed:
    found = Followed(tmp_path_factory.mktemp("live") / "kit")
    found.look()
    return found


@pytest.fixture
def followed(shared: Followed) -> Followed:
    """The kit as it was at first, followed to the end."""
    text = (Path(work.__file__).parents[1] / "cli" / "starter" / "kit.yaml").read_text(encoding="utf-8")
    if shared.kit.file.read_text(encoding="utf-8") != text or shared.stage() != "done":
        shared.save(text)
        shared.look()
    assert shared.stage() == "done"
    return shared


def test_everything_is_put_up(followed: Followed) -> None:
    maps = json.loads(followed.piece("maps"))
    assert [step["title"] for step in maps["steps"]] == [
        "Recess for the label", "Line around the recess", "Cut the sign free",
    ]  # fmt: skip
    assert [row[0] for row in maps["maps"][0]["steps"]] == [1, 2, 3]
    assert "<bdi>Two name signs</bdi>" in followed.piece("head")
    assert 'class="made"' in followed.piece("drawn")
    assert followed.piece("settings").count('<section class="class"') == 3
    assert "Does it hold?" in followed.piece("settings")
    assert followed.piece("text").count('role="option"') == len(followed.kit.file.read_text().split("\n"))
    assert not followed.bugs


def codes(followed: Followed) -> list[str]:
    """Return the codes of the findings that the page lists, with how often, sorted."""
    return sorted(re.findall(r'<p class="where"><code>([\w-]+)</code>', followed.piece("drawn")))


def with_ladder(text: str) -> str:
    """Return the kit with two thicknesses, and with a part that its stock is too small for."""
    stock = "thickness: { nominal: 12 mm, actual: 12 mm }"
    assert text.count(stock) == 1
    rungs = "ladder: { of: thick, from: 11 mm, to: 12 mm, step: 1 mm }"
    ladder = text.replace(stock, f"thickness: {{ nominal: 12 mm, actual: = thick }}\n    {rungs}")
    return ladder.replace("  long: 150 mm", "  thick: 12 mm\n  long: 350 mm")


def test_it_finds_what_a_check_finds(followed: Followed) -> None:
    """Also of a kit with errors and a ladder of thicknesses."""
    text = followed.kit.file.read_text(encoding="utf-8")
    for changed in (text, with_ladder(text)):
        followed.save(changed)
        followed.look()
        assert followed.stage() == "done", followed.piece("trouble")
        expected = sorted(one.code for one in check_kit(followed.kit.folder, plugins()).findings)
        assert codes(followed) == expected
    assert "part-too-large" in expected


def test_what_other_thicknesses_bring_comes_after_the_rest(followed: Followed, monkeypatch: pytest.MonkeyPatch) -> None:
    """The findings of the kit as it is drawn are up before the other thicknesses are planned; then all of them."""
    told, original = dict[str, list[str]](), Follower._put

    def noted(self: Follower, stage: str, noticed: float, **pieces: bytes) -> None:
        original(self, stage, noticed, **pieces)
        if "drawn" in pieces:
            told[stage] = codes(followed)

    monkeypatch.setattr(Follower, "_put", noted)
    text = followed.kit.file.read_text(encoding="utf-8")
    followed.save(with_ladder(text))
    followed.look()
    assert list(told) == ["further", "done"]
    assert "part-too-large" in told["further"]
    assert "ladder-still" in told["done"]
    assert "ladder-still" not in told["further"]
    told.clear()
    followed.save(text)
    followed.look()
    assert list(told) == ["done"]


def test_of_the_parts_only_what_changed_is_cut_anew(followed: Followed, monkeypatch: pytest.MonkeyPatch) -> None:
    """The maps that were kept are those that would be made, whatever was saved."""
    cut, original = [], maps._part

    def noted(plan: Plan, part: Part) -> dict[str, Plain]:
        cut.append(part.key)
        return original(plan, part)

    monkeypatch.setattr(maps, "_part", noted)
    text = followed.kit.file.read_text(encoding="utf-8")
    for old, new, anew in (("count: 2", "count: 3", False), ("depth: 2 mm", "depth: 2.5 mm", True)):
        cut.clear()
        followed.save(text.replace(old, new))
        followed.look()
        assert bool(cut) is anew
        good = followed.follower.good
        assert good is not None
        assert json.loads(followed.piece("maps"))["maps"] == maps.maps_of(good.plan, good.kit.parts)


@pytest.mark.parametrize("how", ["in place", "replaced"])
def test_a_save_is_seen_however_the_editor_does_it(followed: Followed, how: str) -> None:
    before = followed.status["generation"]
    text = followed.kit.file.read_text(encoding="utf-8").replace("depth: 2 mm", "depth: 3 mm")
    followed.save(text, how)
    assert followed.look()
    assert followed.status == {"stage": "done", "generation": int(str(before)) + 1}
    assert "depth: 3 mm" in followed.piece("text")
    assert not followed.look()


def test_the_piece_is_put_up_before_the_settings_and_these_before_the_findings(
    followed: Followed, monkeypatch: pytest.MonkeyPatch
) -> None:
    put: list[str] = []
    original = PieceBoard.put

    def noted(self: PieceBoard, status: Mapping[str, object] | None = None, **pieces: bytes) -> None:
        put.extend(pieces)
        original(self, status, **pieces)

    monkeypatch.setattr(PieceBoard, "put", noted)
    followed.save(followed.kit.file.read_text(encoding="utf-8").replace("tall: 60 mm", "tall: 58 mm"))
    followed.look()
    assert put.index("maps") < put.index("settings") < put.index("drawn")


def test_an_unreadable_kit_keeps_the_last_good_state(followed: Followed) -> None:
    kept = {name: followed.piece(name) for name in ("head", "drawn", "maps", "settings", "needs")}
    text = followed.kit.file.read_text(encoding="utf-8")
    followed.save(text.replace("do: pocket", "do: pokcet"))
    followed.look()
    assert followed.stage() == "trouble"
    line = next(n for n, row in enumerate(text.split("\n"), 1) if "do: pocket" in row)
    assert f'<a href="#L{line}"><bdi>kit.yaml, line {line}, column' in followed.piece("trouble")
    assert "pokcet" in followed.piece("trouble")
    assert "pokcet" in followed.piece("text")
    assert {name: followed.piece(name) for name in kept} == kept
    (followed.kit.folder / "notes.txt").write_text("beside it")  # a look, but nothing new is told
    generation = followed.status["generation"]
    followed.look()
    assert followed.status["generation"] == generation
    followed.save(text)
    followed.look()
    assert (followed.stage(), followed.piece("trouble")) == ("done", "")


def test_a_drawing_that_is_missing_is_seen_when_it_comes(tmp_path: Path) -> None:
    found = Followed(tmp_path / "kit")
    text = found.kit.file.read_text(encoding="utf-8")
    entry = next(line for line in text.split("\n") if "outline: {" in line)
    found.save(text.replace(entry, "    drawing: sign.svg\n    outline: { layer: EDGE }"))
    found.look()
    assert "There is no file &#39;sign.svg&#39;" in found.piece("trouble")
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="60mm" viewBox="-75 -30 150 60">'
    drawing += '<g id="EDGE"><path d="M-75 -30h150v60h-150z" fill="none" stroke="#000"/></g></svg>'
    (found.kit.folder / "sign.svg").write_text(drawing)
    assert found.look()
    assert found.stage() == "done", found.piece("trouble")


def test_what_is_written_beside_the_kit_is_no_save(followed: Followed) -> None:
    """Neither a pack built into its folder, nor what editors leave while they write, nor the same text again."""
    before = followed.board.state()
    (followed.kit.folder / "dist").mkdir(exist_ok=True)
    for name in ("dist/name-signs.zip", ".kit.yaml.swp", "kit.yaml~", "4913", "report.html"):
        (followed.kit.folder / name).write_bytes(os.urandom(100))
        assert not followed.look()
    followed.save(followed.kit.file.read_text(encoding="utf-8"))
    assert followed.look()  # its time is another one
    assert followed.board.state().serial == before.serial
    assert followed.board.state().status == before.status


def test_a_newer_save_makes_what_is_worked_on_stale(followed: Followed, monkeypatch: pytest.MonkeyPatch) -> None:
    """The check of the older text is left, its findings are never told, and the newer text is what counts."""
    text = followed.kit.file.read_text(encoding="utf-8")
    checked, original = [], Follower._put

    def saved_meanwhile(self: Follower, stage: str, noticed: float, **pieces: bytes) -> None:
        original(self, stage, noticed, **pieces)
        checked.append(stage)
        if stage == "checking" and len(checked) < 4:
            followed.save(text.replace("count: 2", "count: 1"))

    monkeypatch.setattr(Follower, "_put", saved_meanwhile)
    monkeypatch.setattr(work, "_BETWEEN_LOOKS", 0.0)
    followed.save(text.replace("count: 2", "count: 3"))
    followed.look()
    assert followed.stage() == "checking"
    assert "done" not in checked
    followed.look()
    assert followed.stage() == "done"
    assert "one piece of Cherry board" in followed.piece("drawn")


def test_a_bug_is_told_and_the_next_save_followed(followed: Followed, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_arguments: object) -> None:
        raise ZeroDivisionError("planted")

    text = followed.kit.file.read_text(encoding="utf-8")
    monkeypatch.setattr("kitforge.stages.planning.first_plan", broken)
    followed.save(text.replace("count: 2", "count: 4"))
    followed.look()
    assert followed.stage() == "bug"
    assert "ZeroDivisionError: planted" in followed.bugs.pop()
    monkeypatch.undo()
    followed.save(text.replace("count: 2", "count: 1"))
    followed.look()
    assert followed.stage() == "done"


def test_nothing_is_written_into_the_folder(followed: Followed) -> None:
    before = look(followed.kit.folder)
    followed.save(followed.kit.file.read_text(encoding="utf-8").replace("border: 10 mm", "border: 9 mm"))
    followed.look()
    assert look(followed.kit.folder).keys() == before.keys()


def saved_often(followed: Followed, saves: int) -> Iterator[int]:
    """Save the kit so often, each time with another figure, and follow it to the end."""
    text = followed.kit.file.read_text(encoding="utf-8")
    for number in range(saves):
        followed.save(text.replace("border: 10 mm", f"border: {10.01 + number % 50 / 100:.2f} mm"))
        assert followed.look()
        assert followed.stage() == "done"
        yield number


def test_of_all_that_was_saved_only_the_last_is_held(followed: Followed) -> None:
    """Every kit that is still held, and every plan, is the last one; of the rest bounded caches hold a little."""
    known = {id(one) for one in gc.get_objects() if isinstance(one, Plan)}
    list(saved_often(followed, SAVES))
    gc.collect()
    before_and_now = [one for one in gc.get_objects() if isinstance(one, Plan)]
    held = [one for one in gc.get_objects() if isinstance(one, Kit) and one.info.slug == "name-signs"]
    assert 1 <= len(held) <= 2  # as it was planned, and as it was checked
    assert len({id(plan) for plan in before_and_now if id(plan) not in known}) <= 2


@pytest.mark.soak
@pytest.mark.timeout(3600)
def test_memory_stays_flat_over_500_saves(followed: Followed) -> None:
    """In the later half a save leaves less than 1 KiB; what bounded caches hold is there by then."""
    sizes = []
    tracemalloc.start()
    for number in saved_often(followed, MANY):
        if number % 10 == 9:
            gc.collect()
            sizes.append(tracemalloc.get_traced_memory()[0] / 1024)
    tracemalloc.stop()
    later = sizes[len(sizes) // 2 :]
    grown = (later[-1] - later[0]) / (10 * (len(later) - 1))
    shown = ", ".join(f"{size:.0f}" for size in sizes[4::5])
    print(f"KiB held after every 50 of {MANY} saves: {shown}; in the later half {grown:.2f} a save")
    assert grown < 1


PRICES = """\
currency: EUR
on: "2026-11-29"
wood: {board: {square_metre: 24}}
hour: {machine: 18, hand: 30}
"""


def test_what_it_costs_follows_a_file_of_prices(followed: Followed) -> None:
    """Without one the page says nothing of it; saved beside kit.yaml it is followed too; a mistake is told in words."""
    prices = followed.kit.folder / "prices.yaml"
    assert followed.piece("cost").strip() == ""
    prices.write_text(PRICES, encoding="utf-8")
    assert followed.look()
    found = followed.piece("cost")
    assert "EUR" in found and "2026-11-29" in found
    kit = followed.follower.good
    assert kit is not None
    cost = cost_of(kit.kit, kit.plan, read_prices(prices, kit.kit), kit.plan.machines)
    low, high = cost.total
    assert f"<strong>{low:.2f} to {high:.2f}</strong>" in found
    assert found.count("<td>no price<") == len(cost.unknown)
    prices.write_text(PRICES.replace("board:", "bord:"), encoding="utf-8")
    assert followed.look()
    assert "prices.yaml:3" in followed.piece("cost")
    prices.unlink()
    assert followed.look()
    assert followed.piece("cost").strip() == ""
    assert followed.bugs == []
