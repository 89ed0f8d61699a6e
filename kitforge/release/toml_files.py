"""TOML files beside a kit: read with bounds, for they may come from a stranger."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from kitforge.files.reading import read_bounded
from kitforge.model.errors import KitforgeError

_BARE = re.compile(r"[A-Za-z0-9_-]+")


class UnfitTomlError(KitforgeError):
    """A TOML file that cannot be read or is not as it must be; says which file and why."""


def read_toml(path: Path, largest: int) -> dict[str, Any] | None:
    """Return what a TOML file holds, None where there is none. Raises UnfitTomlError."""
    try:
        text = read_bounded(path, largest).decode("utf-8-sig")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise UnfitTomlError(f"{path.name} is not UTF-8 text.") from None
    except OSError as error:
        raise UnfitTomlError(f"{path.name} cannot be read: {error}.") from None
    import tomllib

    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise UnfitTomlError(f"{path.name} cannot be read: {error}.") from None


def quoted(text: str) -> str:
    """Return a text as a basic string of TOML 1.0: JSON's escapes are among TOML's, and DEL is escaped as well."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def key(text: str) -> str:
    """Return a key of TOML: bare where it can be, else quoted."""
    return text if _BARE.fullmatch(text) else quoted(text)
