"""Golden pictures of the demo kits' packs: a change of look is seen in review. See golden.py."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from demo_kits import demo, pdf_of
from golden import COMPUTED, READ, compare
from PIL import Image
from poppler import drawn, page_with

from kitforge.model.kit import OperationKind

GOLDEN = Path(__file__).parent / "golden"
PAGES = {
    "setting-up": ("herb-planter", ("Setting up", "of each cross")),
    "glue-up-plan": ("morris-board", ("Glueing up",)),
    "drawing": ("wall-clock", ("Drawings", "Scale 1 :")),
    "step": ("morris-board", ("Speed rpm", "Dimples for the men", "Look and listen")),
    "safety": ("herb-planter", ("WARNING", "NOTICE")),
}


STEPS = {
    "pocket": ("plant-stand", OperationKind.POCKET),
    "dish": ("morris-board", OperationKind.DISH),
    "engraving": ("wall-clock", OperationKind.ENGRAVE),
    "profile-with-tabs": ("herb-planter", OperationKind.PROFILE),
}


def shown(kit: str, picture: str) -> Image.Image:
    """A picture of the shop page of a kit, 320 dots wide."""
    image = Image.open(io.BytesIO(demo(kit).files[picture])).convert("RGB")
    return image.resize((320, round(320 * image.height / image.width)), Image.Resampling.LANCZOS)


@pytest.mark.parametrize("name", STEPS)
def test_a_step_looks_as_it_did(name: str) -> None:
    kit, does = STEPS[name]
    number = next(step.number for step in demo(kit).checked.plan.steps if step.operation.does is does)
    compare(GOLDEN / f"{name}.png", shown(kit, f"pictures/step-{number:02d}.jpg"), COMPUTED)


def test_a_cover_looks_as_it_did() -> None:
    compare(GOLDEN / "cover.png", shown("plant-stand", "pictures/cover.jpg"), COMPUTED)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_looks_as_it_did(name: str) -> None:
    kit, words = PAGES[name]
    pdf = pdf_of(kit)
    compare(GOLDEN / f"{name}.png", drawn(pdf, page_with(pdf, *words), 360), READ)
