"""Families: every size of a kit is checked, locked, packed and released; none is lost, each finding names its size."""

from __future__ import annotations

import json
import os
import posixpath
import re
import zipfile
from pathlib import Path

import pytest
import yaml
from calling import Call
from family_kits import written
from plain_pictures import plain_pictures  # noqa: F401 - a fixture

from kitforge.api import check
from kitforge.model.errors import UnreadableKitError
from kitforge.model.own_words import in_language
from kitforge.release.families import MOST_PLANNED, MOST_PRINTED, choices_of, rungs_in
from kitforge.release.lock import read_locks
from kitforge.release.released import read_releases

GOLDEN = Path(__file__).parent / "golden"
SIZES = ("small", "medium", "large")
PAGE = "start.html"


@pytest.fixture
def family(tmp_path: Path) -> Path:
    return written(tmp_path / "marker")


def test_a_size_is_the_kit_with_what_differs(family: Path) -> None:
    """width is set by the size, and what hangs on it follows; what the call sets counts before it."""
    boxes = {size: check(family, size).kit.parts[0].outline.bounds for size in SIZES}
    assert {size: (box.width, box.height) for size, box in boxes.items()} == {
        "small": (80, 40),
        "medium": (120, 60),
        "large": (180, 90),
    }
    assert check(family, "large", {"width": "50"}).kit.parts[0].outline.bounds.width == 100
    assert check(family, "large").kit.info.title == "Row Marker, Very large"


def test_the_title_of_a_size_is_said_in_the_language_of_its_readers(tmp_path: Path) -> None:
    named = ("title: Row Marker", "title: {en: Row Marker, de: Reihenschild}")
    sized = ("title: Very large", "title: {en: Very large, de: Sehr groß}")
    for changes, german in (
        ((named, sized), "Reihenschild, Sehr groß"),
        ((sized,), "Row Marker, Sehr groß"),
        ((named,), "Reihenschild, Very large"),
    ):
        info = check(written(tmp_path / str(len(german)), *changes), "large").kit.info
        assert (in_language(info, "en").title, in_language(info, "de").title) == ("Row Marker, Very large", german)


def test_the_first_size_is_taken_where_none_is_named(family: Path) -> None:
    assert check(family).kit.info.size == "small"


def test_every_size_is_checked_though_one_fails_and_the_finding_names_it(tmp_path: Path, call: Call) -> None:
    """A hole below the cutter's diameter in one size alone: one exit code, no size lost."""
    kit = written(tmp_path / "marker", ("hole: 10 mm", "hole: 4 mm"))
    code, out, _err = call("check", kit, "--format", "json", "--jobs", "1")
    reports = json.loads(out)
    assert code == 1
    assert [report["size"] for report in reports] == [*SIZES]
    errors = {report["size"]: report["counts"]["error"] for report in reports}
    assert errors["large"] > 0
    assert errors["small"] == errors["medium"] == 0
    assert {one["size"] for one in reports[2]["findings"]} == {"large"}
    code, out, _err = call("check", kit, "--size", "small", "--size", "medium")
    assert (code, "in large" in out) == (0, False)


@pytest.mark.parametrize(
    ("change", "line", "advice"),
    [(("set: {width: 40 mm}", "set: {widht: 40 mm}"), 18, "Did you mean 'width'?"),
     (("set: {width: 40 mm}", "set: {width: 40 parsec}"), 18, "")],
)  # fmt: skip
def test_what_a_size_sets_wrongly_is_told_with_its_line(
    tmp_path: Path, change: tuple[str, str], line: int, advice: str
) -> None:
    kit = written(tmp_path / "marker", change)
    with pytest.raises(UnreadableKitError) as caught:
        check(kit, "small")
    (problem,) = caught.value.problems
    assert (problem.source.line, str(problem.advice)) == (line, advice)
    assert check(kit, "medium").kit.info.size == "medium"


def test_a_value_of_a_size_that_cannot_be_worked_out_is_told_where_the_size_sets_it(tmp_path: Path) -> None:
    kit = written(tmp_path / "marker", ("set: {width: 40 mm}", "set: {width: = hihgt / 2}"))
    with pytest.raises(UnreadableKitError) as caught:
        check(kit, "small")
    assert caught.value.problems[0].source.line == 18


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("--size", "lrage"), 2, "there is no size 'lrage'. Did you mean 'large'?"),
        (("--set", "widht=30"), 2, "Did you mean 'width'?"),
        (("--set", "width=4 parsec"), 2, "--set width: '4 parsec' is not a length"),
        (("--set", "width"), 2, "is not NAME=VALUE"),
    ],
)
def test_a_call_that_cannot_be_meant_is_told(
    family: Path, call: Call, arguments: tuple[str, ...], code: int, said: str
) -> None:
    found, out, err = call("check", family, *arguments)
    assert found == code
    assert said in " ".join((out + err).split())


