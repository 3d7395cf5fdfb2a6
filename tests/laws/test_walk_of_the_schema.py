"""The laws see everything that a plan says: the walk beside the schema leaves no value out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from law_keys import keys_of
from law_plans import FAULTY, SPECS, Spot, at, drawn, plan_of, with_value, without

from wiring.plan.models import PlanFile


def _values(here: Any, spot: Spot = ()) -> Iterator[Spot]:
    """Where every value stands that holds no other."""
    inner = here.items() if isinstance(here, dict) else enumerate(here) if isinstance(here, list) else None
    if inner is None:
        yield spot
    else:
        for step, one in inner:
            yield from _values(one, (*spot, step))


@pytest.mark.parametrize("path", [*SPECS, *FAULTY], ids=lambda path: path.stem)
def test_every_value_stands_behind_a_key_of_the_schema(path: Path) -> None:
    plan = plan_of(path.read_text("utf-8"))
    spots = {key.spot for key in keys_of(plan) if key.model is not PlanFile or not isinstance(key.value, dict | list)}
    left = [spot for spot in _values(plan) if not any(spot[:n] in spots for n in range(1, len(spot) + 1))]
    assert [spot for spot in left if not _is_a_word(spot)] == []


def _is_a_word(spot: Spot) -> bool:
    """The kind of a part, and the word of a state that says no more."""
    return (spot[0] == "parts" and spot[2:] == ("kind",)) or (spot[0] == "states" and len(spot) == 3)


def test_data_with_a_change_shares_the_rest() -> None:
    plan: Any = {"parts": {"F1": {"rating": "6 A"}, "F2": {}}, "wires": [{"wire": "1"}, {"wire": "2", "size": "1 mm2"}]}
    assert at(with_value(plan, ("parts", "F1", "rating"), "4 A"), ("parts", "F1", "rating")) == "4 A"
    assert without(plan, ("wires", 1, "size"))["wires"] == [{"wire": "1"}, {"wire": "2"}]
    assert without(plan, ("wires", 0))["wires"] == plan["wires"][1:]
    assert plan["parts"]["F1"] == {"rating": "6 A"}
    assert without(plan, ("parts", "F1"))["parts"]["F2"] is plan["parts"]["F2"]


def test_the_sample_follows_the_text(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WIRING_LAWS", raising=False)
    items = list(range(1000))
    assert drawn(items, "one plan", 20) == drawn(items, "one plan", 20) != drawn(items, "another", 20)
    monkeypatch.setenv("WIRING_LAWS", "all")
    assert drawn(items, "one plan", 20) == items
