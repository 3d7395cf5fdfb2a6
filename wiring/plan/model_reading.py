"""From the keys of a model to what reads it: a function for each annotation, made once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from functools import cache, partial
from itertools import repeat
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from msgspec import Struct
from msgspec.structs import replace

from wiring.plan.model import Key, Model, Reader, made, once

Path = tuple[str | int, ...]
_WHOLE = re.compile(r"[+-]?\d+(?:\.0*)?")


class Refused(Struct, frozen=True):
    """Why a value, of the data or at a path in them, cannot stay: `kind` names what was expected, `bound` a length, and
    `choices` what may stand there; `error` is what its reader raised. To a key that is refused itself leads "[key]".
    """

    kind: str
    given: Any
    path: Path = ()
    choices: tuple[Any, ...] = ()
    bound: int = 0
    error: Exception | None = None


class ModelError(ValueError):
    """All that is refused of some data."""

    def __init__(self, refused: Sequence[Refused]) -> None:
        super().__init__("; ".join(f"{'.'.join(map(str, one.path))}: {one.error or one.kind}" for one in refused))
        self.refused = refused


def refusals(error: ValueError, given: Any) -> Sequence[Refused]:
    """What an error of a reader refuses."""
    return error.refused if isinstance(error, ModelError) else (Refused("value_error", given, error=error),)


def _refuse(kind: str, given: Any, choices: tuple[Any, ...] = ()) -> ModelError:
    return ModelError([Refused(kind, given, (), choices)])


def _below(error: ValueError, given: Any, *steps: str | int) -> Iterator[Refused]:
    """What an error refuses of a value to which some steps lead."""
    return (replace(one, path=(*steps, *one.path)) for one in refusals(error, given))


class _KeyReaders(Struct, frozen=True):
    """How the keys of a model are read, by the names under which they are written: each its attribute and its reader.

    `values` holds what stands where nothing is given, attribute by attribute, and `factories` what makes it afresh;
    `required` are the keys that must be given, by attribute as they are written.
    """

    by_written: Mapping[str, tuple[str, Reader]]
    values: dict[str, Any]
    factories: Mapping[str, Callable[[], Any]]
    required: Mapping[str, str]


_UNKNOWN: tuple[str, Reader | None] = "", None


def read_model(model: type[Model], data: Any) -> Any:
    """The model of a mapping; one that is read already is taken as it is.

    Raises ModelError with all refusals.
    """
    try:
        return reader(model)(data)
    except ValueError as error:
        raise ModelError(refusals(error, data)) from None


@once
def _model_reader(model: type[Model]) -> Reader:
    before, after = model.before_reading, model.after_reading is not Model.after_reading

    def read(data: Any) -> Any:
        data = before(data)
        if isinstance(data, model):
            return data
        found = made(model, *key_values(model, data))
        return found.after_reading() if after else found

    return read


def key_values(model: type[Model], data: Any) -> tuple[dict[str, Any], set[str]]:
    """The values of a model's keys by attribute, and the attributes that are given.

    Raises ModelError with all refusals.
    """
    if not isinstance(data, dict):
        raise _refuse("model_type", data)
    keys, refused, given = _key_readers(model), list[Refused](), set[str]()
    values = keys.values.copy()
    for written, value in data.items():
        name, read = keys.by_written.get(written, _UNKNOWN)
        if read is None or name in given:
            refused.append(Refused("extra_forbidden", value, (written,)))
            continue
        given.add(name)
        try:
            values[name] = read(value)
        except ValueError as error:
            refused += _below(error, value, written)
    for name in keys.factories.keys() - given:
        values[name] = keys.factories[name]()
    if not given.issuperset(keys.required):
        refused += [Refused("missing", data, (key,)) for name, key in keys.required.items() if name not in given]
    if refused:
        raise ModelError(refused)
    return values, given


@once
def _key_readers(model: type[Model]) -> _KeyReaders:
    by_written, values, factories, required = {}, {}, {}, {}
    for name, key in model.model_fields.items():
        for written in {key.alias or name, *((name,) if model.by_name else ())}:
            by_written[written] = name, _key_read(key)
        values[name] = key.default
        if key.default_factory is not None:
            factories[name] = key.default_factory
        elif key.is_required():
            required[name] = key.alias or name
        elif isinstance(key.default, list | dict):  # what can change is nobody else's
            factories[name] = partial(deepcopy, key.default)
    return _KeyReaders(by_written, values, factories, required)


@cache  # kinds share many keys
def _key_read(key: Key) -> Reader:
    return _bounded(_marked(key.annotation, key.metadata), key)


def _marked(annotation: Any, marks: Sequence[Any]) -> Reader:
    """An annotation with what stands behind it in `Annotated`, the last outermost."""
    if not marks:
        return reader(annotation)
    *inner, last = marks
    if isinstance(last, Key):
        return _bounded(_marked(annotation, inner), last)
    read: Reader = last.reader(lambda: _marked(annotation, inner))
    return read


def _bounded(read: Reader, key: Key) -> Reader:
    """What is read, within the bounds of its length."""
    least, most = key.min_length or 0, key.max_length
    if not least and most is None:
        return read

    def within(value: Any) -> Any:
        if most is not None and isinstance(value, dict | list | tuple) and len(value) > most:
            raise ModelError([Refused("too_long", value, bound=most)])
        found = read(value)
        if found is not None and len(found) < least:
            kind = "string_too_short" if isinstance(found, str) else "too_short"
            raise ModelError([Refused(kind, value, bound=least)])
        return found

    return within


def reader(annotation: Any) -> Reader:
    """What reads a value of an annotation.

    Raises TypeError for one that no model of this project has.
    """
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _marked(inner[0], inner[1:])
    if origin in (Union, UnionType):
        return _union(inner)
    if origin is Literal:
        return _literal(inner)
    if origin is dict:
        return _mapping(reader(inner[0]), reader(inner[1]))
    if origin is list:
        return _items("list_type", list, reader(inner[0]))
    if origin is tuple and inner[-1] is Ellipsis:
        return _items("tuple_type", tuple, reader(inner[0]))
    if origin is tuple:
        return _row([reader(item) for item in inner])
    if annotation in _PLAIN:
        return _PLAIN[annotation]
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return _model_reader(annotation)
    if hasattr(annotation, "from_plan"):
        read: Reader = annotation.from_plan
        return read
    raise TypeError(f"no value is read as {annotation}")


def _union(choices: Sequence[Any]) -> Reader:
    """The first of the choices that takes a value; where none does, what each of them says."""
    reads = [reader(choice) for choice in choices if choice is not NoneType]
    read = reads[0] if len(reads) == 1 else _first_of(reads)
    return (lambda value: None if value is None else read(value)) if NoneType in choices else read


def _first_of(reads: Sequence[Reader]) -> Reader:
    def first(value: Any) -> Any:
        refused = list[Refused]()
        for read in reads:
            try:
                return read(value)
            except ValueError as error:
                refused += refusals(error, value)
        raise ModelError(refused)

    return first


def _literal(words: tuple[Any, ...]) -> Reader:
    def literal(value: Any) -> Any:
        for word in words:
            if value == word and type(value) is type(word):
                return word
        raise _refuse("literal_error", value, words)

    return literal


def _mapping(key_read: Reader, read: Reader) -> Reader:
    def mapping(value: Any) -> Any:
        if not isinstance(value, dict):
            raise _refuse("dict_type", value)
        refused, found = list[Refused](), {}
        for key, one in value.items():
            name = None
            try:
                name = key_read(key)
            except ValueError as error:
                refused += _below(error, key, key, "[key]")
            try:
                found[name] = read(one)
            except ValueError as error:
                refused += _below(error, one, key)
        if refused:
            raise ModelError(refused)
        return found

    return mapping


def _each(value: Sequence[Any], reads: Iterable[Reader], count: int = 0) -> list[Any]:
    """The items of a value, each by its reader, at least `count` of them."""
    refused, found = list[Refused](), []
    for n, (one, read) in enumerate(zip(value, reads, strict=False)):
        try:
            found.append(read(one))
        except ValueError as error:
            refused += _below(error, one, n)
    refused += [Refused("missing", value, (n,)) for n in range(len(value), count)]
    if refused:
        raise ModelError(refused)
    return found


def _items(kind: str, make: Callable[[list[Any]], Any], read: Reader) -> Reader:
    def items(value: Any) -> Any:
        if not isinstance(value, list | tuple):
            raise _refuse(kind, value)
        return make(_each(value, repeat(read)))

    return items


def _row(reads: Sequence[Reader]) -> Reader:
    """A tuple with a reader for each place."""

    def row(value: Any) -> Any:
        if not isinstance(value, list | tuple):
            raise _refuse("tuple_type", value)
        if len(value) > len(reads):
            raise ModelError([Refused("too_long", value, bound=len(reads))])
        return tuple(_each(value, reads, len(reads)))

    return row


def _text(value: Any) -> str:
    if isinstance(value, str):
        return value
    raise _refuse("string_type", value)


def _whole(value: Any) -> int:
    if isinstance(value, int):
        return int(value)
    if not isinstance(value, str):
        raise _refuse("int_type", value)
    if not _WHOLE.fullmatch(value.strip()) or len(value) > 100:
        raise _refuse("int_parsing", value)
    return int(value.strip().partition(".")[0])


def _number(value: Any) -> float:
    if not isinstance(value, int | float | str):
        raise _refuse("float_type", value)
    try:
        return float(value)
    except ValueError:
        raise _refuse("float_parsing", value) from None


_PLAIN: dict[Any, Reader] = {Any: lambda value: value, str: _text, int: _whole, float: _number}
