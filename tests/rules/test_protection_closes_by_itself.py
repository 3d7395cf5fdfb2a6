"""IEC 60204-1, 7.3.1 and 7.4, NEC 430.43 (from memory): no device that closes by itself may start what can hurt."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "protection-closes-by-itself"


def machine(*ends: str, f1: str = "", f2: str = "", more: str = "") -> str:
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
states: {{work: {{M1: run, E1: "on", S1: worked}}}}
parts:
  X0: {{kind: inlet}}
  F0: {{kind: breaker, rating: 16 A{more}}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, protects: E1{f1}}}
  F2: {{kind: motor-protector, poles: 1, setting: 2 A, magnetic: false, contacts: {{95-96: NC}}{f2}}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {{13-14: NO}}}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 300 W, metal: false}}
wires:
{lines}
"""


MAINS = ["X0:L>F0:1", "X0:N>E1:2", "X0:N>M1:U2", "X0:N>K1:A2", "K1:2>F2:1", "F2:2>M1:U1", "F0:2>K1:1"]
HEAT = ["F0:2>F1:11", "F1:12>E1:1"]
#: The overload contact straight in the coil, and with a button and a holding contact.
TWO_WIRE = [*MAINS, *HEAT, "F0:2>F2:95", "F2:96>K1:A1"]
HELD = [*MAINS, *HEAT, "F0:2>F2:95", "F2:96>S1:13", "F2:96>K1:13", "S1:14>K1:A1", "K1:14>K1:A1"]


@pytest.mark.parametrize(
    ("ends", "keys", "told"),
    [
        (TWO_WIRE, {"f1": ", reset: self"}, [("CAUTION", ("F1", "E1"))]),
        (TWO_WIRE, {"f1": ", reset: one-shot", "f2": ", reset: self"}, [("WARNING", ("F2", "M1"))]),
        # the motor waits for its button, the heater does not
        (HELD, {"f1": ", reset: manual", "f2": ", reset: self"}, []),
        (HELD, {"f1": ", reset: manual", "more": ", reset: self"}, []),
        (TWO_WIRE, {"f1": ", reset: manual", "more": ", reset: self"}, [("WARNING", ("F0", "M1"))]),
        (TWO_WIRE, {"f1": ", reset: manual"}, []),
    ],
)
def test_what_comes_back_is_told(
    ends: list[str], keys: dict[str, str], told: list[tuple[str, tuple[str, ...]]]
) -> None:
    found = fired(SLUG, design(machine(*ends, **keys)))
    assert [(str(one.signal), one.subjects) for one in found] == told


def test_what_does_not_say_how_it_closes_is_asked() -> None:
    [question] = open_questions(SLUG, design(machine(*TWO_WIRE)))
    assert question.subjects == ("F1", "E1")
    assert "reset: manual" in question.missing


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(machine(*TWO_WIRE, f1=", reset: self")))
    assert (
        finding.summary
        == "F1 closes again by itself, and E1 gets its power back with no hand at the machine, in state work"
    )
    assert_says(finding, "CAUTION", mend="with a reset by hand")
