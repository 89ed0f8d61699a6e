"""The JSON Schema of kit.yaml, for editors that complete and check while the author types."""

from __future__ import annotations

import re
from typing import Any

from kitforge.definition.schema import Definition

DIALECT = "https://json-schema.org/draft/2020-12/schema"
Json = dict[str, Any]


def json_schema() -> Json:
    """Return the schema of kit.yaml in JSON Schema 2020-12, with a description at every group of keys."""
    schema = _tidied(Definition.model_json_schema(mode="validation"))
    schema["$defs"]["Shape"] |= _one_of_shapes(schema["$defs"]["Shape"])
    return {"$schema": DIALECT, "title": "kit.yaml of kitforge, version 1", **schema}


def _one_of_shapes(shape: Json) -> Json:
    """Return the rule that a shape holds exactly one kind, which `move` and `name` are not."""
    names = [name for name in shape["properties"] if name not in ("move", "name")]
    return {"oneOf": [{"required": [name]} for name in names]}


def _tidied(node: Any) -> Any:  # noqa: ANN401 - a tree of JSON
    """Return the tree without titles made from field names and without null, which kit.yaml writes by leaving out."""
    if isinstance(node, list):
        return [_tidied(item) for item in node]
    if not isinstance(node, dict):
        return node
    kept = {key: _tidied(value) for key, value in node.items() if not _is_noise(key, value)}
    branches = kept.get("anyOf")
    if isinstance(branches, list):
        rest = [branch for branch in branches if branch != {"type": "null"}]
        if len(rest) == 1:
            del kept["anyOf"]
            kept = {**rest[0], **kept}
        else:
            kept["anyOf"] = rest
    if isinstance(kept.get("description"), str):
        kept["description"] = re.sub(r"\s+", " ", kept["description"])
    return kept


def _is_noise(key: str, value: object) -> bool:
    return value is None or (key == "title" and isinstance(value, str))