def test_a_kit_of_one_size_has_no_size_to_name(tmp_path: Path, call: Call) -> None:
    sizes = "sizes:\n  small: {set: {width: 40 mm}}\n  medium: {}\n" \
            "  large: {title: Very large, set: {width: 90 mm, hole: 10 mm}}\n"  # fmt: skip
    kit = written(tmp_path / "marker", (sizes, ""))
    assert call("check", kit, "--size", "small")[0] == 2
    assert call("check", kit, "--set", "width=50 mm")[0] == 0


def test_settings_and_explain_take_a_size(family: Path, call: Call) -> None:
    small, large = (
        json.loads(call("settings", family, "--size", size, "--format", "json")[1]) for size in ("small", "large")
    )
    assert small != large
    assert call("explain", family, "marker/outline", "--size", "large")[0] == 0


def test_sizes_are_shown_side_by_side(family: Path, call: Call) -> None:
    code, out, _err = call("sizes", family, "--format", "json")
    found = {one["size"]: one for one in json.loads(out)}
    assert code == 0
    assert {size: one["overall_mm"] for size, one in found.items()} == {
        "small": [80, 40, 6],
        "medium": [120, 60, 6],
        "large": [180, 90, 6],
    }
    assert found["small"]["stock"] == {"board": {"count": 1, "size_mm": [400, 150, 6]}}
    assert found["small"]["cutters"] == ["end-mill"]
    assert found["small"]["seconds"]["light_router"][1] > 0
    assert "180 x 90 x 6 mm" in call("sizes", family)[1]


def test_a_size_that_cannot_be_read_does_not_hide_the_others(tmp_path: Path, call: Call) -> None:
    kit = written(tmp_path / "marker", ("set: {width: 40 mm}", "set: {widht: 40 mm}"))
    code, out, _err = call("sizes", kit)
    assert code == 2
    assert "cannot be read" in out
    assert "180 x 90 x 6 mm" in out


def test_the_lock_holds_every_size_and_names_the_one_that_differs(family: Path, call: Call) -> None:
    assert call("lock", family)[0] == 0
    assert set(read_locks(family) or ()) == set(SIZES)
    assert call("lock", family, "--check")[0] == 0
    code, out, _err = call("lock", family, "--check", "--set", "thick=6.2 mm")
    assert code == 1
    assert "(large): as locked" not in out
    text = (family / "kit.yaml").read_text()
    (family / "kit.yaml").write_text(text.replace("hole: 10 mm", "thick: 6.2 mm"))
    code, out, _err = call("lock", family, "--check")
    assert code == 1
    assert [size for size in SIZES if f"({size}): as locked" in out] == ["small", "medium"]
    locked = (family / "kit.lock").read_text()
    assert call("lock", family, "--size", "large")[0] == 0
    assert call("lock", family, "--check")[0] == 0
    assert (family / "kit.lock").read_text() != locked


