"""The report as one HTML file that asks nothing of the network and works without its few lines of script."""

from __future__ import annotations

import base64
import hashlib
import pathlib
from typing import TYPE_CHECKING

from kitforge.language import current_language
from kitforge.report.rows import blocks_of, key_of
from kitforge.report.wording import counted

if TYPE_CHECKING:
    from kitforge.report.records import CheckReport

_PAGES = pathlib.Path(__file__).parent / "pages"


def page_files() -> dict[str, bytes]:
    """Return the templates, style sheets and the script of the report by name."""
    return {path.name: path.read_bytes() for path in sorted(_PAGES.iterdir()) if path.is_file()}


def html_bytes(report: CheckReport) -> bytes:
    """Return the report as HTML. Everything from the kit is escaped, and the page's own policy forbids all loading."""
    from markupsafe import Markup

    from kitforge.print.templates import fill_template
    from kitforge.print.themes import Theme

    files = page_files()
    style, script = files["screen.css"].decode("utf-8"), files["screen.js"].decode("utf-8")
    blocks = blocks_of(report, linked=True)
    values = {
        "report": report,
        "summary": counted(report.counts.items()),
        "code": current_language().code,
        "key": [(words, Markup(picture.svg)) for words, picture in key_of(report.counts)],
        "blocks": blocks,
        "drawings": {block.key: Markup(block.drawn.svg()) for block in blocks if block.drawn},
        "signs": {row.number: Markup(row.sign.svg) for block in blocks for row in block.rows},
        "style": Markup(style),
        "script": Markup(script),
        "policy": _policy(script),
    }
    return fill_template(Theme("report", files), "screen.html", values).encode("utf-8")


def _policy(script: str) -> str:
    """Return what the page may load: nothing; and run: its own script, known by its hash (W3C CSP, level 2)."""
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    script_rule = f"script-src 'sha256-{digest}'"
    return f"default-src 'none'; style-src 'unsafe-inline'; {script_rule}; base-uri 'none'; form-action 'none'"
