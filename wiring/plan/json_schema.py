"""The JSON Schema of models, which pydantic writes: for each a twin of its own with the same keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, create_model
from pydantic.json_schema import models_json_schema

from wiring.plan.model import Key, Model, once


@once
def twin(model: type[Model]) -> type[BaseModel]:
    """A model of pydantic with the same name, page and keys; it is never asked to read."""
    keys: dict[str, Any] = {name: (_annotation(key), _field(key)) for name, key in model.model_fields.items()}
    config = ConfigDict(extra="forbid", populate_by_name=True) if model.by_name else ConfigDict(extra="forbid")
    page, module = model.__doc__, model.__module__
    return create_model(model.__name__, __config__=config, __doc__=page, __module__=module, **keys)


def _annotation(key: Key) -> Any:
    return Annotated[key.annotation, *key.metadata] if key.metadata else key.annotation


def _field(key: Key) -> Any:
    said: dict[str, Any] = {"alias": key.alias, "description": key.description, **key.lengths}
    if key.default_factory is not None:
        return Field(default_factory=key.default_factory, **said)
    return Field(**said) if key.is_required() else Field(key.default, **said)


def json_schema(model: type[Model]) -> dict[str, Any]:
    """The JSON Schema of one model, what it refers to under `$defs`."""
    return twin(model).model_json_schema(mode="validation")


def json_schemas(models: Sequence[type[Model]]) -> tuple[dict[type[Model], str], dict[str, Any]]:
    """The names of models among the definitions, and the definitions."""
    refs, body = models_json_schema([(twin(model), "validation") for model in models])
    names = {model: refs[twin(model), "validation"]["$ref"].removeprefix("#/$defs/") for model in models}
    return names, body["$defs"]
