"""The values of the nameplate against sums by hand and the default ratings of UL 508A."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import spec_design
from tests.helpers import design
from wiring.design.device.nameplate import full_load_current, largest_load, short_circuit_rating
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table

PLAN = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
states:
  heating: {{E1: on, M1: off}}
  all: {{E1: on, M1: {{power: 100 W}}}}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  Q1: {{kind: breaker, rating: 16 A, curve: C{breaking}}}
  K1: {{kind: disconnector{stands}}}
  E1: {{kind: heater, rated: 230 V AC 1150 W}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 550 W{current}, power_factor: 0.8}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1, size: 2.5 mm2}}
  - {{wire: 2, from: Q1:2, to: K1:1, size: 2.5 mm2}}
  - {{wire: 3, from: K1:2, to: E1:1, size: 2.5 mm2}}
  - {{wire: 4, from: K1:2, to: M1:{line}, size: 2.5 mm2}}
  - {{wire: 5, from: X0:N, to: E1:2, size: 2.5 mm2}}
  - {{wire: 6, from: X0:N, to: M1:{back}, size: 2.5 mm2}}
  - {{wire: 7, from: X0:PE, to: M1:PE, size: 2.5 mm2}}
"""


def plan(breaking: str = ", breaking: 6 kA", stands: str = "", current: str = ", rated_current: 4 A") -> str:
    return PLAN.format(breaking=breaking, stands=stands, current=current, line="U1", back="U2")


def test_a_motor_counts_with_its_full_load_current_however_little_a_state_asks() -> None:
    """1150 W / 230 V = 5 A and 4 A at cos phi 0.8: |5 + 3.2 - j 2.4| = 8.54 A as phasors, 9 A as a plain sum."""
    found = full_load_current(design(plan()))
    assert found is not None
    assert (found.state, found.motors) == ("all", ())
    assert 0.99 * 8.54 <= found.amps <= 9.0


def test_a_motor_without_a_current_is_not_judged() -> None:
    rows = {row[0]: row[1:] for row in list_table(design(plan(current="")), ListName.NAMEPLATE).rows}
    assert rows["full-load current"][0] is None
    assert "not judged" in str(rows["full-load current"][1])
    assert "M1" in str(rows["full-load current"][1])


def test_the_largest_load_is_that_of_the_most_power() -> None:
    found = largest_load(design(plan()))
    assert found is not None
    assert (found.part, found.power_w, found.amps) == ("E1", 1150.0, pytest.approx(5.0))


def test_a_machine_of_steppers_alone_says_that_its_largest_load_is_not_judged() -> None:
    rows = {row[0]: row[1:] for row in list_table(spec_design("coil-winder"), ListName.NAMEPLATE).rows}
    value, why = rows["largest motor or load"]
    assert value is None
    assert "not judged" in str(why)


def test_the_weakest_part_on_the_mains_makes_the_rating() -> None:
    """Marked: the least of 6 kA broken and what the switch stands. Unmarked under IEC: not judged."""
    both = short_circuit_rating(design(plan(stands=", short_circuit_rating: 3 kA")))
    assert (both.amps, both.part, both.unknown) == (3000.0, "K1", ())
    breaker = short_circuit_rating(design(plan(stands=", short_circuit_rating: 10 kA")))
    assert (breaker.amps, breaker.part) == (6000.0, "Q1")
    unmarked = design(plan())
    assert short_circuit_rating(unmarked).unknown == ("K1",)
    rows = {row[0]: row[1:] for row in list_table(unmarked, ListName.NAMEPLATE).rows}
    assert rows["short-circuit rating"][0] is None
    assert "of K1" in str(rows["short-circuit rating"][1])


def test_north_america_has_a_default_by_kind() -> None:
    """UL 508A, table SB4.1: 5 kA for a motor controller up to 50 hp and for a drive (from memory)."""
    found = short_circuit_rating(spec_design("glue-robot"))
    assert (found.amps, found.unknown) == (5000.0, ())


def test_an_overload_relay_is_asked_what_it_stands_and_not_what_it_breaks() -> None:
    """UL 508A, table SB4.1: 5 kA for an overload relay (from memory); under IEC its marking is missing."""
    relay = plan().replace("kind: disconnector", "kind: motor-protector, poles: 1, setting: 4 A, magnetic: false")
    assert short_circuit_rating(design(relay)).unknown == ("K1",)
    found = short_circuit_rating(design(relay, "na"))
    assert (found.amps, found.part, found.unknown) == (5000.0, "K1", ())


def test_a_plan_without_mains_says_what_it_lacks() -> None:
    table = list_table(design("parts:\n  X1: {kind: terminals, points: 2}\n"), ListName.NAMEPLATE)
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["supply"] == (None, "the plan has no `mains`")
    assert rows["full-load current"][0] is None
    assert "short-circuit rating" not in rows
