"""What the page may do: run its own script and wear its own style, both known by their sums; load nothing.

W3C Content Security Policy Level 3; `frame-ancestors` and `sandbox` have no effect in a page's own head.
"""

from __future__ import annotations

import base64
import hashlib


def policy(scripts: tuple[str, ...], styles: tuple[str, ...]) -> str:
    """Return the policy of a page with these scripts and style sheets and no other."""
    rules = (
        "default-src 'none'",
        f"script-src {_sums(scripts)}",
        f"style-src {_sums(styles)}",
        "img-src data: blob:",
        "font-src data:",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    )
    return "; ".join(rules)


def _sums(texts: tuple[str, ...]) -> str:
    sums = (base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii") for text in texts)
    return " ".join(f"'sha256-{one}'" for one in sums) or "'none'"
