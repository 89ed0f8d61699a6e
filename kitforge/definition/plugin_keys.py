"""The base of the keys that a plugin reads from a kit."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class KitKeys(BaseModel):
    """What a plugin is told under `plugins:` in kit.yaml: fields with types, bounds and defaults, as pydantic has them.

    Unknown keys are refused, values are not converted, and what was read does not change.
    """

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)
