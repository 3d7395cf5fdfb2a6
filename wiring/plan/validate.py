"""Runs a pydantic model over a tree of values and turns every refusal into a fault at its place, in our words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import UnionType
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from msgspec.structs import replace
from pydantic_core import ValidationError

from wiring.plan.fault import Fault, listed, nearest
from wiring.plan.model import Key, Model
from wiring.plan.source import Node, Place

M = TypeVar("M", bound=Model)
Step = str | int
_QUOTED = re.compile(r"'((?:[^'\\]|\\.)*)'|\b(\d+)\b")


def validate(
    model: type[M],
    node: Node,
    faults: list[Fault],
    *,
    data: Any = None,
    behind: Sequence[Node] = (),
    known: Iterable[str] = (),
    subject: str = "",
    forms: Callable[[str], str] = lambda key: "",
) -> M | None:
    """The model read from the node, or None with its faults appended.

    `data` replaces what is read where it is not simply the node's own (a part without its `kind`, or merged with a
    library entry); `behind` are the further nodes in which to look for the place of a value; `known` are keys that
    may stand beside the model's own and are offered as nearest; `subject` names the whole in words, such as "part F4";
    `forms` says of a key how its value is written, where that is not plain from the error.
    """
    try:
        return model.model_validate(node.data if data is None else data)
    except ValidationError as error:
        refused = error.errors(include_url=False)
    nodes = (node, *behind)
    beside = tuple(known)
    found = [_with_form(_fault(model, nodes, dict(item), beside, subject), dict(item), forms) for item in refused]
    faults += {(fault.place, fault.summary): fault for fault in reversed(found)}.values()
    return None


def _walk(root: Node, path: Sequence[Step]) -> tuple[Node, tuple[Step, ...]]:
    """The deepest value on the path and the steps that led to it; names of union members are passed over."""
    node, taken = root, list[Step]()
    for step in path:
        below = node.child(step)
        if below is None:
            if isinstance(step, str) and step.endswith("]"):
                continue
            break
        node = below
        taken.append(step)
    return node, tuple(taken)


def _deepest(nodes: Sequence[Node], path: Sequence[Step]) -> tuple[Node, tuple[Step, ...]]:
    """The same over several trees: the one that has most of the path, the first among equals."""
    return max((_walk(root, path) for root in nodes), key=lambda found: len(found[1]))


def _key_place(nodes: Sequence[Node], path: Sequence[Step]) -> Place:
    """The place of the key at the end of the path, or of the value above it."""
    above, _ = _deepest(nodes, path[:-1])
    key = str(path[-1])
    return above.key_place(key) if key in above.keys else above.place


def _owner_place(nodes: Sequence[Node], path: Sequence[Step]) -> Place:
    """The place that stands for a mapping as a whole: its key where it has one, else its beginning."""
    if path and isinstance(path[-1], str):
        return _key_place(nodes, path)
    return _deepest(nodes, path)[0].place


def _models_in(annotation: Any) -> Iterable[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _models_in(get_args(annotation)[0])
    elif origin in (Union, UnionType):
        for choice in get_args(annotation):
            yield from _models_in(choice)


def _step_into(annotation: Any, step: Step) -> Any:
    """The annotation of what stands at that key or index, None where it cannot be told."""
    origin = get_origin(annotation)
    arguments = get_args(annotation)
    if origin is Annotated:
        return _step_into(arguments[0], step)
    if origin in (Union, UnionType):
        return next((found for choice in arguments if (found := _step_into(choice, step)) is not None), None)
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return next((field.annotation for name, field in _fields(annotation) if name == step), None)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return arguments[1]
    if origin in (list, tuple) and isinstance(step, int):
        return arguments[0] if origin is list or arguments[-1] is ... else arguments[min(step, len(arguments) - 1)]
    return None


def _fields(model: type[Model]) -> list[tuple[str, Key]]:
    return [(field.alias or name, field) for name, field in model.model_fields.items()]


def known_keys(model: type[Model], path: Sequence[Step]) -> list[str]:
    """The keys that the mapping at the path may have, as they are written; empty where it has free keys."""
    annotation: Any = model
    for step in path:
        annotation = _step_into(annotation, step)
    return [name for found in _models_in(annotation) for name, _ in _fields(found)]


def _named(path: Sequence[Step], whole: str = "") -> str:
    """The last key of a path in words, with the number of the item behind it; `whole` where there is no key."""
    keys = [str(step) for step in path if isinstance(step, str) and not step.endswith("]")]
    numbers = [step for step in path[-1:] if isinstance(step, int)]
    word = f"`{keys[-1]}`" if keys else whole
    return f"item {numbers[0] + 1} of {word}" if numbers else word


def _fault(
    model: type[Model], nodes: Sequence[Node], error: dict[str, Any], beside: tuple[str, ...], subject: str
) -> Fault:
    path: tuple[Step, ...] = tuple(error["loc"])
    if error["type"] == "extra_forbidden":
        return _unknown_key(model, nodes, path, beside)
    if error["type"] == "missing":
        return _missing(nodes, path, subject or ("this" if beside else "the file"))
    if path and path[-1] == "[key]":
        return _refused(_key_place(nodes, path[:-1]), "this key", error)
    node, found = _deepest(nodes, path)
    if node.data is None and found:
        return Fault(_owner_place(nodes, found), f"{_named(found)} has no value", _expected(error))
    return _refused(node.place, _named(found or path, subject or "the plan"), error, node.data)


def _with_form(fault: Fault, error: dict[str, Any], forms: Callable[[str], str]) -> Fault:
    """The fault with the form of its key where a value of another shape was expected, or one was left out."""
    path = error["loc"]
    shaped = error["type"] in _SIMPLY_EXPECTED or error["type"] == "missing" or fault.expected in ("", _OTHER)
    form = forms(str(path[0])) if path and shaped else ""
    if not form:
        return fault
    return replace(
        fault,
        expected=f"`{path[0]}: …`, {form}" if len(path) == 1 else f"{fault.expected}; `{path[0]}` is written {form}",
    )


def _missing(nodes: Sequence[Node], path: tuple[Step, ...], whole: str) -> Fault:
    place, name = _owner_place(nodes, path[:-1]), _named(path[:-1], whole)
    if isinstance(path[-1], int):
        return Fault(place, f"{name} has too few items", f"at least {path[-1] + 1} of them")
    return Fault(place, f"{name} has no `{path[-1]}`", f"`{path[-1]}: ...`")


def _unknown_key(model: type[Model], nodes: Sequence[Node], path: tuple[Step, ...], beside: tuple[str, ...]) -> Fault:
    keys = sorted({*known_keys(model, path[:-1]), *(beside if len(path) == 1 else ())})
    word = str(path[-1])
    summary = f"{word[:60]!r} is not a key here"
    return Fault(_key_place(nodes, path), summary, f"one of {', '.join(keys)}", "", nearest(word, keys))


def _choices(error: dict[str, Any]) -> list[str]:
    return [first or second for first, second in _QUOTED.findall(error.get("ctx", {}).get("expected", ""))]


_OTHER = "another value"
_LIST, _MAPPING, _WHOLE_NUMBER = "a list, such as [a, b]", "a mapping, such as {key: value}", "a whole number"
_SIMPLY_EXPECTED = {
    "string_type": "a text",
    "string_too_short": "a text that is not empty",
    "list_type": _LIST,
    "tuple_type": _LIST,
    "dict_type": _MAPPING,
    "mapping_type": _MAPPING,
    "model_type": _MAPPING,
    "model_attributes_type": _MAPPING,
    "int_type": _WHOLE_NUMBER,
    "int_parsing": _WHOLE_NUMBER,
    "int_from_float": _WHOLE_NUMBER,
    "int_parsing_size": f"{_WHOLE_NUMBER} of sensible size",
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a finite number",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
}
_BOUNDS = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}


def _expected(error: dict[str, Any]) -> str:
    """What could stand there, in words."""
    kind, context = error["type"], error.get("ctx", {})
    if "error" in context:
        return getattr(context["error"], "expected", "")
    if kind in ("literal_error", "enum"):
        return listed(_choices(error))
    if kind == "too_short":
        return f"at least {context['min_length']} of them"
    if kind == "too_long":
        return f"at most {context['max_length']} of them"
    bounds = [f"{words} {context[key]}" for key, words in _BOUNDS.items() if key in context]
    return bounds[0] if bounds else _SIMPLY_EXPECTED.get(kind, _OTHER)


def _refused(place: Place, name: str, error: dict[str, Any], written: Any = None) -> Fault:
    """The fault for a value that is there and cannot stay."""
    expected, cause = _expected(error), error.get("ctx", {}).get("error")
    if cause is not None:
        problem = getattr(cause, "problem", None) or str(cause)
        summary = problem if getattr(cause, "complete", False) else f"{name}: {problem}"
        return Fault(place, summary, expected, getattr(cause, "mend", ""), getattr(cause, "near", ()))
    given = error.get("input") if written is None else written
    if given == "":
        return Fault(place, f"{name} is empty", "a text that says something")
    if isinstance(given, str):
        near = nearest(given, _choices(error)) if error["type"] in ("literal_error", "enum") else ()
        return Fault(place, f"{name}: {given[:60]!r} cannot stand here", expected, "", near)
    if error["type"] in ("too_short", "too_long") and isinstance(given, list):
        return Fault(place, f"{name} has {len(given)} items", expected)
    what = "a list" if isinstance(given, list | tuple) else "a mapping" if isinstance(given, dict) else "a value"
    return Fault(place, f"{name}: {what} cannot stand here", expected)
