"""IEC 60204-1, 9.2.3.6 (from memory): what is held to run stops when it is let go. A truth table by hand: the valve is
fed while the contact is closed, and a contact that latches stays closed."""

from __future__ import annotations

import pytest
from helpers import design
from lifting_plans import OWN_CONTACTS, lifting
from marked_plans import fired
from says import assert_says

SLUG = "operator-latches"


def body(operator: str, load: str = "valve, rated: 24 V DC 10 W, hazardous: true", held: bool = False) -> str:
    coil = ["S1:14>K1:A1", "K1:A2>G1:V-", "G1:V+>K1:1", "K1:2>Y1:1"]
    hold = ["G1:V+>K1:13", "K1:14>K1:A1"] if held else []
    ends = ["X0:L>G1:L", "X0:N>G1:N", "G1:V+>S1:13", "Y1:2>G1:V-", *coil, *hold]
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
states: {{work: {{Y1: "on", S1: worked}}}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {{kind: {operator}, contacts: {{13-14: NO}}}}
  K1: {{kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {{13-14: NO}}}}
  Y1: {{kind: {load}}}
wires:
{lines}
"""


@pytest.mark.parametrize("kind", ["foot-switch", "push-button"])
def test_a_valve_that_goes_on(kind: str) -> None:
    [finding] = fired(SLUG, design(body(f"{kind}, action: latching")))
    assert finding.subjects == ("S1", "Y1")
    assert "goes on in state work when it is let go" in finding.summary
    assert_says(finding, "WARNING", mend="with a spring return")


@pytest.mark.parametrize(
    "text",
    [
        body("foot-switch"),
        body("selector"),
        body("foot-switch, action: latching", "valve, rated: 24 V DC 10 W"),
        body("push-button, action: latching", held=True),
    ],
)
def test_what_springs_back_holds_itself_or_moves_nothing(text: str) -> None:
    assert fired(SLUG, design(text)) == []


@pytest.mark.parametrize(
    ("fed", "vertical", "word"),
    [
        ("DC", "vertical: false", "WARNING"),
        ("three phases", "vertical: false", "WARNING"),
        # a pump or a spindle: a switch that stays on is an on and off switch, and no hold-to-run
        ("one phase", "vertical: false", "NOTICE"),
        ("one phase", "vertical: true", "WARNING"),
    ],
)
def test_what_is_held_to_run_goes_somewhere(fed: str, vertical: str, word: str) -> None:
    """IEC 60204-1, 9.2.3.6 (from memory) is for movements that are held; what runs one way has a start and a stop."""
    plan = lifting(fed, "rated: 24 V DC 12 W", OWN_CONTACTS, vertical=vertical, buttons=", action: latching")
    found = {one.subjects[0]: str(one.signal) for one in fired(SLUG, plan)}
    assert found["S5"] == word
