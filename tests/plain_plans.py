"""Plans as plain data with every scalar as text, for tests that edit them."""

from __future__ import annotations

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
