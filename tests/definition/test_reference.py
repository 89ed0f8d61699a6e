"""The reference of kit.yaml and its JSON Schema stay true to the schema."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib.resources import files

import pytest
import yaml
from pydantic import BaseModel

from kitforge.definition import coupon, each, ladder, machines, needs, operations, schema, shapes, sizes, work
from kitforge.definition.json_schema import DIALECT, json_schema
from kitforge.definition.machines import MachineEntry
from kitforge.definition.reader import fields_at, read_definition
from kitforge.definition.schema import Definition
from kitforge.definition.shapes import Shape
from kitforge.workshop.own_machine import FIELDS

REFERENCE = files("kitforge.definition").joinpath("README.md").read_text(encoding="utf-8")
ENTRIES: set[type[BaseModel]] = {
    model
    for module in (coupon, each, ladder, machines, needs, operations, schema, shapes, sizes, work)
    for model in vars(module).values()
    if isinstance(model, type) and issubclass(model, BaseModel)
}


@pytest.mark.parametrize("model", sorted(ENTRIES, key=str), ids=str)
def test_every_key_is_in_the_reference(model: type[BaseModel]) -> None:
    names = [field.alias or name for name, field in model.model_fields.items()]
    missing = [name for name in names if not re.search(rf"[`{{ ]{name}[`:]", REFERENCE)]
    assert missing == []


def test_the_kit_of_the_reference_is_sound() -> None:
    text = re.findall(r"```yaml\n(.*?)```", REFERENCE, re.DOTALL)[0]
    assert read_definition(text.encode(), "kit.yaml")[2] == []


def test_the_shapes_of_the_reference_are_sound() -> None:
    section = REFERENCE.split("### Shapes")[1].split("\n## ")[0]
    examples = [yaml.safe_load(text) for text in re.findall(r"\| `(\{(?:\w+): .*\})` \|\n", section)]
    assert {Shape.model_validate(example).kind for example in examples} == set(
        fields_at(Definition, ("parts", "x", "outline"))
    ) - {
        "move",
        "name",
    }


def test_an_own_machine_has_the_fields_that_the_workshop_reads() -> None:
    assert tuple(MachineEntry.model_fields) == FIELDS


def nodes(node: object) -> Iterator[dict[str, object]]:
    """Every mapping of the schema."""
    if isinstance(node, dict):
        yield node
        node = list(node.values())
    if isinstance(node, list):
        for item in node:
            yield from nodes(item)


def test_json_schema_is_whole() -> None:
    """JSON Schema 2020-12, core section 8: every reference points to a definition, and every group is described."""
    found = json_schema()
    assert found["$schema"] == DIALECT == "https://json-schema.org/draft/2020-12/schema"
    refs = {str(node["$ref"]) for node in nodes(found) if "$ref" in node}
    assert refs == {f"#/$defs/{name}" for name in found["$defs"]}
    assert [name for name, held in found["$defs"].items() if not held.get("description")] == []
    assert [name for name, held in found["$defs"].items() if held.get("additionalProperties") is not False] == []
    assert set(found["properties"]) == set(Definition.model_fields)
    assert json.loads(json.dumps(found)) == found
    assert json_schema() == found


def test_json_schema_knows_operations_and_shapes() -> None:
    found = json_schema()
    doings = {held["properties"]["do"]["const"] for held in found["$defs"].values() if "do" in held["properties"]}
    assert doings == set(operations.OPERATION_NAMES)
    assert len(found["$defs"]["Shape"]["oneOf"]) == len(Shape.model_fields) - 2
