"""The bedside lamp is sound as it is; each thing forgotten in it is found before wood is cut, with what to do."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Callable

import pytest
from builders import planned
from kit_samples import checked_demo

from kitforge.model.findings import Finding
from kitforge.plugins import load_plugins
from kitforge.stages.read import read
from kitforge.stages.resolve import resolve
from kitforge_needs import kitforge_check

LAMP = pathlib.Path(__file__).parents[2] / "kits" / "bedside-lamp" / "kit.yaml"
KITS = ("bedside-lamp", "morris-board", "plant-stand")
DEEP = "depth: 13 mm\n        shapes: [{circle: {centre: [middle"


@pytest.fixture
def changed(tmp_path: pathlib.Path) -> Callable[..., list[Finding]]:
    """Return the findings about the lamp's needs after changes to its text."""

    def check(*changes: tuple[str, str]) -> list[Finding]:
        text = LAMP.read_text(encoding="utf-8")
        for old, new in changes:
            text, count = re.subn(old, new, text, flags=re.DOTALL)
            assert count == 1, old
        (tmp_path / "kit.yaml").write_text(text, encoding="utf-8")
        kit = resolve(read(tmp_path), load_plugins())
        return [one for one in kitforge_check(kit, planned(kit)) if one.code != "need-met"]

    return check


def test_the_lamp_has_all_it_needs(changed: Callable[..., list[Finding]]) -> None:
    assert changed() == []


def test_a_forgotten_cable_groove_is_found(changed: Callable[..., list[Finding]]) -> None:
    """The shortest way out is straight to the nearest edge, as deep as the cable, on the face of the recess."""
    (finding,) = changed((r"      - name: cable-groove\n.*?(?=      - name: screw-holes)", ""))
    assert (finding.code, finding.severity) == ("need-passage", "error")
    assert str(finding.message) == (
        "No passage for the cable from 'Recess for the light' to the edge of the part: it is closed on all sides."
    )
    assert re.fullmatch(
        r"A groove 6\.35 mm wide and 5 mm deep in the bottom face from \([\d., ]+\) mm to \([\d.\-, ]+\) mm, cut with "
        r"6\.35 mm up-cut, 2 flutes, would open it\.",
        str(finding.advice),
    )
    assert (finding.part, finding.operation) == ("base", "lamp-recess")


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        (r"base \+ 4 mm", "base - 8 mm", "need-passage", "closed on all sides"),
        (r"depth: 8 mm", "depth: 4 mm", "need-passage", "what is 6 mm wide goes through up to a height of 4 mm"),
        (r"cable: 5 mm ", "cable: 9 mm ", "need-passage", "is too low"),
        (r"light: 60 mm  ", "light: 62 mm  ", None, ""),  # the recess follows its parameter
        (re.escape(DEEP), DEEP.replace("13", "11"), "need-holds", "would stand out 1 mm"),
        (r"light_height: 12 mm", "light_height: 14 mm", "need-holds", "would stand out 1 mm"),
        (r"stem_play: 0.15 mm", "stem_play: 0.05 mm", "need-holds", "16.1 mm round goes in"),
        (r"middle \+ screws / 2, middle", "middle + screws / 2 + 1 mm, middle", "need-spacing", "are 73 mm apart"),
        (r"middle \+ screws / 2, middle", "middle + screws / 2, = middle + 1 mm", "need-aligned", "beside it"),
        (r"diameter: 44 mm", "diameter: 38 mm", "need-passage", "is too narrow"),
        (r"centre: \[20 mm, middle\]", "centre: [16 mm, middle]", "need-keeps", "and the edge"),
    ],
)  # fmt: skip
def test_each_slip_is_found(
    old: str, new: str, code: str | None, said: str, changed: Callable[..., list[Finding]]
) -> None:
    findings = changed((old, new))
    assert (code in {one.code for one in findings}) if code else findings == []
    assert any(said in str(one.message) for one in findings) or not code
    assert all(one.severity == "error" for one in findings)


@pytest.mark.parametrize("name", KITS)
def test_every_need_of_a_demo_kit_is_met(name: str) -> None:
    demo = checked_demo(name)
    assert demo.kit.needs
    assert {one.code for one in kitforge_check(demo.kit, demo.plan)} == {"need-met"}
