"""Two forms of a part of a document: the first where it fits on a page, else the second."""

from __future__ import annotations

import pytest

from kitforge.print.errors import ThemeError
from kitforge.print.forms import TRIES, fitted, names_of, with_forms
from kitforge.print.ready import load_typesetter

BOTH = "<p>before</p><!--form a-->{first}<!--or a-->second<!--end a--><p>after</p>"


def part(name: str, first: str, second: str = "second") -> str:
    return f"<!--form {name}-->{first}<!--or {name}-->{second}<!--end {name}-->"


def tall(name: str, *heights: int) -> str:
    """Blocks of so many mm below each other, of which all belong to one name."""
    return "".join(f'<div data-form="{name}" style="height: {height}mm">{name}</div>' for height in heights)


def laid_out(html: str) -> tuple[int, str, int]:
    """Return how many pages come out, what stands on them, and how often it was laid out."""
    load_typesetter()
    from weasyprint import HTML

    tried: list[str] = []

    def lay_out(one: str) -> object:
        tried.append(one)
        return HTML(string=f"<style>@page {{ size: 100mm; margin: 0 }} body {{ margin: 0 }}</style>{one}").render()

    document = fitted(html, lay_out)
    return len(document.pages), tried[-1], len(tried)


def test_the_first_form_is_taken_where_all_of_it_fits_on_a_page() -> None:
    pages, said, tries = laid_out(part("a", tall("a", 40, 50)))
    assert (pages, "second" in said, tries) == (1, False, 1)


@pytest.mark.parametrize("before", [20, 60])
def test_the_second_form_is_taken_where_the_first_is_divided(before: int) -> None:
    """Whether it fits depends on what stands above: 80 mm fit below 20 mm, not below 60 mm."""
    pages, said, tries = laid_out(f'<div style="height: {before}mm"></div>' + part("a", tall("a", 30, 50)))
    assert ("second" in said, tries, pages) == ((True, 2, 1) if before == 60 else (False, 1, 1))


def test_parts_are_judged_each_by_itself_and_a_form_may_hold_others() -> None:
    inner = part("inner", tall("inner", 60, 60), "<p>inner second</p>")
    _pages, said, tries = laid_out(part("outer", f"<p>outer first</p>{inner}"))
    assert ("outer first" in said, "inner second" in said, tries) == (True, True, 2)


def test_what_is_tried_ends() -> None:
    """Each second form holds another part that does not fit: after some tries all are set in their second form."""
    html = "<p>end</p>"
    for name in "edcba":
        html = part(name, tall(name, 60, 60), html)
    _pages, said, tries = laid_out(html)
    assert ("end" in said, "data-form" in said, tries) == (True, False, TRIES + 1)


def test_a_document_without_forms_is_laid_out_once_as_it_is() -> None:
    assert laid_out("<p>plain</p>") == (1, "<p>plain</p>", 1)


def test_each_part_keeps_one_form() -> None:
    html = BOTH.format(first="first")
    assert names_of(html) == {"a"}
    assert with_forms(html) == "<p>before</p>first<p>after</p>"
    assert with_forms(html, frozenset("a")) == "<p>before</p>second<p>after</p>"


@pytest.mark.parametrize(
    "html", ["<!--form a-->x<!--end a-->", "<!--or a-->", "<!--form a-->x<!--or b-->y<!--end a-->"]
)
def test_a_mark_without_its_partners_is_a_fault_of_the_theme(html: str) -> None:
    with pytest.raises(ThemeError, match="need the marks form, or, end"):
        with_forms(html)
