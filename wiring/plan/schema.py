"""JSON Schema of the plan file, for editors. It takes a plan as a YAML 1.2 reader loads it, numbers as numbers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wiring.plan.json_schema import json_schemas
from wiring.plan.model import Model
from wiring.plan.models import PlanFile

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_LIST_PATH = {
    "type": "string",
    "pattern": r"\.(csv|tsv|txt|xlsx)$",
    "description": "path of a list with the same columns",
}
_PART_BY_USE = {
    "type": "object",
    "description": "a part of the library, with the data that differ",
    "required": ["use"],
    "properties": {"use": {"type": "string"}, "kind": False},
}


def plan_schema(
    kinds: Mapping[str, type[Model]] | None = None, texts: Callable[[str, str], str] = lambda kind, key: ""
) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a whole plan; `kinds` are the models of the data of each kind of part.

    `texts` gives what a key of a kind means, for those whose field does not say so. Without kinds the data of a part
    stay open.
    """
    kinds = kinds or {}
    models: list[type[Model]] = [PlanFile, *kinds.values()]
    name_of, definitions = json_schemas(list(dict.fromkeys(models)))
    plan = definitions.pop(name_of[PlanFile])
    for section in ("wires", "cables"):
        plan["properties"][section] = {"anyOf": [plan["properties"][section], _LIST_PATH]}
    _allow_state_words(plan, definitions)
    definitions.pop("PartEntry")
    by_kind = [_part_of_kind(kind, definitions[name_of[model]], texts) for kind, model in sorted(kinds.items())]
    _set_free_keys(plan["properties"]["parts"], {"oneOf": [_PART_BY_USE, *(by_kind or [_any_kind()])]})
    schema = {"$schema": DIALECT, **plan, "title": "Wiring plan of a machine", "$defs": definitions}
    relaxed: dict[str, Any] = as_loaded(schema)
    return relaxed


def _free_keys(mapping: Mapping[str, Any]) -> dict[str, Any]:
    """The schema of the values of a mapping whose keys are names."""
    found: dict[str, Any] = next(iter(mapping["patternProperties"].values()))
    return found


def _set_free_keys(mapping: dict[str, Any], values: dict[str, Any]) -> None:
    mapping["patternProperties"] = dict.fromkeys(mapping["patternProperties"], values)


def _allow_state_words(plan: dict[str, Any], definitions: Mapping[str, Any]) -> None:
    words = next(choice for choice in definitions["StateEntry"]["properties"]["mode"]["anyOf"] if "enum" in choice)
    state = _free_keys(plan["properties"]["states"])
    _set_free_keys(state, {"anyOf": [words, {"$ref": "#/$defs/StateEntry"}]})


def _part_of_kind(kind: str, data: Mapping[str, Any], texts: Callable[[str, str], str]) -> dict[str, Any]:
    told = {key: _told(entry, texts(kind, key)) for key, entry in data.get("properties", {}).items()}
    properties = {"kind": {"const": kind}, **told}
    return {**data, "properties": properties, "required": ["kind", *data.get("required", ())]}


def _told(entry: dict[str, Any], text: str) -> dict[str, Any]:
    """A key with what it means in front of what may stand there."""
    form = entry.get("description", "")
    if not text or form.startswith(text):
        return entry
    return entry | {"description": f"{text}: {form}" if form else text}


def _any_kind() -> dict[str, Any]:
    return {"type": "object", "required": ["kind"], "properties": {"kind": {"type": "string"}, "use": False}}


def as_loaded(schema: Any) -> Any:
    """The schema for values as a YAML 1.2 reader gives them: a text of digits is a number there."""
    if isinstance(schema, list):
        return [as_loaded(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    out = {key: as_loaded(item) for key, item in schema.items() if (key, item) != ("default", None)}
    if "patternProperties" in out:
        out["additionalProperties"] = False
    if isinstance(out.get("anyOf"), list):
        out = _without_null(out)
    if out.get("type") == "string" and not out.keys() & {"pattern", "enum", "const", "examples"}:
        out["type"] = ["string", "number"]
    if isinstance(out.get("enum"), list):
        out = _with_numbers(out)
    return out


def _without_null(schema: dict[str, Any]) -> dict[str, Any]:
    choices = [choice for choice in schema["anyOf"] if choice != {"type": "null"}]
    rest = {key: item for key, item in schema.items() if key != "anyOf"}
    return {**choices[0], **rest} if len(choices) == 1 else {**rest, "anyOf": choices}


def _with_numbers(schema: dict[str, Any]) -> dict[str, Any]:
    numbers = [int(word) for word in schema["enum"] if isinstance(word, str) and word.isdecimal()]
    if not numbers:
        return schema
    return {key: item for key, item in schema.items() if key != "type"} | {"enum": [*schema["enum"], *numbers]}
