"""`kitforge schema`: prints the JSON Schema of kit.yaml, for editors that complete and check while you type."""

from __future__ import annotations

import argparse
import json
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pydantic import BaseModel

    from kitforge.cli.common import Subparsers

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def add_to(subparsers: Subparsers) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser("schema", help="print the JSON Schema of kit.yaml", description=__doc__)
    parser.set_defaults(run=run)


def run(_chosen: argparse.Namespace) -> int:
    """Print the schema, with the keys of the installed plugins; return the exit code."""
    from kitforge.cli.codes import FINE
    from kitforge.cli.lines import echo_text
    from kitforge.plugins import load_plugins

    echo_text(schema_text(*load_plugins().keys().items()))
    return FINE


@cache
def schema_text(*plugin_keys: tuple[str, type[BaseModel]]) -> str:
    """Return the JSON Schema (2020-12) of kit.yaml as text; plugin_keys: plugins by name, and what each reads."""
    from kitforge.definition.schema import Definition

    schema = {"$schema": _DIALECT, **Definition.model_json_schema(), "title": "kit.yaml, version 1"}
    of_plugins = {name: keys.model_json_schema() for name, keys in plugin_keys}
    if of_plugins:
        schema["properties"]["plugins"] |= {"properties": of_plugins, "additionalProperties": False}
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
