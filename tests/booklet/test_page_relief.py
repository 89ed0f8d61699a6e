"""The piece in three dimensions: the page unpacks what Python packed, draws what is there, and does without WebGL."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from kit_samples import plugins, sample
from page_browser import driven
from small_pictures import small

from kitforge.model.pack import BuildOptions
from kitforge.pipeline import check_kit
from kitforge.surface.maps import GONE, MOST, maps_of, step_maps
from kitforge.testing import SmallKit
from kitforge_booklet.build import booklet
from kitforge_booklet.page.document import start_page

SOFT = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--virtual-time-budget=60000")
"""Three dimensions without a graphics card, and the time that takes."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[SmallKit, str]:
    kit = SmallKit(tmp_path_factory.mktemp("kit") / "kit")
    checked, options = check_kit(kit.folder, plugins()), BuildOptions()
    with small():
        page = start_page(checked.kit, checked.plan, options, {"en": booklet(checked.kit, checked.plan, options)})
    return kit, page.data.decode("utf-8")


def checksum(depths: np.ndarray) -> int:
    """Return a sum in which the place of each cell counts."""
    flat = depths.astype(np.int64).ravel()
    return int(np.sum(flat * (np.arange(flat.size) % 9973 + 1)) % 2**31)


def test_the_page_unpacks_every_map_as_it_was_packed(made: tuple[SmallKit, str], tmp_path: Path) -> None:
    checked = check_kit(made[0].folder, plugins())
    (part,) = checked.kit.parts
    with small():  # as the page was made
        _uncut, found = step_maps(checked.plan, part)
    expected = [[one.number, checksum(one.top)] for one in found]
    script = """
      const data = JSON.parse(document.getElementById("data").textContent), found = [];
      for (const [number] of data.maps[0].steps) {
        const {top} = await relief.mapsOf(data, number);
        let sum = 0n;
        top.forEach((depth, place) => { sum += BigInt(depth) * BigInt(place % 9973 + 1); });
        found.push([number, Number(sum % 2147483648n)]);
      }
      return found;
    """
    assert driven(made[1], script, tmp_path, more=SOFT) == expected


def test_it_is_drawn_where_wood_is_left_and_nowhere_else(made: tuple[SmallKit, str], tmp_path: Path) -> None:
    """From straight above, cell for cell but at edges; turned over it is there as well, and step 1 looks otherwise."""
    script = """
      const data = JSON.parse(document.getElementById("data").textContent), part = data.maps[0];
      const drawn = async (number, act) => {
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [900, 640];
        document.body.append(canvas);
        const view = await relief.shownIn(canvas, data, number, () => {});
        act(view);
        view.now();
        const flat = document.createElement("canvas");
        [flat.width, flat.height] = [900, 640];
        flat.getContext("2d").drawImage(canvas, 0, 0);
        const {data: dots} = flat.getContext("2d").getImageData(0, 0, 900, 640);
        view.end();
        return dots;
      };
      const {rows, columns, cell} = part;
      const scale = 800 / (2 * (Math.hypot(columns, rows) * cell / 2 + part.thickness));
      const above = await drawn(3, (view) => view.turn(0.5, 0.95)), seen = [];
      for (let row = 0; row < rows; row += 1) {
        let line = "";
        for (let column = 0; column < columns; column += 1) {
          const x = Math.floor(450 + (column + 0.5 - columns / 2) * cell * scale);
          const y = Math.floor(320 - (row + 0.5 - rows / 2) * cell * scale);
          line += above[4 * (y * 900 + x) + 3] ? "1" : "0";
        }
        seen.push(line);
      }
      const differs = (dot, other) => (Math.abs(dot - other) > 16 ? 1 : 0);
      const unlike = (one, other) => one.reduce((sum, dot, place) => sum + differs(dot, other[place]), 0);
      const slant = await drawn(3, () => {}), early = await drawn(1, () => {});
      const over = await drawn(3, (view) => view.flip());
      const filled = (dots) => dots.filter((dot, place) => place % 4 === 3 && dot).length / (900 * 640);
      return {seen, early: unlike(slant, early), over: unlike(slant, over), filled: [slant, over, early].map(filled)};
    """
    answer = driven(made[1], script, tmp_path, more=SOFT)
    checked = check_kit(made[0].folder, plugins())
    _uncut, found = step_maps(checked.plan, checked.kit.parts[0])
    left = found[-1].top != GONE
    seen = np.array([[sign == "1" for sign in line] for line in answer["seen"]])
    assert 0.5 < left.mean() < 0.999
    inner = slice(1, -1), slice(1, -1)
    shifted = [np.roll(left, (down, along), (0, 1)) for down in (-1, 0, 1) for along in (-1, 0, 1)]
    clear = np.all([one == left for one in shifted], axis=0)[inner]  # not beside an edge, where a dot shows either
    assert clear.mean() > 0.8
    assert (seen != left)[inner][clear].mean() < 0.002
    assert min(answer["early"], answer["over"]) > 2000
    assert all(0.1 < share < 0.7 for share in answer["filled"])


def test_without_three_dimensions_the_still_picture_stays(made: tuple[SmallKit, str], tmp_path: Path) -> None:
    before = "HTMLCanvasElement.prototype.getContext = () => null;"
    script = """
      const box = document.querySelector("#en-step-2 .solid");
      box.querySelector("button").click();
      await new Promise((done) => setTimeout(done, 300));
      return [box.querySelector("canvas") === null, box.querySelector(".fine").textContent,
        document.querySelector("#en-step-2 .shot").getClientRects().length];
    """
    gone, words, still = driven(made[1], script, tmp_path, before=before)
    assert (gone, still) == (True, 1)
    assert words == "This browser cannot show it from all sides; the picture above shows it."


def test_maps_of_kits_with_many_cuts_stay_small() -> None:
    """Dishes, engraving and both faces: under the bound for each part, the lower face there where it is cut."""
    for seed in (12, 30, 36, 42):
        kit = sample(f"random-{seed}")
        for part in maps_of(kit.plan, kit.kit.parts):
            assert isinstance(part, dict)
            steps = part["steps"]
            assert isinstance(steps, list)
            assert sum(len(text) for row in steps for text in row[2:]) < MOST  # type: ignore[index, union-attr, arg-type, misc]
