"""From a save to the piece in the browser, for every demo kit, with what a page of each weighs. Run it as a script.

What is saved is another title of the first part: all of the kit is worked out anew, as after any save. Chromium draws
by software here; on a graphics card the last part takes less.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).parents[2]
sys.path += [str(ROOT / "tests" / room) for room in ("live", "report")]
SAVES = 3
PIECES = ("maps", "settings", "drawn", "text")

if TYPE_CHECKING:
    from chrome import Page

    from kitforge.live.session import LiveSession


def main() -> None:
    """Print for each kit the middle of some saves: s until the piece is seen, s of each stage, kB of each piece.

    found: the findings of the kit as it is drawn; done: also those of other thicknesses and of trial pieces.
    """
    kits = sys.argv[1:] or sorted(path.parent.name for path in (ROOT / "kits").glob("*/kit.yaml"))
    sys.stdout.write(
        f"{'kit':16} {'seen':>6} {'plan':>6} {'set':>6} {'found':>6} {'done':>6}  s;  kB of {', '.join(PIECES)}\n"
    )
    for name in kits:
        with _following(name) as (session, page, file):
            found = [_saved(session, page, file, number) for number in range(SAVES)]
            seen, plan, ready, first, done = (statistics.median(column) for column in zip(*found, strict=True))
            sizes = " ".join(f"{len(session.board.piece(piece) or b'') / 1000:.0f}" for piece in PIECES)
        sys.stdout.write(f"{name:16} {seen:6.2f} {plan:6.2f} {ready:6.2f} {first:6.2f} {done:6.2f}      {sizes}\n")
        sys.stdout.flush()


@contextmanager
def _following(name: str) -> Iterator[tuple[LiveSession, Page, Path]]:
    from chrome import chrome

    from kitforge.live.session import LiveSession, following
    from kitforge.model.family import AS_WRITTEN
    from kitforge.plugins import load_plugins

    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / name
        shutil.copytree(ROOT / "kits" / name, folder)
        with following(LiveSession(folder, AS_WRITTEN, load_plugins())) as session, chrome(Path(place)) as browser:
            page = browser.page()
            page.open(session.server.address)
            _wait(page, "document.body.dataset.stage === 'done' && document.body.dataset.drawn")
            yield session, page, folder / "kit.yaml"


def _saved(session: LiveSession, page: Page, file: Path, number: int) -> tuple[float, float, float, float, float]:
    import yaml

    from kitforge.definition.edit import with_value

    text = file.read_text(encoding="utf-8")
    before, first = session.follower.generation, next(iter(yaml.safe_load(text)["parts"]))
    changed = with_value(text, ("parts", first, "title"), f"Changed {number}")
    begun = time.monotonic()
    file.write_text(changed, encoding="utf-8")
    _wait(page, f"Number((document.body.dataset.drawn || '0:').split(':')[0]) > {before}")
    seen = time.monotonic() - begun
    _wait(page, f"document.body.dataset.stage === 'done' && Number(document.body.dataset.generation) > {before}")
    stages = session.follower.seconds
    return seen, stages["planning"], stages["checking"], stages.get("further", stages["done"]), stages["done"]


def _wait(page: Page, condition: str) -> None:
    for _again in range(8):
        try:
            page.wait_for(condition)
        except TimeoutError:
            continue
        return
    raise TimeoutError(condition)


if __name__ == "__main__":
    main()
