"""From the keys of a model to what reads it: a schema of pydantic's core, and the validator of that schema."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, partial
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic_core import CoreSchema, PydanticKnownError, SchemaValidator, core_schema

from wiring.plan.model import Key, Model, once

_PLAIN = {
    Any: core_schema.any_schema(),
    str: core_schema.str_schema(),
    int: core_schema.int_schema(),
    float: core_schema.float_schema(),
    bool: core_schema.bool_schema(),
}
#: What has a length of its own; anything else is asked for it once it is read.
_LONG = ("str", "list", "tuple", "dict")


@once
def validator(model: type[Model]) -> SchemaValidator:
    """What reads a model."""
    return SchemaValidator(schema_of(model))


@once
def schema_of(model: type[Model]) -> CoreSchema:
    """A model with its keys, and what it does before and after they are read."""
    fields = core_schema.model_fields_schema(
        {name: _field(key) for name, key in model.model_fields.items()}, model_name=model.__name__
    )
    config = core_schema.CoreConfig(extra_fields_behavior="forbid", title=model.__name__)
    if model.by_name:
        config |= core_schema.CoreConfig(validate_by_alias=True, validate_by_name=True)
    schema: CoreSchema = core_schema.model_schema(model, fields, config=config)
    if model.before_reading.__func__ is not Model.before_reading.__func__:  # type: ignore[attr-defined]
        schema = core_schema.no_info_before_validator_function(model.before_reading, schema)
    if model.after_reading is not Model.after_reading:
        schema = core_schema.no_info_after_validator_function(model.after_reading, schema)
    return schema


@cache
def _field(key: Key) -> core_schema.ModelField:
    """One key; those that many kinds inherit are made once."""
    schema = bounded(_marked(key.annotation, key.metadata), key.lengths)
    if key.default_factory is not None:
        schema = core_schema.with_default_schema(schema, default_factory=key.default_factory)
    elif not key.is_required():
        schema = core_schema.with_default_schema(schema, default=key.default)
    return core_schema.model_field(schema, validation_alias=key.alias)


def _marked(annotation: Any, marks: Sequence[Any]) -> CoreSchema:
    """An annotation with what stands behind it in `Annotated`, the last outermost."""
    if not marks:
        return _schema(annotation)
    *inner, last = marks
    schema: CoreSchema = last.__get_pydantic_core_schema__(annotation, lambda source: _marked(source, inner))
    return schema


def _schema(annotation: Any) -> CoreSchema:
    """What reads a value of an annotation.

    Raises TypeError for one that no model of this project has.
    """
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _marked(inner[0], inner[1:])
    if origin in (Union, UnionType):
        return _union(inner)
    if origin is Literal:
        return core_schema.literal_schema(list(inner))
    if origin is list:
        return core_schema.list_schema(_schema(inner[0]))
    if origin is tuple:
        return _tuple(inner)
    if origin is dict:
        return core_schema.dict_schema(_schema(inner[0]), _schema(inner[1]))
    if annotation in _PLAIN:
        return _PLAIN[annotation]
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return schema_of(annotation)
    if not hasattr(annotation, "__get_pydantic_core_schema__"):
        raise TypeError(f"no value is read as {annotation}")
    schema: CoreSchema = annotation.__get_pydantic_core_schema__(annotation, _schema)
    return schema


def _union(choices: Sequence[Any]) -> CoreSchema:
    given = [_schema(choice) for choice in choices if choice is not NoneType]
    schema = core_schema.union_schema(list(given)) if len(given) > 1 else given[0]
    return core_schema.nullable_schema(schema) if NoneType in choices else schema


def _tuple(items: Sequence[Any]) -> CoreSchema:
    if items[-1] is Ellipsis:
        return core_schema.tuple_schema([_schema(items[0])], variadic_item_index=0)
    return core_schema.tuple_schema([_schema(item) for item in items])


def bounded(schema: CoreSchema, lengths: Mapping[str, int]) -> CoreSchema:
    """The schema with bounds of a length."""
    if not lengths:
        return schema
    if schema["type"] in _LONG:
        return {**schema, **lengths}
    return core_schema.no_info_after_validator_function(partial(_long_enough, lengths["min_length"]), schema)


def _long_enough(least: int, value: Any) -> Any:
    if len(value) < least:
        context = {"field_type": "Value", "min_length": least, "actual_length": len(value)}
        raise PydanticKnownError("too_short", context)
    return value
