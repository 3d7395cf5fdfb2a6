"""A motor takes its starting current, some six times the rated one (IEC 60034-12, from memory), each time that it is
switched on: pulses of a second give it nothing else. Truth table by hand: what turns hangs behind the pulsed switch, or
not."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.findings import Finding

SLUG = "motor-fed-by-pulses"
TURNS = {
    "motor": ("M1: {kind: motor, voltage: 230 V AC, phases: 1, rated_power: 90 W, metal: false}", ("M1:U1", "M1:U2")),
    "fan": ("M1: {kind: fan, rated: 230 V AC 30 W, metal: false}", ("M1:L", "M1:N")),
    "pump": ("M1: {kind: pump, rated: 230 V AC 90 W, metal: false}", ("M1:L", "M1:N")),
    "heater": ("M1: {kind: heater, rated: 230 V AC 90 W, metal: false}", ("M1:1", "M1:2")),
}


def told(turns: str, feed: str, pulses: str = "N1:P+>V1:A1", outputs: str = "P+-P-: pulse 12 V") -> list[Finding]:
    part, (line, neutral) = TURNS[turns]
    ends = ["X0:L>N1:L", "X0:N>N1:N", "X0:L>V1:1", "N1:P->V1:A2", *pulses.split(), f"{feed}>{line}", f"X0:N>{neutral}"]
    wires = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return fired(
        SLUG,
        design(
            "mains: {inlet: X0, system: single-phase, voltage: 230 V}\nparts:\n  X0: {kind: inlet}\n"
            f"  N1: {{kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {{{outputs}}}}}\n"
            "  V1: {kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC}\n"
            f"  K7: {{kind: relay, coil: 24 V DC 1 W, contacts: {{11-14: NO}}}}\n  {part}\nwires:\n{wires}\n"
        ),
    )


@pytest.mark.parametrize("turns", ["motor", "fan", "pump"])
def test_what_turns_behind_a_pulsed_switch(turns: str) -> None:
    assert [one.subjects for one in told(turns, "V1:2")] == [("M1", "V1", "N1")]
    assert told(turns, "X0:L") == []
    assert told(turns, "V1:2", "N1:P+>K7:11 K7:14>V1:A1") != []


def test_a_heater_evens_pulses_out() -> None:
    assert told("heater", "V1:2") == []


def test_a_controller_that_gives_no_pulses() -> None:
    assert told("motor", "V1:2", outputs="P+-P-: analog") == []


def test_what_it_says() -> None:
    [finding] = told("fan", "V1:2")
    assert_says(finding, "CAUTION", mend="Feed M1 from ahead of V1")
