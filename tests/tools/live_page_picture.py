"""Draws the live page of a kit for README.md: python tests/tools/live_page_picture.py KIT OUT.png"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PIL import Image

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP / "tests" / "live"), str(TOP / "tests" / "report")]
WIDTH, HEIGHT = 1280, 1240
_STEP = """(() => {
  const slider = document.querySelector('#slider');
  slider.value = slider.max - 1;
  slider.dispatchEvent(new Event('input', {bubbles: true}));
})()"""


def draw(kit: Path, out: Path) -> None:
    """Write the picture of the page with the last step but one, when everything is up."""
    from chrome import chrome

    from kitforge.live.session import LiveSession, following
    from kitforge.model.family import AS_WRITTEN
    from kitforge.plugins import load_plugins

    session = LiveSession(kit, AS_WRITTEN, load_plugins())
    with following(session), tempfile.TemporaryDirectory() as profile, chrome(Path(profile)) as browser:
        page = browser.page()
        page.size(WIDTH, HEIGHT)
        page.open(session.server.address)
        page.wait_for("document.body.dataset.stage === 'done' && document.body.dataset.drawn")
        before = page.run("document.body.dataset.drawn")
        page.run(_STEP)
        page.wait_for(f"document.body.dataset.drawn !== '{before}'")
        line = page.run("[...document.querySelectorAll('.lines .lit')].map((one) => one.id)[0]")
        page.run(f"document.querySelector('.lines').scrollTop = document.querySelector('#{line}').offsetTop - 200")
        page.shot(out)
    with Image.open(out) as picture:
        picture.convert("RGB").quantize(128, dither=Image.Dither.NONE).save(out, optimize=True)


if __name__ == "__main__":
    draw(Path(sys.argv[1]), Path(sys.argv[2]))
