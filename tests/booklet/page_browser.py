"""The scripts of start.html in a real browser: what they give for a list of cases."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

from browser import page_after

_PAGE = """<!DOCTYPE html><meta charset="utf-8"><title>cases</title><pre id="out"></pre>
<script>{script}</script>
<script>
"use strict";
const data = {data}, cases = {cases};
const run = (one) => {{
  try {{ {run} }}
  catch (error) {{ return {{error: String(error.stack)}}; }}
}};
document.getElementById("out").textContent = JSON.stringify(cases.map(run));
</script>
"""


def answers(script: str, data: object, cases: object, run: str, folder: Path) -> list[Any]:
    """Return what `run`, the body of a function of `one`, gives for each case after a script; `data` is at hand."""
    safe = {name: json.dumps(part).replace("<", "\\u003c") for name, part in (("data", data), ("cases", cases))}
    page = folder / "cases.html"
    page.write_text(_PAGE.format(script=script, run=run, **safe), encoding="utf-8")
    shown = re.search(r'<pre id="out">(.*?)</pre>', page_after(page, folder / "profile"), re.DOTALL)
    assert shown is not None, "the page shows nothing"
    found: list[Any] = json.loads(unescape(shown[1]))
    return found
