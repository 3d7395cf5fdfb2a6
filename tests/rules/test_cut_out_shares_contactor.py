"""ISO 13849-1, 6.2.6, for heat: what sticks, contactor or semiconductor, must not defeat control and cut-out."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "cut-out-shares-contactor"


def heated(*ends: str) -> str:
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, protects: E1}}
  B1: {{kind: thermostat, contacts: {{1-2: NC}}, purpose: heating}}
  B2: {{kind: thermostat, contacts: {{1-2: NC}}, purpose: heating}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W}}
  K2: {{kind: contactor, poles: 1, coil: 230 V AC 5 W}}
  K3: {{kind: relay, coil: 230 V AC 1 W, contacts: {{11-14: NO}}}}
  V1: {{kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC}}
  N1: {{kind: temperature-controller, supply: 230 V AC 5 W, outputs: {{P+-P-: pulse 12 V}}}}
  N2: {{kind: temperature-controller, supply: 230 V AC 5 W, outputs: {{1-2: relay}}}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
{lines}
"""


MAINS = ["X0:N>E1:2", "X0:L>N1:L", "X0:N>N1:N", "X0:L>N2:L", "X0:N>N2:N", "N1:P+>V1:A1", "N1:P->V1:A2"]
RETURNS = ["K1:A2>X0:N", "K2:A2>X0:N", "K3:A2>X0:N"]
ONE = [*MAINS, *RETURNS, "X0:L>K1:1", "K1:2>E1:1"]
PULSES = ["X0:N>E1:2", "X0:N>N1:N", "N1:P->V1:A2", "V1:2>E1:1"]
TWO = [*MAINS, *RETURNS, "X0:L>K1:1", "K1:2>K2:1", "K2:2>E1:1"]


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        # thermostat and cut-out in series before one coil, either of them first
        ([*ONE, "X0:L>B1:1", "B1:2>F1:11", "F1:12>K1:A1"], ("K1", "F1", "E1", "B1")),
        ([*ONE, "X0:L>F1:11", "F1:12>B1:1", "B1:2>K1:A1"], ("K1", "F1", "E1", "B1")),
        # a controller with a relay in place of the thermostat
        ([*ONE, "X0:L>N2:1", "N2:2>F1:11", "F1:12>K1:A1"], ("K1", "F1", "E1")),
        # by an auxiliary relay that both open
        ([*ONE, "X0:L>B1:1", "B1:2>F1:11", "F1:12>K3:A1", "X0:L>K3:11", "K3:14>K1:A1"], ("K1", "K3", "F1", "E1", "B1")),
        # a contactor for each
        ([*TWO, "X0:L>B1:1", "B1:2>K1:A1", "X0:L>F1:11", "F1:12>K2:A1"], ()),
        # the cut-out in the load itself
        ([*MAINS, *RETURNS, "X0:L>K1:1", "K1:2>F1:11", "F1:12>E1:1", "X0:L>B1:1", "B1:2>K1:A1"], ()),
        # a semiconductor for the control, the contactor for the cut-out
        ([*MAINS, *RETURNS, "X0:L>K1:1", "K1:2>V1:1", "V1:2>E1:1", "X0:L>F1:11", "F1:12>K1:A1"], ()),
        # a second thermostat that opens a contactor of its own
        ([*TWO, "X0:L>B1:1", "B1:2>F1:11", "F1:12>K1:A1", "X0:L>B2:1", "B2:2>K2:A1"], ()),
        # the cut-out in the pulses of a semiconductor, which fails closed; in the feed of what pulses
        ([*PULSES, "X0:L>N1:L", "X0:L>V1:1", "N1:P+>F1:11", "F1:12>V1:A1"], ("V1", "F1", "E1", "N1")),
        ([*PULSES, "X0:L>F1:11", "F1:12>N1:L", "X0:L>V1:1", "N1:P+>V1:A1"], ("V1", "F1", "E1", "N1")),
        # in the load; in the pulses, and a thermostat opens the load
        ([*PULSES, "X0:L>N1:L", "X0:L>F1:11", "F1:12>V1:1", "N1:P+>V1:A1"], ()),
        ([*PULSES, "X0:L>N1:L", "X0:L>B1:1", "B1:2>V1:1", "N1:P+>F1:11", "F1:12>V1:A1"], ()),
        # nothing controls it but the cut-out: no pair
        ([*ONE, "X0:L>F1:11", "F1:12>K1:A1"], ()),
    ],
)
def test_a_pair_needs_a_device_each(ends: list[str], told: tuple[str, ...]) -> None:
    assert [one.subjects for one in fired(SLUG, design(heated(*ends)))] == ([told] if told else [])


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(heated(*ONE, "X0:L>B1:1", "B1:2>F1:11", "F1:12>K1:A1")))
    assert finding.summary == "K1 is opened by F1 and by B1: when the contacts of K1 weld, E1 stays fed past both"
    assert_says(finding, "WARNING", mend="Give F1 a contactor of its own in series with K1")


def test_what_it_says_of_a_semiconductor() -> None:
    """A solid-state relay fails closed more often than open, and parts nothing (IEC 60947-4-3, from memory); protection
    and control must not hang on one (IEC 60204-1, 7.4)."""
    pulses = [*PULSES, "X0:L>N1:L", "X0:L>V1:1", "N1:P+>F1:11", "F1:12>V1:A1"]
    [finding] = fired(SLUG, design(heated(*pulses)))
    assert finding.summary == "V1 is opened by F1 and by N1: when V1 fails closed, E1 stays fed past both"
    assert_says(finding, "WARNING", mend="Give F1 a contactor of its own in series with V1")
