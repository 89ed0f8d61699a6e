"""Documents set in several processes are the documents set in one."""

from __future__ import annotations

import pytest

from kitforge.print import parallel
from kitforge.print.errors import PrintError
from kitforge.print.parallel import set_all
from kitforge.print.typesetter import Manuscript, set_in_type

FAMILIES = frozenset({"Source Sans Pro"})


def page(text: str, style: str = "") -> Manuscript:
    from kitforge.print import fonts

    assets = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    assets["fonts.css"] = fonts.font_face_css().encode()
    html = (
        f'<html lang="en"><head><title>{text}</title><link rel="stylesheet" href="fonts.css">'
        f"<style>body {{ font-family: '{fonts.FAMILY}' }} {style}</style></head><body><h1>{text}</h1></body></html>"
    )
    return Manuscript(html, assets, "2026-11-01", b"0" * 32, FAMILIES | {fonts.FAMILY})


def test_other_processes_set_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "SMALL", 0)
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    pages = [page("One"), page("Two"), page("Three")]
    assert set_all(pages) == [set_in_type(one) for one in pages]


def test_a_fault_in_another_process_is_told_as_in_this_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "SMALL", 0)
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    with pytest.raises(PrintError, match="typesetter complains"):
        set_all([page("One"), page("Two", style="p { no-such-property: 1 }")])


def test_small_work_starts_no_process(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_helpers: int) -> None:
        raise AssertionError("a process was started")

    monkeypatch.setattr(parallel, "_pool", refuse)
    assert len(set_all([page("One"), page("Two")])) == 2
