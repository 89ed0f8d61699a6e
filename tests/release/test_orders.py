"""Texts as parameters, and orders: a stranger's file, a pack for each row, and no trace of a buyer."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest
from calling import Call
from family_kits import written
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.api import check
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.release.orders import MOST_ORDERS, read_orders

NAMES, SIZES = ("word", "width"), ("small", "large")
TEXTS = (
    ("sizes:\n", "texts:\n  word: {default: HERBS, longest: 8}\nsizes:\n"),
    ("cutters:\n", "cutters:\n  vee: {kind: v-bit, angle: 60, diameter: 1/2 in, cutting_length: 10 mm, "
                   "shank: 1/4 in, overall_length: 2 in}\n"),
    ("      - {do: profile, name: outline", "      - do: engrave\n        name: word\n        cutter: vee\n"
     "        depth: 1.2 mm\n        shapes:\n          - text: {write: \"{word}\", height: 8 mm, "
     "at: [25 mm, = width / 2 - 4 mm], within: [= height - 30 mm, 12 mm]}\n      - {do: profile, name: outline"),
)  # fmt: skip


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    return written(tmp_path / "marker", *TEXTS)


def _boxes(kit: Path, word: str) -> float:
    (operation,) = [one for one in check(kit, "", {"word": word}).kit.parts[0].operations if one.name == "word"]
    return sum(path.length for path in operation.shapes)


def test_a_text_is_written_where_its_name_stands(kit: Path) -> None:
    """I twice is twice the outline of I: the words themselves are cut, and nothing of the braces."""
    assert _boxes(kit, "II") == pytest.approx(2 * _boxes(kit, "I"), rel=1e-6)
    operations = check(kit).kit.parts[0].operations
    assert [one.name for one in operations] == ["hole", "word", "outline"]


@pytest.mark.parametrize(
    ("word", "code"),
    [("MINTYMINT", "text-unfit"), ("WWWWWWWW", "text-unfit"), ("\u4e2d", "bad-shape"), ("A\u0007B", "text-unfit")],
)
def test_a_text_that_does_not_fit_is_told(kit: Path, word: str, code: str) -> None:
    """Too many characters, too wide for its room, a letter that the font lacks, a character that is none."""
    with pytest.raises(UnreadableKitError) as caught:
        check(kit, "", {"word": word})
    assert [problem.code for problem in caught.value.problems] == [code]


def test_a_misspelt_text_is_told_with_the_nearest_name(tmp_path: Path) -> None:
    changed = (*TEXTS[:2], (TEXTS[2][0], TEXTS[2][1].replace("{word}", "{wrod}")))
    with pytest.raises(UnreadableKitError) as caught:
        check(written(tmp_path / "marker", *changed))
    assert "'word'" in str(caught.value.problems[0].advice)


def test_braces_mean_nothing_in_a_kit_without_texts(tmp_path: Path) -> None:
    """They are characters like others there, so a kit from before keeps its meaning."""
    changed = (TEXTS[1], (TEXTS[2][0], TEXTS[2][1].replace("{word}", "{A}").replace('"{A}"', '"{a}"')))
    assert check(written(tmp_path / "marker", *changed)).kit.parts[0].operations[1].shapes


def _read(tmp_path: Path, data: bytes | str) -> list[tuple[str, str, dict[str, object]]]:
    path = tmp_path / "orders.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return [(one.order, one.size, dict(one.values)) for one in read_orders(path, NAMES, SIZES)[0]]


@pytest.mark.parametrize("between", [",", ";", "\t"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_table_is_read_however_a_shop_exports_it(tmp_path: Path, between: str, mark: bytes, end: str) -> None:
    lines = ["Order;Size;Word;Buyer", "A-1;large;DILL;Jane", "", 'A-2;;"SAGE";']
    data = mark + end.join(line.replace(";", between) for line in lines).encode()
    assert _read(tmp_path, data) == [("A-1", "large", {"word": "DILL"}), ("A-2", "small", {"word": "SAGE"})]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "holds no line"),
        ("order,word\n", "no orders"),
        ("order,wrod\nA,B\n", "Did you mean 'word'?"),
        ("order,buyer\nA,B\n", "no column sets anything"),
        ("order,word\nA,B\na,C\n", "stands in line 2 too"),
        ("order,word\n../A,B\n", "names no file"),
        ("order,word\nA/B,B\n", "names no file"),
        ("order,word\n.,B\n", "names no file"),
        ("order,word,word\nA,B,C\n", "stands twice"),
        ("order,word\nA,B,C\n", "3 cells"),
        ("order,size,word\nA,tiny,C\n", "there is no size 'tiny'"),
        ('order,word\nA,"B\n', "cannot be read"),
    ],
)
def test_a_file_that_cannot_be_used_is_told_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(KitforgeError) as caught:
        _read(tmp_path, text)
    assert said in str(caught.value)


def test_all_mistakes_of_a_file_are_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(KitforgeError) as caught:
        _read(tmp_path, "order,word\n../A,B\nC,D,E\nF,G\nF,H\n")
    assert [f"orders.csv:{line}:" in str(caught.value) for line in (2, 3, 4, 5)] == [True, True, False, True]


@pytest.mark.parametrize("data", [b"\xff\xfeo\x00", b"order,word\nA,\xff\n"])
def test_other_encodings_are_told(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(KitforgeError, match="UTF-8"):
        _read(tmp_path, data)


def test_ten_thousand_orders_are_read_and_more_are_refused(tmp_path: Path) -> None:
    lines = "".join(f"N{number},W{number}\n" for number in range(MOST_ORDERS))
    assert len(_read(tmp_path, f"order,word\n{lines}")) == MOST_ORDERS
    with pytest.raises(KitforgeError, match="more than 10000 orders"):
        _read(tmp_path, f"order,word\n{lines}one-more,X\n")


def test_the_order_that_does_not_fit_is_told_and_the_others_are_built(
    kit: Path, tmp_path: Path, call: Call, quick: None
) -> None:
    """A pack for each other row; the buyer's name stands nowhere, the ordered word in no manifest."""
    orders = tmp_path / "orders.csv"
    orders.write_text("order,word,buyer\nA-1,DILL,Jane Secret\nA-2,MINTYMINT,Jo Secret\nA-3,SAGE,Al Secret\n")
    code, out, err = call(
        "build", kit, "-o", tmp_path / "out", "--orders", orders, "--paper", "a4", "--no-cache", "--jobs", "1"
    )
    assert code == 2, out + err
    assert {path.stem for path in (tmp_path / "out").iterdir()} == {
        "row-marker-1.0.0-small-A-1",
        "row-marker-1.0.0-small-A-3",
    }
    assert "in small order A-2" in out
    assert "read over: buyer" in out
    for path in (tmp_path / "out").iterdir():
        with zipfile.ZipFile(path) as pack:
            files = {name.partition("/")[2]: pack.read(name) for name in pack.namelist()}
        assert not any(b"Secret" in data for data in files.values())
        manifest = json.loads(files["manifest.json"])
        assert manifest["kit"]["set"] == ["word"]
        assert not any(word in files["manifest.json"] for word in (b"DILL", b"SAGE"))


def test_orders_are_for_one_kit(kit: Path, tmp_path: Path, call: Call) -> None:
    code, _out, err = call("build", kit, kit, "--orders", tmp_path / "x.csv")
    assert (code, "one kit" in err) == (2, True)
