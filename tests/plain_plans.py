"""Plans as plain data with every scalar as text, for tests that edit them."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import yaml

Plan = dict[str, Any]


#: In C the same is read and written many times as fast, where the package was built with it.
_Fastest: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
_FastestLoader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class _Dumper(_Fastest):  # type: ignore[misc]
    """Writes every scalar as it stood: `NO`, `off` and `1` stay words."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


_Dumper.yaml_implicit_resolvers = {}


def parsed(text: str) -> Plan:
    """A plan with every scalar as text."""
    return dict(yaml.load(text, Loader=_FastestLoader))


def written(plan: Plan) -> str:
    """The text of a plan."""
    return str(yaml.dump(plan, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=10**6))


#: The key by which the entries of a list are called.
_NAMES = {"wires": "wire", "cables": "cable"}


def _step(here: Any, key: str, above: str) -> Any:
    return next(entry for entry in here if entry[_NAMES[above]] == key) if isinstance(here, list) else here[key]


def _holder(plan: Plan, way: list[str]) -> tuple[Any, str, str]:
    """What holds the value at the end of a way, its key there, and the name of the list or mapping."""
    *steps, last = way
    here: Any = plan
    above = ""
    for key in steps:
        if isinstance(here, dict) and key not in here:
            here[key] = {}
        here = _step(here, key, above)
        above = key
    return here, last, above


def with_edits(plan: Plan, case: Plan, mark: str = "/") -> Plan:
    """The plan, changed: what a case sets, then what it drops, then what it adds; `mark` parts the steps of a way."""
    for place, value in deepcopy(case.get("set", {})).items():
        here, last, _ = _holder(plan, place.split(mark))
        here[last] = value
    for place in case.get("drop", ()):
        here, last, above = _holder(plan, place.split(mark))
        if isinstance(here, list):
            here.remove(_step(here, last, above))
        else:
            del here[last]
    for key, more in case.get("add", {}).items():
        plan[key] = [*plan[key], *more] if isinstance(more, list) else {**plan[key], **more}
    return plan
