"""IEC 60204-1, 9.3.2 and 10.1.4 (from memory): a limit stops the movement that leads into it. Truth tables by hand: a
load at its end must not be driven further, and must be driven back. B1 is the upper limit, B2 the lower one."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.design.design import Design

SLUG = "limit-on-wrong-way"
_PARTS = """
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  S5: {kind: push-button, contacts: {13-14: NO}}
  S6: {kind: push-button, contacts: {13-14: NO}}
  B1: {kind: limit-switch, contacts: {11-12: NC}, B1}
  B2: {kind: limit-switch, contacts: {11-12: NC}, B2}
  A1: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 100 mA}, outputs: {Q1: pnp, Q2: pnp},
       inputs: {I1: sink, I2: sink}, common: 0V}
"""
_FEED = "X0:L1>G1:L X0:N>G1:N G1:V+>S5:13 G1:V+>S6:13 G1:V+>A1:24V A1:0V>G1:V-"
_CONTACTORS = """
  K1: {kind: contactor, poles: 3, coil: 24 V DC 3 W, contacts: {21-22: NC}, interlock: K2}
  K2: {kind: contactor, poles: 3, coil: 24 V DC 3 W, contacts: {21-22: NC}, interlock: K1}
"""
_LOCKS = "K2:22>K1:A1 K1:22>K2:A1 K1:A2>G1:V- K2:A2>G1:V-"
#: What turns, by the way in which it is turned round: its parts, its conductors, and where up and down arrive.
TURNED = {
    "DC": (
        f"{_CONTACTORS}  M1: {{kind: motor, voltage: 24 V DC, rated_power: 120 W, metal: false}}\n",
        f"{_LOCKS} G1:V+>K1:1 G1:V+>K2:1 G1:V->K1:3 G1:V->K2:3 K1:2>M1:A1 K1:4>M1:A2 K2:2>M1:A2 K2:4>M1:A1",
        ("K2:21", "K1:21"),
        ("K1", "K2"),
    ),
    "three phases": (
        f"{_CONTACTORS}  M1: {{kind: motor, voltage: 400 V AC, rated_power: 550 W, metal: false}}\n",
        f"{_LOCKS} X0:L1>K1:1 X0:L2>K1:3 X0:L3>K1:5 X0:L2>K2:1 X0:L1>K2:3 X0:L3>K2:5 K1:2>M1:U K1:4>M1:V K1:6>M1:W "
        "K2:2>M1:U K2:4>M1:V K2:6>M1:W",
        ("K2:21", "K1:21"),
        ("K1", "K2"),
    ),
    "inverter": (
        "  T1: {kind: inverter, supply: 380..480 V AC, rated: 750 W, signals: 24 V DC, inputs: [FWD-COM, REV-COM], "
        "functions: {FWD: run, REV: reverse}, metal: false}\n"
        "  M1: {kind: motor, voltage: 400 V AC, rated_power: 550 W, metal: false}\n",
        "T1:COM>G1:V- T1:U>M1:U T1:V>M1:V T1:W>M1:W X0:L1>T1:L1 X0:L2>T1:L2 X0:L3>T1:L3",
        ("T1:FWD", "T1:REV"),
        ("'T1:FWD'", "'T1:REV'"),
    ),
}
_UP, _DOWN = "S5:14>B1:11 B1:12>UP", "S6:14>B2:11 B2:12>DOWN"


def turned(way: str, lines: str, *, keys: tuple[str, str] = ("ends: UP", "ends: DOWN"), more: str = "") -> Design:
    parts, ends, (up, down), names = TURNED[way]
    keys = tuple(key.replace("UP", names[0]).replace("DOWN", names[1]) for key in keys)  # type: ignore[assignment]
    own = _PARTS.replace("NC}, B1}", f"NC}}, {keys[0]}}}").replace("NC}, B2}", f"NC}}, {keys[1]}}}")
    lines = lines.replace("UP", up).replace("DOWN", down)
    pairs = [pair.split(">") for pair in f"{_FEED} {ends} {lines}".split()]
    wires = "\n".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(pairs, 1))
    return design(
        "mains: {inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}\n"
        "states: {up: {M1: run, S5: worked}, down: {M1: run, S6: worked}}\n"
        f"parts:{own}{parts}{more}\nwires:\n{wires}\n"
    )


_RELAY = "  K9: {kind: relay, coil: 24 V DC 0.6 W, contacts: {13-14: NO, 23-24: NO}}\n"
#: The two lines, further parts, and what is told of each limit: that it does not stop its own way, or both.
TABLE = [
    (f"{_UP} {_DOWN}", "", {}),
    (f"{_UP.replace('B1', 'B2')} {_DOWN.replace('B2', 'B1')}", "",
     {"B1": "stops the other way", "B2": "stops the other way"}),
    # left out altogether, which is told as such
    (f"S5:14>UP {_DOWN}", "", {}),
    (f"{_UP} B1:11>B1:12 {_DOWN}", "", {"B1": "stops nothing"}),
    # both limits in front of both buttons: at an end nothing moves any more
    ("G1:V+>B1:11 B1:12>B2:11 B2:12>K9:A1 K9:A2>G1:V- S5:14>K9:13 K9:14>UP S6:14>K9:23 K9:24>DOWN", _RELAY,
     {"B1": "cannot come back", "B2": "cannot come back"}),
    # the upper one over a relay
    (f"G1:V+>B1:11 B1:12>K9:A1 K9:A2>G1:V- S5:14>K9:13 K9:14>UP {_DOWN}", _RELAY, {}),
    ("G1:V+>B1:11 B1:12>K9:A1 K9:A2>G1:V- S6:14>K9:13 K9:14>DOWN S5:14>B2:11 B2:12>UP", _RELAY,
     {"B1": "stops the other way", "B2": "stops the other way"}),
    # a program that reads the limits and commands both ways decides
    ("A1:Q1>UP A1:Q2>DOWN G1:V+>B1:11 B1:12>A1:I1 G1:V+>B2:11 B2:12>A1:I2", "", {}),
    # it reads the limits and does not command
    ("S5:14>UP S6:14>DOWN G1:V+>B1:11 B1:12>A1:I1 G1:V+>B2:11 B2:12>A1:I2", "",
     {"B1": "stops nothing", "B2": "stops nothing"}),
]  # fmt: skip


#: All of the table for two contactors and for two inputs; three phases differ in the feed alone.
PLAYED = [(way, row) for way in TURNED for row in (TABLE[:2] if way == "three phases" else TABLE)]


@pytest.mark.parametrize(("way", "row"), PLAYED)
def test_a_limit_stops_its_own_way_and_no_other(way: str, row: tuple[str, str, dict[str, str]]) -> None:
    lines, more, told = row
    found = {one.subjects[0]: one.summary for one in fired(SLUG, turned(way, lines, more=more))}
    assert found.keys() == told.keys()
    assert all(words in found[name] for name, words in told.items()), found


@pytest.mark.parametrize("way", TURNED)
def test_where_nothing_is_said_it_is_asked_once(way: str) -> None:
    plan = turned(way, f"{_UP} {_DOWN}", keys=("purpose: limit", "purpose: limit"))
    [question] = open_questions(SLUG, plan)
    assert question.subjects == ("B1", "B2")
    assert fired(SLUG, plan) == []
    assert open_questions(SLUG, turned(way, f"{_UP} {_DOWN}")) == []
    assert open_questions(SLUG, turned(way, f"{_UP} S6:14>DOWN", keys=("purpose: limit", "purpose: limit"))) == []


def test_beyond_the_limits_both_ways_may_be_parted() -> None:
    """IEC 60204-1, 10.1.4 (from memory): what over-travel has stopped is set going again by hand."""
    both = TABLE[5]
    keys = ("ends: UP, purpose: over-travel", "ends: DOWN, purpose: over-travel")
    assert fired(SLUG, turned("DC", both[0], keys=keys, more=both[1])) == []


def test_what_it_says() -> None:
    [first, _] = fired(SLUG, turned("DC", TABLE[1][0]))
    assert first.summary == "B1 ends the way of K1, and K1 can be in while it is worked: it stops the other way, K2"
    assert_says(first, "CAUTION", mend="Exchange B1, B2")
