"""JSON Schema of a description, for editors."""

from __future__ import annotations

from typing import Any

from wiring.describe.description import Description
from wiring.plan.json_schema import json_schema
from wiring.plan.schema import DIALECT, as_loaded


def description_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a description as a YAML 1.2 reader loads it."""
    schema = {"$schema": DIALECT, **json_schema(Description), "title": "Description of a machine"}
    found: dict[str, Any] = as_loaded(schema)
    return found
