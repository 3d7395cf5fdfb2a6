"""Sources that share a rail: a short circuit there is fed by all of them, and a wire behind them bears their sum.

By hand, Ohm's law: a battery of 25.7 V behind 50 mohm drives 25.7 / 0.05 = 514 A into a short at its pole. A charger
that limits at 5 A adds 5 A. Conductors of 16 mm2 and 0.1 m have 0.12 mohm each (IEC 60228), well inside the 2 % asked.
"""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.design import Design

PLAN = """
parts:
  G1: {kind: charger, input: 230 V AC, output: 27.6 V DC, rated: 4 A, overload: {mode: constant-current, limit: 125 %},
       class: II}
  GB1: {kind: battery, voltage: 24 V DC, open_circuit: 25.7 V DC, internal_resistance: 50 mohm, capacity: 18 Ah,
        fuse: {rating: 20 A, class: gG, breaking: 10 kA}}
  F1: {kind: fuse, rating: 30 A, class: gG, rated_voltage: 60 V DC, breaking: 10 kA, resistance: 0.1 mohm}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 16 mm2, length: 0.1 m}
  - {wire: 2, from: GB1:+, to: F1:1, size: 16 mm2, length: 0.1 m}
  - {wire: 3, from: F1:2, to: E1:1, size: 16 mm2, length: 0.1 m}
  - {wire: 4, from: G1:V-, to: E1:2, size: 16 mm2, length: 0.1 m}
  - {wire: 5, from: GB1:-, to: E1:2, size: 16 mm2, length: 0.1 m}
"""


@pytest.fixture(scope="module")
def machine() -> Design:
    return design(PLAN)


def test_a_short_on_the_rail_counts_the_battery_though_the_charger_is_as_near(machine: Design) -> None:
    fuse_ohm = next(e.ohm for e in machine.parts["GB1"].elements if type(e).__name__ == "Pole")
    at_rail = machine.short_circuits.to_return["F1", "1"]
    assert at_rail.origin.part == "GB1"
    assert at_rail.highest.initial_a == pytest.approx(25.7 / (0.05 + fuse_ohm) + 5.0, rel=0.02)
    assert at_rail.highest.steady_state_a == at_rail.highest.initial_a
    assert at_rail.lowest.initial_a == pytest.approx(25.7 / (0.05 + fuse_ohm), rel=0.02)


def test_what_limits_the_sources_adds_up_where_they_feed_one_way(machine: Design) -> None:
    """1 and 2 bear what the far side brings, 20 A of the battery's fuse; behind F1 flow 4 A more, within its 30."""
    assert {wire: machine.protections[wire].rating_a for wire in "123"} == {"1": 20.0, "2": 20.0, "3": 24.0}
    assert machine.protections["3"].part == "G1 + GB1"


def test_a_device_that_all_sources_pass_limits_their_sum() -> None:
    smaller = design(PLAN.replace("F1: {kind: fuse, rating: 30 A", "F1: {kind: fuse, rating: 10 A"))
    assert smaller.protections["3"].part == "F1"
    assert smaller.protections["3"].rating_a == 10.0


def test_sources_apart_add_nothing() -> None:
    apart = design(
        PLAN.replace("from: G1:V+, to: F1:1", "from: G1:V+, to: E1:1").replace(
            "from: F1:2, to: E1:1", "from: F1:2, to: F1:2"
        )
    )
    assert apart.short_circuits.paths.joined == {}
