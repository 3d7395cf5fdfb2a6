"""Families of library parts: one entry for all that differ in steps, poles or curve alone.

`fuse-t-{steps}a: {steps: [1, 2, 4], rating: "{steps} A", ...}` is three parts. A name in braces of the key is a list of
the entry; every combination is a part, and the name in braces stands for its value in every text. `poles` and `curve`
are keys of the part as well, `steps` is not. `by_step` gives other keys a value for each step, in the same order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from msgspec import Struct

from wiring.plan.fault import Fault
from wiring.plan.source import Node, Place

_NAME = re.compile(r"\{(\w+)\}")
_STEPS, _BY_STEP = "steps", "by_step"
Axes = Mapping[str, Sequence[str]]


class Member(Struct, frozen=True):
    """One part of a family, or the entry itself where it is none."""

    key: str
    data: Mapping[str, Any]


def axes_in(key: str, body: str) -> Axes:
    """The lists of a family as its text gives them; empty for a single part."""
    found = {}
    for name in _NAME.findall(key):
        listed = re.search(rf"^  {name}: \[(.*)\]$", body, re.MULTILINE)
        found[name] = [item.strip() for item in listed[1].split(",")] if listed else []
    return found


def keys_of(key: str, axes: Axes) -> Iterator[str]:
    """The keys of all parts of a family; the key itself where it is none."""
    for values in _combinations(axes):
        yield _filled(key, {name: value.lower() for name, value in values.items()})


def _combinations(axes: Axes) -> Iterator[dict[str, str]]:
    for values in product(*axes.values()):
        yield dict(zip(axes, values, strict=True))


def _filled(text: str, values: Mapping[str, str]) -> str:
    return _NAME.sub(lambda name: values.get(name[1], name[0]), text)


def family(key: str, node: Node, place: Place) -> list[Member] | list[Fault]:
    """The parts of an entry, or what is wrong with it as a family."""
    names = _NAME.findall(key)
    if not names or not isinstance(node.data, dict):
        return [Member(key, node.data)]
    axes: dict[str, Sequence[str]] = {}
    for name in names:
        values = node.data.get(name)
        if not isinstance(values, list) or not values or not all(isinstance(one, str) for one in values):
            return [Fault(place, f"{key[:60]} has no list `{name}`", f"`{name}: [1, 2, 4]`, as its key names it")]
        axes[name] = values
    by_step = node.data.get(_BY_STEP, {})
    steps = list(axes.get(_STEPS, ()))
    for name, values in by_step.items() if isinstance(by_step, dict) else ():
        if not isinstance(values, list) or len(values) != len(steps):
            expected = f"a list of {len(steps)} values, one for each step"
            return [Fault(place, f"`{name}` of {key[:60]} does not go with its steps", expected)]
    return [_member(key, node.data, by_step, steps, values) for values in _combinations(axes)]


def _member(
    key: str, data: Mapping[str, Any], by_step: Mapping[str, Any], steps: Sequence[str], values: Mapping[str, str]
) -> Member:
    name = next(keys_of(key, {axis: [value] for axis, value in values.items()}))
    own = {item: value for item, value in data.items() if item not in (_STEPS, _BY_STEP)}
    own |= {axis: value for axis, value in values.items() if axis != _STEPS}
    if by_step:
        place = steps.index(values[_STEPS])
        own |= {item: listed[place] for item, listed in by_step.items()}
    return Member(name, {item: _in(value, values) for item, value in own.items()})


def _in(value: Any, values: Mapping[str, str]) -> Any:
    """A value with the names in braces filled in, at any depth."""
    if isinstance(value, str):
        return _filled(value, values)
    if isinstance(value, dict):
        return {key: _in(item, values) for key, item in value.items()}
    return [_in(item, values) for item in value] if isinstance(value, list) else value
