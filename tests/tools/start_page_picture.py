"""Draws a step of a start page for README.md: python tests/tools/start_page_picture.py PACK/start.html STEP OUT.png"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from shutil import which

from PIL import Image

WIDTH, HEIGHT = 1000, 1120
_FRAME = """<!DOCTYPE html><meta charset="utf-8"><style>body {{ margin: 0 }} iframe {{ border: 0; width: {width}px;
height: {height}px }}</style><iframe src="{page}"></iframe>"""


def draw(page: Path, step: int, out: Path) -> None:
    """Write the picture of a step. In a frame, since a browser without a window draws only what is not scrolled to."""
    browser = which("chromium") or which("chromium-browser")
    if browser is None:
        sys.exit("there is no chromium here")
    with tempfile.TemporaryDirectory() as folder:
        frame = Path(folder) / "frame.html"
        address = f"{page.resolve().as_uri()}#en-step-{step}"
        frame.write_text(_FRAME.format(page=address, width=WIDTH, height=HEIGHT), encoding="utf-8")
        options = ("--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--virtual-time-budget=3000")
        size = f"--window-size={WIDTH},{HEIGHT}"
        profile = f"--user-data-dir={folder}/profile"
        shot = f"--screenshot={out.resolve()}"
        subprocess.run([browser, *options, size, profile, shot, frame.as_uri()], check=True, capture_output=True)
    with Image.open(out) as picture:
        picture.convert("RGB").quantize(128, dither=Image.Dither.NONE).save(out, optimize=True)


if __name__ == "__main__":
    draw(Path(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]))
