"""start.html in a real browser: what its scripts give for a list of cases, and what a script of a test gives in it."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html import unescape
from pathlib import Path
from typing import Any

from browser import page_after, print_page

_PAGE = """<!DOCTYPE html><meta charset="utf-8"><title>cases</title><pre id="out"></pre>
<script>{script}</script>
<script>
"use strict";
const data = {data}, cases = {cases};
let ready = null;
const run = (one) => {{
  try {{ {run} }}
  catch (error) {{ return {{error: String(error.stack)}}; }}
}};
(async () => {{
  ready = await (async () => {{ {first} }})();
  document.getElementById("out").textContent = JSON.stringify(cases.map(run));
}})();
</script>
"""


def answers(script: str, data: object, cases: object, run: str, folder: Path, first: str = "") -> list[Any]:
    """Return what `run`, the body of a function of `one`, gives for each case after a script; `data` is at hand.

    first: the body of a function that is waited for; what it gives is at hand as `ready`.
    """
    safe = {name: json.dumps(part).replace("<", "\\u003c") for name, part in (("data", data), ("cases", cases))}
    page = folder / "cases.html"
    page.write_text(_PAGE.format(script=script, run=run, first=first, **safe), encoding="utf-8")
    shown = re.search(r'<pre id="out">(.*?)</pre>', page_after(page, folder / "profile"), re.DOTALL)
    assert shown is not None, "the page shows nothing"
    found: list[Any] = json.loads(unescape(shown[1]))
    return found


TOOLS = """
const set = (name, value) => { document.getElementById(`f-${name}`).value = value; };
const submit = () => document.querySelector("#own form").requestSubmit();
const told = () => [...document.querySelectorAll(".verdicts li")].map((one) => one.textContent);
const row = (code, step) => document.querySelector(`#${code}-step-${step} .row.k99`);
const figures = (line) => [...line.cells].slice(1, -1).map((one) => one.innerText.replace(/\\s+/g, " ").trim());
const seen = (name) => [...document.querySelectorAll(name)].filter((one) => one.getClientRects().length);
const press = (key) => document.body.dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true}));
"""


def driven(page: str, script: str, folder: Path, *, before: str = "", more: tuple[str, ...] = ()) -> Any:
    """Return whatever a script gives in the page, after the page's own.

    before: a script that runs before that; more: further options of the browser.
    """
    dom = page_after(_driven(page, script, folder, before), folder / "profile", more=more)
    title = re.search(r"<title>(.*?)</title>", dom, re.DOTALL)
    assert title is not None
    answer = json.loads(unescape(title[1]).replace("\u00a0", " "))
    assert "error" not in answer if isinstance(answer, dict) else True, answer
    return answer


def printed(page: str, script: str, folder: Path) -> bytes:
    """Return the PDF that the browser prints when a script has run in the page."""
    path, paper = _driven(page, script, folder, ""), folder / "paper.pdf"
    print_page(path, paper, folder / "profile")
    return paper.read_bytes()


def _driven(page: str, script: str, folder: Path, before: str) -> Path:
    wrapped = f"""{TOOLS}
      (async () => {{
        try {{ document.title = JSON.stringify((await (async () => {{ {script} }})()) ?? null); }}
        catch (error) {{ document.title = JSON.stringify({{error: String(error.stack)}}); }}
      }})();"""
    for text in filter(None, (wrapped, before)):
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        page = page.replace("script-src ", f"script-src 'sha256-{digest}' ", 1)
    page = page.replace("</body>", f"<script>{wrapped}</script></body>")
    page = page.replace("<body>", f"<body><script>{before}</script>") if before else page
    path = folder / "start.html"
    path.write_text(page, encoding="utf-8")
    return path
