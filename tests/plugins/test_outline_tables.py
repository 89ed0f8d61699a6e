"""The docstring tables of the geometry checks name every kind of finding they can make."""

from __future__ import annotations

import re

import pytest

import kitforge_cutterfit
import kitforge_holding
import kitforge_order
import kitforge_outline


@pytest.mark.parametrize("plugin", [kitforge_outline, kitforge_cutterfit, kitforge_order, kitforge_holding])
def test_the_table_of_a_plugin_names_its_kinds(plugin: object) -> None:
    """No kind is missing in the table, and none in it is made up."""
    table = [line for line in (plugin.__doc__ or "").splitlines() if line.startswith("| `")]
    named = {code for line in table for code in re.findall(r"`([a-z-]+)`", line.split("|")[1])}
    assert named == {kind.code for kind in plugin.KINDS}  # type: ignore[attr-defined]


def test_no_code_is_used_twice() -> None:
    """Codes are stable names: one meaning each, over all four plugins."""
    plugins = (kitforge_outline, kitforge_cutterfit, kitforge_order, kitforge_holding)
    all_codes = [kind.code for plugin in plugins for kind in plugin.KINDS]
    assert len(all_codes) == len(set(all_codes))
