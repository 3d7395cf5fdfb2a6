"""Printed relay circuits with sequences of inputs, played in numbers; each row names its book."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from circuits import ladder
from helpers import design

from wiring.control.condition import Condition
from wiring.control.inject import Order
from wiring.control.layers import Solved
from wiring.control.numeric_simulation import ControlSimulator
from wiring.control.script import StopUse
from wiring.solver.assembly import Position
from wiring.solver.settling import operate

_TABLE = Path(__file__).parents[1] / "data/examples/relay_logic.csv"
ROWS = list(csv.DictReader(_TABLE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_the_circuit_answers_as_printed(row: dict[str, str]) -> None:
    """Whichever coil is the fastest."""
    for order in (None, *((name, "coil") for name in json.loads(row["inputs"])["rungs"])):
        assert_as_printed(row, order)


def assert_as_printed(row: dict[str, str], order: Order) -> None:
    given, expected = json.loads(row["inputs"]), json.loads(row["expected"])
    machine = design(ladder(given["rungs"]))
    running = operate(machine.lowered, Position())
    bench = ControlSimulator(running, StopUse("", 0, (), (), ()), "", (), Condition(order), Solved())
    bench.mains(on=False)
    bench.rest()
    bench.mains(on=True)
    found: dict[str, list[int]] = {name: [] for name in expected}
    for step in given["steps"]:
        bench.operated = frozenset((name, "operator") for name, value in step.items() if value)
        shot = bench.rest()
        assert shot.settled
        for name in found:
            found[name].append(int((name, "coil") in shot.point.attracted))
    assert found == expected
