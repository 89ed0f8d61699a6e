"""The kept random cuts: no value of any of them changes unless a change of the physics says so."""

from __future__ import annotations

import gzip

import pytest
from kept_cases import CLOSE, COUNT, KEPT, Values, changes, keep, read_kept, unlike, values_of
from random_cuts import Case

from kitforge.model.settings import CutterKind, Work


@pytest.fixture(scope="module")
def kept() -> list[tuple[Case, Values]]:
    return read_kept()


def test_every_value_is_as_it_was_kept(kept: list[tuple[Case, Values]]) -> None:
    """To 1e-12. After a change of the physics: python tests/cutting/kept_cases.py, which says what changed."""
    assert list(changes(kept)) == []


def test_the_kept_cuts_cover_the_physics(kept: list[tuple[Case, Values]]) -> None:
    """Every shape and work, every window's limits, every manner of going down, every way to refuse."""
    assert len(kept) == COUNT
    assert {case.cutter.shape for case, _ in kept} == set(CutterKind)
    settled = [(case, values) for case, values in kept if "speed.low" in values]
    assert len(settled) > COUNT / 2
    assert {case.cut.work for case, _ in settled} == set(Work)
    assert {values["entry.manner"] for _, values in settled} == {
        "straight plunge", "ramp", "helix", "peck", "from outside",
    }  # fmt: skip
    assert {values["feed.high limit reason"] for _, values in settled} == {
        "axial thrust", "chip too thick", "cutter bends", "cutter may break", "machine feed", "machine force",
        "machine plunge", "piece held", "spindle power",
    }  # fmt: skip
    assert {values["depth per pass.high limit reason"] for _, values in settled} >= {
        "chip clearing", "cutter bends", "cutter may break", "cutting length", "depth rule", "machine force",
        "piece held", "spindle power", "whole depth",
    }  # fmt: skip
    assert {values["refused 0"] for _, values in kept if "refused 0" in values} == {
        "no window", "shank does not fit", "cutter too short", "cutter too wide", "no way down",
    }  # fmt: skip
    notes = {values[f"note {place}"] for _, values in kept for place in range(6) if f"note {place}" in values}
    assert notes == {
        "burn risk", "chatter risk", "beyond the tables", "cutter may break", "outside the window", "past a limit",
        "short grip",
    }  # fmt: skip


def test_a_value_that_differs_by_more_than_a_hair_is_seen() -> None:
    """A missing value, another word, a number beyond 1e-12; less than that is rounding."""
    kept: Values = {"a": 1.0, "b": "x", "c": None, "d": 0.0}
    assert unlike(kept, {"a": 1.0 + CLOSE / 2, "b": "x", "c": None, "d": 0.0}) == []
    assert unlike(kept, {"a": 1.0 + 3 * CLOSE, "b": "y", "d": 1e-300, "e": 1.0}) == ["a", "b", "d", "e"]


def test_the_same_values_give_the_same_file(kept: list[tuple[Case, Values]], monkeypatch: pytest.MonkeyPatch) -> None:
    """No clock goes into the file, and a kept case reads back as itself."""
    written: list[bytes] = []
    monkeypatch.setattr(type(KEPT), "write_bytes", lambda _path, data: written.append(data))
    some = [case for case, _ in kept[:20]]
    keep(some)
    keep(some)
    assert written[0] == written[1]
    assert gzip.decompress(written[0]) == b"\n".join(gzip.decompress(KEPT.read_bytes()).split(b"\n")[:20])
    assert values_of(some[0]) == values_of(kept[0][0])