def test_sizes_are_packed_each_and_together(tmp_path: Path, call: Call, quick: None) -> None:
    """Two sizes: two packs, and one that holds the same files in folders named as these packs are.

    Only pages and listings differ: in the joint pack each page leads to that of the other size, and each listing tells
    what both sizes come to.
    """
    kit = written(tmp_path / "marker", ("  medium: {}\n", ""), ("machines:", "release: {sizes: both}\nmachines:"))
    code, out, _err = call("build", kit, "-o", tmp_path / "out", "--paper", "a4", "--no-cache", "--jobs", "1")
    assert code == 0, out
    packs = {path.stem: _files(path) for path in sorted((tmp_path / "out").iterdir())}
    assert set(packs) == {"row-marker-1.0.0", "row-marker-1.0.0-large", "row-marker-1.0.0-small"}
    joint = packs["row-marker-1.0.0"]
    for size in ("small", "large"):
        name = f"row-marker-1.0.0-{size}"
        alone = {key: data for key, data in packs[name].items() if key not in ("manifest.json", "SHA256SUMS")}
        within = {key.removeprefix(f"{name}/"): data for key, data in joint.items() if key.startswith(name)}
        assert not _other_pages(name, alone.pop(PAGE))
        assert "The sizes" not in alone.pop("listing.txt").decode("utf-8-sig")
        sizes = _of_all_sizes(within.pop("listing.txt"))
        assert [one.partition(":")[0] for one in sizes] == ["Small", "Very large"]
        assert all(words in one for one in sizes for words in ("1 × 400 × 150 × 6 mm", "Time at the machine: "))
        assert "Finished piece: 180 × 90 × 6 mm (7.087 × 3.543 × 0.236 in)" in sizes[1]
        (other,) = {"small", "large"} - {size}
        assert _other_pages(name, within.pop(PAGE)) == [f"row-marker-1.0.0-{other}/{PAGE}"]
        assert within == alone
        assert json.loads(packs[name]["manifest.json"])["kit"]["size"] == size
    top = {name for name in joint if "/" not in name}
    assert top == {"READ-ME-FIRST.txt", "LICENSE.txt", "manifest.json", "SHA256SUMS"}
    first = joint["READ-ME-FIRST.txt"].decode("utf-8-sig")
    _is_as_it_was(GOLDEN / "row-marker-joint.txt", "\n".join((*joint, "", *first.splitlines(), "")))
    assert all(f"Folder: row-marker-1.0.0-{size}" in first for size in ("small", "large"))
    assert "80 mm (3.150 in) x 40 mm (1.575 in)" in first
    assert [first.count(words) for words in ("Time at the machine: ", "Work by hand: ")] == [2, 2]
    listing = " ".join(packs["row-marker-1.0.0-large"]["listing.txt"].decode("utf-8-sig").split())
    assert "Sizes of this kit: Small and Very large. This is Very large." in listing
    manifest = json.loads(joint["manifest.json"])
    assert manifest["kit"]["sizes"] == ["small", "large"]
    assert set(manifest["facts"]["parts"]) == {"small/marker", "large/marker"}
    code, out, _err = call("compare", tmp_path / "out" / "row-marker-1.0.0-large.zip", kit)
    assert (code, "Nothing differs" in out) == (0, True)


def _is_as_it_was(golden: Path, text: str) -> None:
    """Compare with what somebody last read; WRITE_GOLDEN=1 writes it anew."""
    if os.environ.get("WRITE_GOLDEN"):
        golden.write_text(text, encoding="utf-8")
    assert golden.read_text(encoding="utf-8") == text


def _of_all_sizes(listing: bytes) -> list[str]:
    """Return what a listing says of each size of the pack."""
    after = (
        listing.decode("utf-8-sig")
        .replace("\r\n", "\n")
        .partition("\nThe sizes\n")[2]
        .partition("\n\nWhat is included")[0]
    )
    return [" ".join(one.split()) for one in re.split(r"\n *- ", after)[1:]]


def _other_pages(folder: str, page: bytes) -> list[str]:
    """Return which files of the pack a page leads to, by their names in the pack."""
    found = re.findall(r'<a href="([^"#][^"]*)"', page.decode("utf-8"))
    return [posixpath.normpath(posixpath.join(folder, one.partition("#")[0])) for one in found]


def test_no_joint_pack_is_written_where_a_size_fails_and_the_others_are(
    tmp_path: Path, call: Call, quick: None, bare_packs: None
) -> None:
    kit = written(
        tmp_path / "marker",
        ("hole: 10 mm", "hole: 4 mm"),
        ("  medium: {}\n", ""),
        ("machines:", "release: {sizes: both}\nmachines:"),
    )
    code, out, _err = call("build", kit, "-o", tmp_path / "out", "--paper", "a4", "--no-cache", "--jobs", "1")
    assert code == 1
    assert [path.stem for path in (tmp_path / "out").iterdir()] == ["row-marker-1.0.0-small"]
    assert "in large" in out


def test_a_joint_pack_alone_tells_the_findings_of_every_size(tmp_path: Path, call: Call, quick: None) -> None:
    kit = written(
        tmp_path / "marker",
        ("hole: 10 mm", "hole: 4 mm"),
        ("set: {width: 40 mm}", "set: {width: 40 mm, hole: 4.5 mm}"),
        ("machines:", "release: {sizes: together}\nmachines:"),
    )
    code, out, _err = call("build", kit, "-o", tmp_path / "out", "--paper", "a4", "--no-cache")
    assert code == 1
    assert "in large" in out
    assert "in small" in out
    assert not (tmp_path / "out").exists()


