"""A pack for one buyer, from the finished zip and without a rebuild: whom it is licensed to, on a leaf and on pages.

The stamped pack differs in LICENSED-TO.txt, a line at the foot of every page, the manifest and the sums; drawings,
tables and pictures are byte for byte those of the pack that was released.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from kitforge.language import languages, say, use_language
from kitforge.model.errors import KitforgeError
from kitforge.model.pack import PackFile
from kitforge.pack.sums import MANIFEST, SUMS, sealed
from kitforge.release.whole_pack import WholePack, read_pack

LICENSED_TO = "LICENSED-TO.txt"
LONGEST = 40
_ORDER = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]*[A-Za-z0-9])?")


@dataclass(frozen=True, slots=True)
class Stamped:
    """A stamped zip with its SHA-256; documents: how many got the line."""

    archive: Path
    sha256: str
    documents: int


def stamp(path: Path, order: str, output: Path | None = None) -> Stamped:
    """Write the pack at `path` for the buyer of an order into the folder `output`, else beside it.

    The zip is named `<name>-<order>.zip` and unpacks to the same folder as before. The same pack, order and version of
    kitforge give the same bytes. Raises KitforgeError for an order that is none, a zip that is no whole pack or was
    stamped before, and where the zip cannot be written.
    """
    from kitforge.pack.archive import write_zip
    from kitforge.pack.targets import refuse_foreign_pack

    _require_order(order)
    if find_spec("pikepdf") is None:
        raise KitforgeError("Stamping needs one more library: python -m pip install 'kitforge[stamp]'")
    pack = read_pack(path)
    if LICENSED_TO in pack.files:
        raise KitforgeError(f"{path} was stamped before. Stamp the zip that `kitforge build` or `release` wrote.")
    files, documents = _stamped(pack, order)
    target = (output or path.parent) / f"{path.stem}-{order}.zip"
    refuse_foreign_pack(target)
    kept = [PackFile(name, data, "") for name, data in sorted(files.items())]
    return Stamped(target, write_zip(target, pack.top, kept), documents)


def _require_order(order: str) -> None:
    if len(order) > LONGEST or not _ORDER.fullmatch(order):
        raise KitforgeError(
            f"'{order[:60]}' is no order number: up to {LONGEST} letters, digits, dots, dashes and underscores, "
            "the first and the last a letter or digit."
        )


def _stamped(pack: WholePack, order: str) -> tuple[dict[str, bytes], int]:
    """Return the files of the stamped pack, and how many of them got the line."""
    from kitforge.release.stamped_pages import language_of, languages_of_page, with_line, with_line_in_page

    files = {name: data for name, data in pack.files.items() if name not in (MANIFEST, SUMS)}
    documents = 0
    for name, data in files.items():
        if name.endswith(".pdf"):
            files[name] = with_line(data, _line(order, language_of(data)), name)
        elif name.endswith(".html"):
            files[name] = with_line_in_page(
                data, {code: _line(order, code) for code in languages_of_page(data) or ("",)}
            )
        documents += files[name] is not data
    files[LICENSED_TO] = _leaf(pack.manifest, order)
    return sealed(files, {**pack.manifest, "licensed_to": order}), documents


def _line(order: str, code: str) -> str:
    with use_language(code if code in languages() else "en"):
        return say("Licensed to the buyer of order {order}", order=order)


def _leaf(manifest: Mapping[str, Any], order: str) -> bytes:
    """Return the text of the leaf, in every language of the pack."""
    kit, options = manifest.get("kit"), manifest.get("options")
    told: Mapping[str, Any] = kit if isinstance(kit, dict) else {}
    asked = options.get("languages") if isinstance(options, dict) else None
    codes = [code for code in (asked if isinstance(asked, list) else []) if code in languages()] or ["en"]
    title, version = (str(told.get(name, ""))[:200] for name in ("title", "version"))
    return "\n".join(_words(title, version, order, code) for code in codes).encode()


def _words(title: str, version: str, order: str, code: str) -> str:
    from kitforge.pack.readme import LICENCE
    from kitforge.pack.wording import paragraph

    with use_language(code):
        said = (
            say("{title}, version {version}", title=title, version=version),
            say("Licensed to the buyer of order {order}", order=order) + ".",
            say("What the licence allows is said in {file}. This copy is for that buyer; please do not pass it on.",
                file=LICENCE),
        )  # fmt: skip
        return "\n".join(map(paragraph, said)) + "\n"
