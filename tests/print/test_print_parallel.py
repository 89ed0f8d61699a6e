"""Documents set in several processes are the documents set in one; pictures drawn in threads come in order."""

from __future__ import annotations

import multiprocessing
import threading
import time
from collections.abc import Iterator

import pytest

from kitforge.print import parallel
from kitforge.print.errors import PrintError
from kitforge.print.parallel import hands, other_processes, set_all, typesetters
from kitforge.print.typesetter import PdfJob, render_pdf

FAMILIES = frozenset({"Source Sans Pro"})


def page(text: str, style: str = "") -> PdfJob:
    from kitforge.print import fonts

    assets = {f"fonts/{name}": data for name, data in fonts.shipped_fonts().items()}
    assets["fonts.css"] = fonts.font_face_css().encode()
    html = (
        f'<html lang="en"><head><title>{text}</title><link rel="stylesheet" href="fonts.css">'
        f"<style>body {{ font-family: '{fonts.FAMILY}' }} {style}</style></head><body><h1>{text}</h1></body></html>"
    )
    return PdfJob(html, assets, "2026-11-01", b"0" * 32, FAMILIES | {fonts.FAMILY})


@pytest.fixture(autouse=True)
def _allowed() -> Iterator[None]:
    with other_processes():
        yield


def test_other_processes_set_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "SMALL", 0)
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    pages = [page("One"), page("Two"), page("Three")]
    assert set_all(pages) == [render_pdf(one) for one in pages]


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


def test_typesetters_kept_ready_set_the_same_bytes_and_leave(monkeypatch: pytest.MonkeyPatch) -> None:
    """One process serves several calls, however small, and none is left afterwards."""
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    pages = [page("One"), page("Two")]
    before = set(multiprocessing.active_children())
    with typesetters(2):
        first = set_all(pages)
        children = set(multiprocessing.active_children()) - before
        assert set_all(pages[::-1]) == first[::-1]
        assert set(multiprocessing.active_children()) - before == children
        assert len(children) == 1
    assert set(multiprocessing.active_children()) <= before
    assert first == [render_pdf(one) for one in pages]


@pytest.mark.parametrize(("cores", "documents"), [(1, 4), (4, 1)])
def test_no_typesetter_is_kept_for_one_document_or_on_one_core(
    monkeypatch: pytest.MonkeyPatch, cores: int, documents: int
) -> None:
    def refuse(_helpers: int) -> None:
        raise AssertionError("a process was started")

    monkeypatch.setattr(parallel, "_pool", refuse)
    monkeypatch.setattr(parallel, "_cores", lambda: cores)
    with typesetters(documents):
        assert len(set_all([page("One")])) == 1


def test_there_are_never_more_processes_than_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[int] = []
    plain = parallel._pool

    def counting(helpers: int) -> object:
        started.append(helpers)
        return plain(helpers)

    monkeypatch.setattr(parallel, "_pool", counting)
    monkeypatch.setattr(parallel, "_cores", lambda: 3)
    with typesetters(8):
        pass
    assert started == [2]


def test_a_fault_while_typesetters_are_ready_is_told_plainly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    pages = [page("One"), page("Two")]
    with typesetters(2):
        with pytest.raises(PrintError, match="typesetter complains"):
            set_all([page("One"), page("Two", style="p { no-such-property: 1 }")])
        assert set_all(pages) == [render_pdf(one) for one in pages]


def test_what_hands_did_comes_as_it_was_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel, "_cores", lambda: 2)

    def slow_first(number: int) -> int:
        time.sleep(0.02 if number == 0 else 0)
        return number

    with hands() as helping:
        given = [helping.give(slow_first, number) for number in range(20)]
        assert list(range(20)) == [work.result() for work in given]
        done: list[int] = []
        assert list(helping.each(done.append, range(20))) == [None] * 20
        assert list(range(20)) == sorted(done)


def test_only_a_few_pieces_of_work_wait_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """With two hands the fifth piece is taken only when one of the first four is done."""
    monkeypatch.setattr(parallel, "_cores", lambda: 2)
    go, given = threading.Event(), []

    def hand_out() -> None:
        with hands() as helping:
            for number in range(6):
                given.append(number)
                helping.give(go.wait)

    giver = threading.Thread(target=hand_out)
    giver.start()
    while len(given) < 5:  # however long a busy machine lets it wait
        time.sleep(0.01)
    time.sleep(0.1)
    waiting = list(given)
    go.set()
    giver.join()
    assert waiting == [0, 1, 2, 3, 4]
    assert given == [0, 1, 2, 3, 4, 5]


def test_a_fault_in_a_hand_is_raised_where_its_work_is_asked_for() -> None:
    def fail() -> None:
        raise ValueError("no wood")

    with pytest.raises(ValueError, match="no wood"), hands() as helping:
        helping.give(fail).result()
