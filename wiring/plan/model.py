"""Frozen models of what a person writes: keys by annotation, read by the core of pydantic.

A model is written as for pydantic. Its keys are taken from the annotations, and its validator is made, when the first
value is read: a plan pays for the kinds that it uses and for no other. Pydantic itself is asked for the JSON Schema.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from functools import cache
from inspect import get_annotations
from types import CodeType
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Self, TypeVar, cast, get_args, get_origin

from msgspec import UNSET, Struct
from msgspec.structs import replace

if TYPE_CHECKING:
    from pydantic_core import CoreSchema


T = TypeVar("T")


def once(make: Callable[[type[Any]], T]) -> Callable[[type[Any]], T]:
    """What is made of a class once, and kept; `cache` alone says the same but not to a type checker."""
    return cast("Callable[[type[Any]], T]", cache(make))


class Key(Struct, frozen=True, eq=False):
    """A key of a model: what may stand there, what it means, and what holds where it is left out."""

    default: Any = UNSET
    default_factory: Callable[[], Any] | None = None
    alias: str | None = None
    description: str | None = None
    min_length: int | None = None
    max_length: int | None = None
    annotation: Any = None
    metadata: tuple[Any, ...] = ()

    def is_required(self) -> bool:
        """Whether it must be given."""
        return self.default is UNSET and self.default_factory is None

    def get_default(self) -> Any:
        """What holds where it is left out, UNSET where it must be given."""
        return self.default_factory() if self.default_factory else self.default

    @property
    def lengths(self) -> dict[str, int]:
        """The bounds of its length, by their names in a schema."""
        bounds = {"min_length": self.min_length, "max_length": self.max_length}
        return {name: bound for name, bound in bounds.items() if bound is not None}

    def __get_pydantic_core_schema__(self, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        from wiring.plan.model_schema import bounded

        return bounded(handler(source), self.lengths)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Callable[[Any], dict[str, Any]]) -> dict[str, Any]:
        said = {"description": self.description} if self.description else {}
        return handler(schema) | said


def field(
    default: Any = UNSET,
    *,
    default_factory: Callable[[], Any] | None = None,
    alias: str | None = None,
    description: str | None = None,
    min_length: int | None = None,
    max_length: int | None = None,
) -> Any:
    """A key that has more to say than its annotation; lengths are those of its text, list or mapping."""
    return Key(default, default_factory, alias, description, min_length, max_length)


class Before(Struct, frozen=True, eq=False):
    """In `Annotated`: a function that sees a value before its type does. What it raises is the refusal."""

    read: Callable[[Any], Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_before_validator_function(self.read, handler(source))


class _Keys:
    """The keys of a model by the names of its attributes, those of its bases first."""

    def __get__(self, instance: object, owner: type[Model]) -> Mapping[str, Key]:
        return _keys(owner)


class Model:
    """A mapping that a person writes: frozen, and every key that it does not know is refused.

    Raises pydantic_core.ValidationError with all refusals at once where the data do not fit.
    """

    __slots__ = ("__dict__", "__pydantic_extra__", "__pydantic_fields_set__", "__pydantic_private__")

    #: Whether a key with an alias may be given by the name of its attribute too.
    by_name: ClassVar[bool] = False
    model_fields: ClassVar[Mapping[str, Key]] = _Keys()  # type: ignore[assignment]
    _said: ClassVar[Mapping[str, Key]] = {}

    if TYPE_CHECKING:
        __pydantic_fields_set__: set[str]

    def __init_subclass__(cls) -> None:
        """Takes what is said of keys out of the way of their values."""
        cls._said = {name: value for name, value in cls.__dict__.items() if isinstance(value, Key)}
        for name in cls._said:
            delattr(cls, name)

    def __init__(self, **data: Any) -> None:
        from wiring.plan.model_schema import validator

        validator(type(self)).validate_python(data, self_instance=self)

    @classmethod
    def model_validate(cls, data: Any) -> Self:
        """The model of a mapping; what is one already is taken as it is."""
        from wiring.plan.model_schema import validator

        made: Self = validator(cls).validate_python(data)
        return made

    @classmethod
    def before_reading(cls, data: Any) -> Any:
        """The mapping as its keys are to see it."""
        return data

    def after_reading(self) -> Self:
        """The model, or a Refusal where its keys do not go together."""
        return self

    @classmethod
    def model_construct(cls, **values: Any) -> Self:
        """A model of values that are known to be right, by the names of its attributes."""
        rest = {name: key.get_default() for name, key in cls.model_fields.items() if not key.is_required()}
        made: Self = _made(cls, rest | values, set(values))
        return made

    @property
    def model_fields_set(self) -> set[str]:
        """The attributes that were given, and are not there by default."""
        return self.__pydantic_fields_set__

    def model_copy(self, *, update: Mapping[str, Any]) -> Self:
        """The same with other values, which are known to be right."""
        made: Self = _made(type(self), {**self.__dict__, **update}, self.__pydantic_fields_set__ | update.keys())
        return made

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{name}={value!r}' for name, value in self.__dict__.items())})"

    def __reduce__(self) -> tuple[Any, ...]:
        return _made, (type(self), self.__dict__, self.__pydantic_fields_set__)

    if not TYPE_CHECKING:

        def __eq__(self, other: object) -> bool:
            return type(self) is type(other) and self.__dict__ == other.__dict__

        def __hash__(self) -> int:
            return hash((type(self), *self.__dict__.values()))

        def __setattr__(self, name: str, value: Any) -> None:
            raise AttributeError(f"{type(self).__name__} is frozen")

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], CoreSchema]) -> CoreSchema:
        from wiring.plan.json_schema import twin

        return handler(twin(cls))


def _made(model: type[Any], values: dict[str, Any], given: set[str]) -> Any:
    made = object.__new__(model)
    object.__setattr__(made, "__dict__", values)
    object.__setattr__(made, "__pydantic_fields_set__", given)
    return made


@once
def _keys(model: type[Model]) -> dict[str, Key]:
    found: dict[str, Key] = {}
    for owner in reversed(model.__mro__):
        if issubclass(owner, Model) and owner is not Model:
            found |= _own_keys(owner)
    return found


@once
def _own_keys(owner: type[Model]) -> dict[str, Key]:
    """The keys that a class itself brings; its annotations are evaluated where it stands."""
    names = vars(sys.modules[owner.__module__])
    found = {}
    for name, text in get_annotations(owner).items():
        if "ClassVar" not in str(text):
            annotation = _meant(text, names) if isinstance(text, str) else text
            found[name] = _key(annotation, owner._said.get(name) or Key(owner.__dict__.get(name, UNSET)))
    return found


def _meant(text: str, names: dict[str, Any]) -> Any:
    """What an annotation says; a name, or one that may be left out, is looked up, a tenth of the time to compile it."""
    name = text.removesuffix(" | None")
    if name not in names:
        return eval(_code(text), names)
    return names[name] if name == text else names[name] | None


@cache
def _code(text: str) -> CodeType:
    """An annotation ready to be evaluated: the same few stand at most keys."""
    return compile(text, "annotation", "eval")


def _key(annotation: Any, said: Key) -> Key:
    """The key of an annotation; a description in its outermost `Annotated` is one of the key."""
    if get_origin(annotation) is not Annotated:
        return replace(said, annotation=annotation)
    inner, *marks = get_args(annotation)
    told = next((mark.description for mark in marks if isinstance(mark, Key) and mark.description), None)
    kept = tuple(mark for mark in marks if not isinstance(mark, Key) or mark.lengths)
    return replace(said, annotation=inner, metadata=kept, description=said.description or told)
