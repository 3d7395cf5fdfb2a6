"""First physics: what feeds a heater the more, the warmer it is, has no point of rest; a fan is fed when it is warm."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says

SLUG = "control-sense-reversed"


def kept(contact: str, load: str, *, contactor: str = "", state: str = "") -> str:
    through = "K1:1" if contactor else "E1:1"
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
{state}
parts:
  X0: {{kind: inlet}}
  B1: {{kind: thermostat, contacts: {{1-2: "{contact}"}}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {{11-12: NC}}}}
  E1: {{{load}, metal: false, terminals: {{L: "1", "N": "2"}}}}
wires:
  - {{wire: 1, from: "X0:N", to: E1:2}}
  - {{wire: 2, through: [X0:L, B1:1]}}
""" + (
        f"""  - {{wire: 3, from: B1:2, to: K1:A1}}
  - {{wire: 4, from: K1:A2, to: X0:N}}
  - {{wire: 5, from: X0:L, to: "K1:{contactor.split("-")[0]}"}}
  - {{wire: 6, from: "K1:{contactor.split("-")[1]}", to: E1:1}}
"""
        if contactor
        else f"  - {{wire: 3, from: B1:2, to: {through}}}\n"
    )


HEATER = "kind: heater, rated: 230 V AC 500 W"
FAN = "kind: fan, rated: 230 V AC 20 W"


def heated(contact: str, contactor: str = "", state: str = "") -> str:
    return kept(contact, HEATER, contactor=contactor, state=state).replace(', terminals: {L: "1", "N": "2"}', "")


@pytest.mark.parametrize(
    ("contact", "contactor", "told"),
    [
        ("NC", "", False),
        ("NO", "", True),
        ("NO", "1-2", True),
        ("NC", "1-2", False),
        ("NC", "11-12", True),
        ("NO", "11-12", False),
    ],
)
def test_a_heater_loses_its_power_when_it_is_warm(contact: str, contactor: str, told: bool) -> None:
    assert bool(fired(SLUG, design(heated(contact, contactor)))) is told


@pytest.mark.parametrize(("contact", "told"), [("NO", False), ("NC", True)])
def test_a_fan_of_the_cabinet_is_fed_when_it_is_warm(contact: str, told: bool) -> None:
    assert bool(fired(SLUG, design(kept(contact, FAN)))) is told


def test_the_state_in_which_the_heater_stays_cold_follows_from_it() -> None:
    body = design(heated("NO", state='states: {work: {E1: "on"}}'))
    assert folded_under("state-not-fed", body) == {SLUG}


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(heated("NO")))
    assert finding.subjects == ("B1", "E1")
    assert_says(finding, "CAUTION", mend="Take the break contact of B1 (NC)")
