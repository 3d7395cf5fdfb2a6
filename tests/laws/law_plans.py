"""What every law needs: the plans as plain data with library parts spelled out, what is said of one, a fair sample."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any, TypeVar

from plain_plans import Plan, parsed, written

from wiring.design.design import Design
from wiring.design.load import Loaded, load_text
from wiring.parts.library_index import packaged_entry

ROOT = Path(__file__).parents[2]
SPECS = sorted((ROOT / "specs").glob("*.yaml"))
FAULTY = sorted((ROOT / "specs" / "faulty").glob("*.yaml"))
#: What the library says of its own entries.
_STANDING = ("standing", "source")
Spot = tuple[str | int, ...]
T = TypeVar("T")


@cache
def _of_library(key: str) -> Plan:
    """The data of a part of the generic library, one of a family as well."""
    entry = packaged_entry(key)
    assert entry is not None, key
    return {"kind": entry.kind, **entry.data}


def spelled_out(entry: Plan) -> Plan:
    """A part of the plan with the data of the library part that it uses under its own."""
    if "use" not in entry:
        return entry
    behind = {key: value for key, value in _of_library(entry["use"]).items() if key not in _STANDING}
    own = {key: value for key, value in entry.items() if key != "use"}
    if isinstance(own.get("terminals"), dict):
        own["terminals"] = {**behind.get("terminals", {}), **own["terminals"]}
    return {**behind, **own}


def plan_of(text: str) -> Plan:
    """A plan as data with every scalar as text, its parts spelled out."""
    plan = parsed(text)
    return {**plan, "parts": {name: spelled_out(entry) for name, entry in plan["parts"].items()}}


def loaded(plan: Plan, name: str = "law") -> Loaded:
    """The design of a plan given as data, or its faults."""
    return load_text(written(plan), f"{name}.yaml", ROOT / "specs")


def read(plan: Plan, name: str = "law") -> Design:
    """The design of a plan given as data; fails with its faults."""
    result = loaded(plan, name)
    assert result.design is not None, "\n".join(str(fault) for fault in result.faults)
    return result.design


def at(plan: Plan, spot: Spot) -> Any:
    """What stands at a spot of a plan."""
    here: Any = plan
    for step in spot:
        here = here[step]
    return here


def with_value(here: Any, spot: Spot, value: Any) -> Any:
    """The data with another value at a spot; only what leads there is copied."""
    if not spot:
        return value
    step, below = spot[0], spot[1:]
    if isinstance(here, list):
        return [with_value(one, below, value) if n == step else one for n, one in enumerate(here)]
    return {**here, step: with_value(here.get(step, {}), below, value)}


def without(here: Any, spot: Spot) -> Any:
    """The data without what stands at a spot; only what leads there is copied."""
    step, below = spot[0], spot[1:]
    if isinstance(here, list):
        if below:
            return [without(one, below) if n == step else one for n, one in enumerate(here)]
        return [one for n, one in enumerate(here) if n != step]
    if below:
        return {**here, step: without(here[step], below)}
    return {key: value for key, value in here.items() if key != step}


def drawn(items: Sequence[T], text: str, most: int) -> list[T]:
    """A sample drawn by the hash of a plan's text, in the order of `items`; all of them with `WIRING_LAWS=all`."""
    if os.environ.get("WIRING_LAWS") == "all" or len(items) <= most:
        return list(items)
    chosen = Random(sha256(text.encode()).digest()).sample(range(len(items)), most)
    return [items[n] for n in sorted(chosen)]
