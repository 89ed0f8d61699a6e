"""What is wrong with a worksheet is told with file, line and row, and all at once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitforge.cutting.worksheet.checker import CASES, check_sheet
from kitforge.cutting.worksheet.expression import ExpressionError, parse
from kitforge.cutting.worksheet.program import SETTINGS, settings_sheet
from kitforge.cutting.worksheet.python_writer import write_function
from kitforge.cutting.worksheet.reader import read_sheet
from kitforge.cutting.worksheet.rows import SheetError

HEAD = "D [mm] diameter\n  = cutter.diameter -- cutter\nmark [min-1] mark\n  = cutter.max_speed -- cutter\n"


def problems(text: str) -> list[str]:
    with pytest.raises(SheetError) as caught:
        check_sheet(read_sheet([("rows.txt", HEAD + text)]), SETTINGS)
    return [f"{at}: {what}" for at, what in caught.value.problems]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("x [mm] x\n  = hoose -- a", "rows.txt:6: 'hoose' is not known here"),
        ("x [mm] x\n  = y -- a\ny [mm] y\n  = D -- a", "rows.txt:6: 'y' is not known here"),
        ("x [mm] x\n  = machine.diamter -- a", "rows.txt:6: 'machine.diamter': MachineClass has no 'diamter'"),
        ("x [mm] x\n  = 2 * cutter.shank -- a", "rows.txt:6: give 'cutter.shank' a row of its own"),
        ("x [mm] x\n  = 2 * mark -- a", "rows.txt:6: 'mark' may be none here; write 'when 'mark' != none'"),
        ("x [mm] x\n  = D", "rows.txt:6: a case of 'x' has no source: -- SOURCE"),
        ("x [mm] x\n  = D -- a\n  = 2 * D -- a", "rows.txt:7: a case of 'x' above holds always, this one never"),
        ("D [mm] x\n  = 2 -- a", "rows.txt:5: 'D' stands here already"),
        ("cut [mm] x\n  = 2 -- a", "rows.txt:5: 'cut' stands here already"),
        ("x [mm] x\n  = 'text' -- a", "rows.txt:6: ''text'' is text, 'x' is number"),
        ("x [yes] x\n  = D == 'text'", "rows.txt:6: 'D' is number, 'text' is text"),
        ("x [yes] x\n  = D == none", "rows.txt:6: 'D' is never none here"),
        ("x [mm] x\n  = min(D, 2 -- a", "rows.txt:6: ')' is missing before 'the end' in 'min(D, 2'"),
        ("x [mm] x\n  = sqroot(D) -- a", "rows.txt:6: 'sqroot' is no function"),
        ("x [mm] x\n  = sqrt(D, 2) -- a", "rows.txt:6: 'sqrt' takes 1 values, not 2"),
        ("x [mm] x\n  D / 2 -- a", "rows.txt:6: 'D / 2 -- a' is not '= FORMULA when CONDITION -- SOURCE'"),
        ("x [mm] x", "rows.txt:5: 'x' has no formula"),
        ("hello there", "rows.txt:5: 'hello there' is no row: SYMBOL [UNIT] WORDS"),
        ("block b words", "rows.txt:5: block 'b' has no end"),
        ("block b words\n  takes D\nend", "rows.txt:6: 'takes D' is not 'takes SYMBOL [UNIT] WORDS'"),
        ("n <= [mm] most\n  = D -- a\nx [mm] x\n  = n -- a", "rows.txt:8: 'n' has no value yet, only limits"),
        ("n <= [mm] most\n  = D -- a\nx [mm] x\n  = n.high -- a\nn <= [mm] more\n  = D -- a",
         "rows.txt:9: the tightest of 'n <=' was used above already"),
        ("n <= [mm] most\n  = D -- a\nn <= [m] more\n  = D -- a", "rows.txt:7: limits of 'n' are in mm"),
        ("n <= [mm] most\n  = D -- a\nn [mm] n\n  = D -- a\nn <= [mm] more\n  = D -- a",
         "rows.txt:9: 'n' has its value already, a limit comes too late"),
        ("window n [mm] feed", "rows.txt:5: 'n' has no limits"),
        ("stop SHANK\n  when D > 2", "rows.txt:5: 'stop SHANK' has no message: a line that starts with ':'"),
        ("stop SHANK\n  when D > 2\n  : It is {hoose}.", "rows.txt:5: 'hoose' is not known here"),
        ("stop SHANK\n  when D > 2\n  : It is {mark}.",
         "rows.txt:5: 'mark' may be none where 'It is {mark}....' is told; add 'when mark != none'"),
        ("x [mm] x {hard}\n  = D -- a", "rows.txt:5: 'x' is no limit and has no marks"),
        ("x [mm] x\n  = most(machine.shanks, 1) + 1 -- a", "rows.txt:6: give 'most(...)' a row of its own"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_row(text: str, told: str) -> None:
    """Names, kinds, order, none, sources, writing."""
    assert told in problems(text)


def test_all_mistakes_are_told_at_once() -> None:
    """Not only the first."""
    assert len(problems("x [mm] x\n  = hoose -- a\ny [mm] y\n  = mark + 1 -- a\nz [mm] z\n  = x")) == 3


def test_a_row_has_few_cases() -> None:
    """More than four are hard to review."""
    cases = "".join(f"  = {n} when D > {n} -- a\n" for n in range(CASES + 1))
    assert "name a condition or split the row" in problems(f"x [mm] x\n{cases}")[0]
    for _block, row in settings_sheet().sheet.rows():
        assert len(row.cases) <= CASES, row.symbol


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("D - (D - 1)", "v_D - (v_D - 1.0)"),
        ("D - 1 - 2", "v_D - 1.0 - 2.0"),
        ("D / (D * 2)", "v_D / (v_D * 2.0)"),
        ("-D^2", "-(v_D ** 2.0)"),
        ("D^-2", "v_D ** -2.0"),
        ("2^3^D", "2.0 ** 3.0 ** v_D"),
        ("(2^3)^D", "(2.0 ** 3.0) ** v_D"),
        ("2 * (D + 1)", "2.0 * (v_D + 1.0)"),
        ("max(1, floor(D))", "max(1.0, float(floor(v_D)))"),
        ("tan(D / 2)", "tan(radians(v_D / 2.0))"),
    ],
)
def test_brackets_stand_where_they_must(text: str, code: str) -> None:
    """The program means what the formula means."""
    checked = check_sheet(read_sheet([("rows.txt", f"{HEAD}x [mm] x\n  = {text} -- a\n")]), SETTINGS)
    assert any(line.strip() in (f"v_x: float = {code}", f"v_x: float = {code.replace('-(', '-').rstrip(')')}")
               for line in write_function(checked).splitlines())  # fmt: skip


@given(st.text(alphabet="Dxyz0123456789.+-*/^()<>=!',[] andornt", max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text ends in anything but a tree or a plain error."""
    try:
        parse(text)
    except ExpressionError as error:
        assert str(error)


def test_deep_brackets_are_refused() -> None:
    """Rows come from plugins, too: depth is bounded."""
    with pytest.raises(ExpressionError, match="nested too deep"):
        parse("(" * 100 + "1" + ")" * 100)
