"""The shop page: facts that are the kit's own, and pictures of the sizes that are stated."""

from __future__ import annotations

import io
from pathlib import Path

import morris
import pytest
from golden import COMPUTED, compare
from PIL import Image
from small_pictures import small

from kitforge.model.pack import BuildOptions
from kitforge.pictures.drawn.shots import shots_of
from kitforge.pictures.studio.frames import Frame, clear, framed
from kitforge.pictures.studio.hero import hero
from kitforge.print.raster import DOTS_PER_MM, encoded, for_print
from kitforge_listing import kitforge_render

GOLDEN = Path(__file__).parent / "golden"
KIT, PLAN = morris.kit(), morris.plan()


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return {file.name: file.data for file in kitforge_render(KIT, PLAN, BuildOptions())}


def opened(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png))


def test_there_is_a_text_a_cover_and_a_picture_for_each_step(files: dict[str, bytes]) -> None:
    steps = [f"pictures/step-{step.number:02d}.jpg" for step in PLAN.steps]
    covers = [f"pictures/cover{on}{form}.jpg" for on in ("", "-white") for form in ("", "-square", "-upright")]
    more = [f"pictures/{name}.jpg" for name in ("parts", "close-up")]
    assert list(files) == ["listing.txt", *covers, *more, *steps]


def test_the_pictures_have_the_sizes_stated(files: dict[str, bytes]) -> None:
    """Wide, square and upright, each on a floor and on pure white; steps on white."""
    sizes = {name: opened(data).size for name, data in files.items() if name.endswith(("png", "jpg"))}
    for on in ("", "-white"):
        assert sizes.pop(f"pictures/cover{on}.jpg") == (2000, 1500)
        assert sizes.pop(f"pictures/cover{on}-square.jpg") == (2000, 2000)
        assert sizes.pop(f"pictures/cover{on}-upright.jpg") == (1500, 2000)
    assert set(sizes.values()) == {(1200, 900)}
    assert opened(files["pictures/cover-white.jpg"]).getpixel((0, 0)) == (255, 255, 255)
    assert opened(files["pictures/cover.jpg"]).getpixel((0, 0)) != (255, 255, 255)


def test_every_line_of_the_text_is_the_kits_own(files: dict[str, bytes]) -> None:
    text = " ".join(files["listing.txt"].decode("utf-8-sig").split())
    for part in KIT.parts:
        assert part.title in text
    for cutter in {step.cutter.name for step in PLAN.steps}:
        assert str(cutter)[:12] in text
    assert KIT.info.licence in text
    assert f"{len(PLAN.steps)} steps with a picture each" in text
    assert "does not fit" in text
    assert all(len(line) <= 76 for line in files["listing.txt"].decode("utf-8-sig").splitlines())


def test_the_cover_looks_as_it_did() -> None:
    compare(GOLDEN / "cover.png", framed(hero(KIT, PLAN, shots_of(KIT, PLAN)), Frame("small", 400, 300)), COMPUTED)


def test_every_part_is_in_the_cover_and_none_covers_another() -> None:
    """As many separate pieces stand on the clear ground as there are copies of parts."""
    import numpy as np
    from scipy.ndimage import label

    image = clear(hero(KIT, PLAN, shots_of(KIT, PLAN)), 800, 600)
    solid = np.asarray(image.getchannel("A")) > 250
    pieces, count = label(solid)
    sizes = np.bincount(pieces.ravel())[1:]
    assert (sizes > 200).sum() == sum(part.count for part in KIT.parts)
    assert count >= 1


def test_a_clear_picture_has_nothing_at_its_edges() -> None:
    """Its shade ends before, or a coloured page shows where the picture ends."""
    import numpy as np

    shade = np.asarray(clear(hero(KIT, PLAN, shots_of(KIT, PLAN)), 800, 620).getchannel("A"))
    assert shade.max() == 255
    assert all(edge.max() == 0 for edge in (shade[0], shade[-1], shade[:, 0], shade[:, -1]))


def test_each_language_has_a_text_and_the_pictures_come_once() -> None:
    with small():
        names = [file.name for file in kitforge_render(KIT, PLAN, BuildOptions(languages=("en", "de")))]
    assert names[:2] == ["listing.txt", "listing-de.txt"]
    assert len(names) == len(set(names))


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Both times drawn and painted, for what is kept in memory is forgotten when pictures become small."""
    assert rendered_small() == rendered_small()


def rendered_small() -> dict[str, bytes]:
    with small():
        return {file.name: file.data for file in kitforge_render(KIT, morris.plan(), BuildOptions())}


def test_a_picture_for_print_is_cut_to_what_it_shows_and_no_finer_than_paper() -> None:
    image = Image.new("RGB", (1600, 1200), (255, 255, 255))
    image.paste((120, 80, 40), (400, 300, 1200, 900))
    shown = for_print(encoded(image), "a board", 60.0, 60.0)
    assert (shown.width, shown.height) == (60.0, 45.0)
    assert opened(shown.data).size == (round(60 * DOTS_PER_MM), round(45 * DOTS_PER_MM))
    assert shown.src.endswith(".jpg")
