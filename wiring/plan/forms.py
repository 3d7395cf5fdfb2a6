"""The form of a value in words, read off its JSON Schema: "NO or NC", "such as 24 V DC", "true or false"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wiring.plan.fault import listed
from wiring.plan.model import Model, once

_WORDS_MOST = 14
_PLAIN = {"boolean": "true or false", "integer": "a whole number", "number": "a plain number", "string": "text"}
_UNITS = " with its unit"


def form_words(schema: Mapping[str, Any], definitions: Mapping[str, Any]) -> str:
    """What may stand there; a mapping of known keys is told by its keys."""
    if "$ref" in schema:
        return form_words(definitions[str(schema["$ref"]).rpartition("/")[2]], definitions)
    if "const" in schema:
        return str(schema["const"])
    if "enum" in schema:
        words = list(dict.fromkeys(str(word) for word in schema["enum"]))
        return listed(words[:_WORDS_MOST]) + (" …" if len(words) > _WORDS_MOST else "")
    if choices := [one for one in schema.get("anyOf", ()) if one != {"type": "null"}]:
        return " or ".join(dict.fromkeys(form_words(one, definitions) for one in choices))
    if examples := schema.get("examples"):
        return f"such as {' or '.join(map(str, examples[:2]))}"
    return _by_type(schema, definitions)


def _by_type(schema: Mapping[str, Any], definitions: Mapping[str, Any]) -> str:
    kind = schema.get("type")
    if kind == "array":
        item: Mapping[str, Any] = schema.get("items") or next(iter(schema.get("prefixItems", ())), {})
        return f"a list of {form_words(item, definitions) if item else 'values'}"
    if kind == "object":
        return _mapping(schema, definitions)
    return _PLAIN.get(kind if isinstance(kind, str) else "string", "text")


def _mapping(schema: Mapping[str, Any], definitions: Mapping[str, Any]) -> str:
    keys: Sequence[str] = list(schema.get("properties", ()))
    if keys:
        must = [key for key in keys if key in schema.get("required", ())]
        return f"{{{', '.join(f'{key}: …' for key in (must or keys)[:6])}}}"
    values = schema.get("additionalProperties") or next(iter(schema.get("patternProperties", {}).values()), None)
    return f"{{name: {form_words(values, definitions)}}}" if isinstance(values, dict) else "{name: …}"


@once
def model_schema(model: type[Model]) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    """The schema of every key of a model by its name in a plan, and the definitions that they refer to."""
    from wiring.plan.json_schema import json_schema

    schema = json_schema(model)
    return schema.get("properties", {}), schema.get("$defs", {})
