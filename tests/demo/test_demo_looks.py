"""Golden pictures of the demo kits' packs: a change of look is seen in review. See golden.py."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from demo_kits import demo, pdf_of
from golden import COMPUTED, READ, compare
from PIL import Image
from poppler import drawn, page_with

from kitforge.kit import Doing
from kitforge.plan import Step

GOLDEN = Path(__file__).parent / "golden"
PAGES = {
    "setting-up": ("herb-planter", ("Setting up", "Does it hold?")),
    "glue-up-plan": ("morris-board", ("Preparing the stock", "strips")),
    "drawing": ("wall-clock", ("Drawings", "Scale 1 :")),
    "step": ("morris-board", ("Class of machine", "Dimples for the men", "Look and listen")),
    "safety": ("herb-planter", ("WARNING", "CAUTION", "NOTICE")),
}


def shot(kit: str, does: Doing) -> Image.Image:
    """The picture of a kit's first step of a kind, 320 dots wide."""
    step: Step = next(step for step in demo(kit).checked.plan.steps if step.operation.does is does)
    image = Image.open(io.BytesIO(demo(kit).files[f"pictures/step-{step.number:02d}.png"])).convert("RGB")
    return image.resize((320, round(320 * image.height / image.width)), Image.Resampling.LANCZOS)


@pytest.mark.parametrize(("kit", "does"), [("plant-stand", Doing.POCKET), ("wall-clock", Doing.ENGRAVE)])
def test_a_step_looks_as_it_did(kit: str, does: Doing) -> None:
    compare(GOLDEN / f"{does.value}.png", shot(kit, does), COMPUTED)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_looks_as_it_did(name: str) -> None:
    kit, words = PAGES[name]
    pdf = pdf_of(kit)
    compare(GOLDEN / f"{name}.png", drawn(pdf, page_with(pdf, *words), 360), READ)
