"""Which rules ask for which key of a part when it is left out, from `wiring/rules/keys_asked.csv`.

The table was worked out by leaving out each key of the specs, one at a time; a key that no spec gives is not in it.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def _table() -> Mapping[tuple[str, str], tuple[str, ...]]:
    text = (files("wiring.rules") / "keys_asked.csv").read_text(encoding="utf-8")
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in csv.DictReader(text.splitlines()):
        key = row["kind"], row["key"]
        found[key] = (*found.get(key, ()), row["rule"])
    return found


def rules_that_ask(kind: str, key: str) -> tuple[str, ...]:
    """The rules that cannot judge a part of a kind for want of a key, in order; none where no rule needs it."""
    return _table().get((kind, key), ())