def test_too_many_booklets_at_once_are_refused(tmp_path: Path, call: Call) -> None:
    more = "".join(f"  size-{number}: {{}}\n" for number in range(9))
    kit = written(tmp_path / "marker", ("  medium: {}\n", more))
    code, _out, err = call("build", kit, "-o", tmp_path / "out", "--language", "all", "--paper", "both")
    assert code == 2
    assert f"{MOST_PRINTED} at a time is the limit" in err
    kit = written(tmp_path / "more", ("  medium: {}\n", more + more.replace("size-", "other-")))
    assert call("check", kit)[0] == 2


LADDER = "ladder: {of: thick, from: 5.5 mm, to: 6.6 mm, step: 0.1 mm}"


def with_ladder(folder: Path, sizes: int, ladder: str = LADDER) -> Path:
    more = "".join(f"  size-{number}: {{}}\n" for number in range(sizes - 3))
    return written(folder, ("  medium: {}\n", f"  medium: {{}}\n{more}"), ("width: 150 mm", f"{ladder}, width: 150 mm"))


def test_sizes_times_thicknesses_beyond_the_bound_are_refused_before_anything_is_planned(
    tmp_path: Path, call: Call
) -> None:
    """Seven sizes on twelve rungs: 84 kits; six are 72, as many as are allowed. One size of the seven may be named."""
    kit = with_ladder(tmp_path / "marker", 7)
    for command in ("check", "build", "sizes", "buy"):
        code, out, err = call(command, kit)
        assert code == 2
        assert f"7 sizes in 12 thicknesses are 84 kits to plan; {MOST_PLANNED} at a time is the limit" in out + err
    assert len(choices_of(kit, ["small"], ())) == 1
    assert len(choices_of(with_ladder(tmp_path / "six", 6), (), ())) == 6


@pytest.mark.parametrize(
    ("written_as", "rungs"),
    [
        (LADDER, 12),
        (LADDER.replace("0.1 mm", "0.55 mm"), 3),
        (LADDER.replace("0.1 mm", "0 mm"), 12),
        (LADDER.replace("0.1 mm", "= thick / 60"), 12),
        (LADDER.replace("6.6 mm", "9 m"), 12),
        ("ladder: [5 mm]", 1),
    ],
)
def test_rungs_are_counted_as_written(tmp_path: Path, written_as: str, rungs: int) -> None:
    """What cannot be counted without working the kit out counts as the most that a ladder may have."""
    assert rungs_in(yaml.safe_load((with_ladder(tmp_path / "marker", 3, written_as) / "kit.yaml").read_text())) == rungs


def test_each_size_is_released_and_noted(tmp_path: Path, call: Call, quick: None, bare_packs: None) -> None:
    kit = written(tmp_path / "marker", ("  medium: {}\n", ""))
    assert call("lock", kit)[0] == 0
    code, out, err = call("release", kit, "-o", tmp_path / "out")
    assert code == 0, out + err
    assert [(one.version, one.size) for one in read_releases(kit)] == [("1.0.0", "small"), ("1.0.0", "large")]
    assert call("check", kit)[0] == 0


def test_each_size_has_a_layout_of_its_own(tmp_path: Path, call: Call) -> None:
    kit = written(
        tmp_path / "marker", ("  medium: {}\n", ""), ("    stock: board\n", "    stock: board\n    count: 2\n")
    )
    code, out, err = call("nest", kit, "--tries", "2")
    assert code == 0, out + err
    assert {path.name for path in kit.glob("*.lock")} == {"layout-small.lock", "layout-large.lock"}
    small, large = (check(kit, size).kit for size in ("small", "large"))
    assert small.layout != large.layout
    assert len(small.layout) == 1
    (kit / "layout-small.lock").write_bytes((kit / "layout-large.lock").read_bytes())
    assert {one.code for one in check(kit, "small").findings} & {"layout-older", "layout-unfit"}


def test_a_waiver_may_be_of_one_size(tmp_path: Path, call: Call, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1796000000")
    kit = written(tmp_path / "marker", ("thick: 6 mm", "thick: 7.4 mm"))
    waiver = '[[waiver]]\ncode = "thickness-odd"\nsize = "small"\nreason = "as bought"\nby = "A"\nuntil = 2026-12-31\n'
    (kit / "waivers.toml").write_text(waiver)
    reports = json.loads(call("check", kit, "--format", "json", "--jobs", "1")[1])
    waived = {one["size"]: one["waived"] for report in reports for one in report["findings"]
              if one["code"] == "thickness-odd"}  # fmt: skip
    assert waived["small"]
    assert not waived["medium"]
    assert not any(one["code"] == "waiver-unused" for report in reports for one in report["findings"])


def _files(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as pack:
        return {name.partition("/")[2]: pack.read(name) for name in pack.namelist()}
