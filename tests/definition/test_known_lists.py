"""Lists of what is known end with a name and no full stop, which could be taken for a part of the name."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitforge.api import UnreadableKitError, check
from kitforge.testing import SmallKit


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("\nparts:\n", "\nqqqq: 1\nparts:\n"),
        ("do: pocket", "do: qqqq"),
        ("material: black_cherry", "material: qqqq"),
        ("stock: board", "stock: qqqq"),
    ],
)
def test_a_list_of_what_is_known_has_no_false_full_stop(tmp_path: Path, old: str, new: str) -> None:
    kit = SmallKit(tmp_path)
    text = kit.file.read_text(encoding="utf-8")
    assert old in text
    kit.file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UnreadableKitError) as error:
        check(kit.folder)
    advice = str(error.value.problems[0].advice)
    assert (advice != "", advice.endswith(".")) == (True, False), advice
