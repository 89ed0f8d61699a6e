"""The sizes of a family as small pictures: one view, one scale, the same for every size, none where they mislead."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from sample_kits import changed

from kitforge.model.family import KitChoice
from kitforge.model.kit import Kit
from kitforge.pipeline import load_kit
from kitforge.plugins import load_plugins
from kitforge.print.figures import units_for
from kitforge.stages.sizes_shown import with_sizes_shown
from kitforge_booklet.size_figures import size_figures

SIZES = "sizes:\n  low: {}\n  wide: {title: Wide, set: {width: 225 mm}}\nparameters:"
ONE = (("    count: 2\n", ""),)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("kit"), SIZES)


def written(folder: Path, sizes: str, *more: tuple[str, str]) -> Path:
    (folder / "kit.yaml").write_text(changed(("parameters:", sizes), *ONE, *more), encoding="utf-8")
    return folder


def sized(folder: Path, size: str, **chosen: object) -> Kit:
    return load_kit(folder, load_plugins(), choice=replace(KitChoice(size=size), **chosen))  # type: ignore[arg-type]


def test_a_piece_half_as_wide_again_is_drawn_half_as_wide_again(folder: Path) -> None:
    """Width and height follow the parameter, so every length of the second is one and a half times the first's; but
    for the thickness, which a lying board shows little of."""
    (kit,) = with_sizes_shown(folder, [sized(folder, "low")], load_plugins())
    low, wide = kit.family.pictures
    assert wide.width == pytest.approx(1.5 * low.width, rel=0.01)
    assert low.overall == pytest.approx((150, 225, 17.6))
    assert wide.overall == pytest.approx((225, 337.5, 17.6))
    per_mm = [Image.open(io.BytesIO(one.png)).width / one.width for one in (low, wide)]
    assert per_mm[0] == pytest.approx(per_mm[1], rel=0.01)
    first, second = size_figures(kit, units_for("both", "mm"))
    assert second.picture.width == pytest.approx(1.5 * first.picture.width, rel=0.01)
    assert (first.this, second.this, second.title) == (True, False, "Wide")


def test_what_is_cut_through_is_seen_and_nothing_is_cut_off(folder: Path) -> None:
    (kit,) = with_sizes_shown(folder, [sized(folder, "low")], load_plugins())
    for one in kit.family.pictures:
        solid = np.asarray(Image.open(io.BytesIO(one.png)).getchannel("A")) > 0
        assert all(line.any() for line in (solid[0], solid[-1], solid[:, 0], solid[:, -1]))
        row, column = np.argwhere(solid).mean(axis=0).astype(int)
        assert solid[row].any()
        assert (~solid[:, column]).any()


def test_every_size_shows_the_same_pictures(folder: Path) -> None:
    """So that the booklet of a size is the same in its own pack and in that of all."""
    low, wide = (with_sizes_shown(folder, [sized(folder, key)], load_plugins())[0] for key in ("low", "wide"))
    assert low.family.pictures == wide.family.pictures


@pytest.mark.parametrize("chosen", [{"values": (("hole", "30 mm"),)}, {"order": "42"}])
def test_an_order_or_a_trial_shows_no_other_sizes(folder: Path, chosen: dict[str, object]) -> None:
    (kit,) = with_sizes_shown(folder, [sized(folder, "low", **chosen)], load_plugins())
    assert kit.family.pictures == ()


def test_sizes_are_not_shown_where_one_cannot_be_or_where_there_are_many(tmp_path: Path) -> None:
    """Two copies stand nowhere, a size that cannot be resolved has no shape, seven do not fit side by side."""
    for number, (sizes, more) in enumerate(
        (
            (SIZES, (("    stock: board\n    outline", "    stock: board\n    count: 2\n    outline"),)),
            (SIZES.replace("225 mm", "-5 mm"), ()),
            ("sizes:\n" + "".join(f"  s{n}: {{set: {{width: {150 + n} mm}}}}\n" for n in range(7)) + "parameters:", ()),
        )
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        first = "s0" if "s0" in sizes else "low"
        kit = sized(written(folder, sizes, *more), first)
        assert with_sizes_shown(folder, [kit], load_plugins())[0].family.pictures == ()
