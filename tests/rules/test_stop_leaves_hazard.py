"""A stop device does not take the power away from everything that can hurt."""

from __future__ import annotations

from itertools import permutations

import pytest
from helpers import HEAD, design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

from wiring.effort import Effort
from wiring.findings import Signal
from wiring.rules.run import judge

SLUG = "stop-leaves-hazard"

# IEC 60204-1:2016, 9.2.3.4.2 and ISO 13850:2015, 4.1: an emergency stop overrides everything and removes the hazards.

HEATER = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 10 A, curve: B}}}}
stops:
  emergency: {{devices: [{devices}], category: 0}}{mark}
parts:
  X0: {{kind: inlet}}
  S1: {{kind: emergency-stop, contacts: {{11-12: {contact}}}}}
  S2: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  E1: {{kind: heater, rated: 230 V AC 500 W}}
wires:
{wires}
  - {{wire: 8, from: X0:N, to: E1:2, size: 2.5 mm2, length: 1 m}}
  - {{wire: 9, from: X0:PE, to: E1:PE, size: 2.5 mm2, length: 1 m}}
"""


def heater(chain: list[str], devices: str = "S1, S2", contact: str = "NC", mark: str = "", extra: str = "") -> str:
    lines = [
        f"  - {{wire: W{n}, from: {a}, to: {b}, size: 2.5 mm2, length: 1 m}}"
        for n, (a, b) in enumerate(zip(chain[::2], chain[1::2], strict=True))
    ]
    wires = "\n".join([*lines, extra]).rstrip("\n")
    return HEATER.format(devices=devices, contact=contact, mark=mark, wires=wires)


SERIES = ["X0:L", "S1:11", "S1:12", "S2:11", "S2:12", "E1:1"]


def test_the_finding_points_at_the_stop() -> None:
    """A stop in the feed itself lets the machine start on release as well, which is another rule's."""
    text = heater(["X0:L", "S1:11", "S1:12", "E1:1"])
    [finding] = fired(SLUG, design(text))
    assert finding.place is not None
    assert (HEAD.format(book="iec") + text).splitlines()[finding.place.line - 1].startswith("  emergency:")


def test_contacts_in_series_remove_it() -> None:
    assert fired(SLUG, design(heater(SERIES))) == []


@pytest.mark.parametrize("bridged", ["S1", "S2"])
def test_a_bridge_over_one_device_names_that_device_alone(bridged: str) -> None:
    bridge = f"  - {{wire: B1, from: {bridged}:11, to: {bridged}:12, size: 2.5 mm2, length: 0.1 m}}"
    [finding] = fired(SLUG, design(heater(SERIES, extra=bridge)))
    assert finding.subjects == ("E1", bridged)


def test_contacts_in_parallel_remove_nothing() -> None:
    """Either device leaves the other's contact closed; both share one finding."""
    chain = ["X0:L", "S1:11", "X0:L", "S2:11", "S1:12", "E1:1", "S2:12", "E1:1"]
    [finding] = fired(SLUG, design(heater(chain)))
    assert finding.subjects == ("E1", "S1", "S2")


def test_a_switch_in_the_neutral_removes_the_current() -> None:
    """The heater stands at mains potential and draws nothing; single faults are the stop proof's."""
    text = heater(["X0:L", "E1:1", "X0:N", "S1:11"], devices="S1").replace(
        "from: X0:N, to: E1:2", "from: S1:12, to: E1:2"
    )
    assert fired(SLUG, design(text)) == []


def test_a_contact_that_makes_when_pressed_feeds_what_it_should_stop() -> None:
    """A stop opens its circuit (ISO 13850:2015, 4.4); this one starts the heater."""
    [finding] = fired(SLUG, design(heater(["X0:L", "S1:11", "S1:12", "E1:1"], devices="S1", contact="NO")))
    assert finding.subjects == ("E1", "S1")


def test_a_hazard_that_no_state_feeds_is_not_judged() -> None:
    """The heater waits for a button; what the stop takes from it cannot be seen while nothing feeds it."""
    button = "  S9: {kind: push-button, contacts: {13-14: NO}}\nwires:"
    text = heater(["X0:L", "S1:11", "S1:12", "S9:13", "S9:14", "E1:1"], devices="S1").replace("wires:", button)
    found = design(text)
    assert fired(SLUG, found) == []
    [item] = open_questions(SLUG, found)
    assert item.subjects == ("E1",)
    assert "state" in item.missing


def test_hazards_without_a_stop_are_not_judged() -> None:
    text = heater(SERIES)
    without = text.replace("stops:\n  emergency: {devices: [S1, S2], category: 0}\n", "")
    found = design(without)
    assert fired(SLUG, found) == []
    [item] = open_questions(SLUG, found)
    assert (item.subjects, "`stops`" in item.missing) == (("E1",), True)


CONTACTOR = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 10 A, curve: B}}}}
stops:
  emergency: {{devices: [S1], category: 0}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II}}
  S1: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  A1: {{kind: controller, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 100 mA}}, inputs: {{I1: sink}},
       input_type: 3, common: 0V, outputs: {{Q1: pnp}}}}
  K1: {{kind: contactor, poles: 1, rated: 9 A, coil: 24 V DC 3 W, suppressor: diode}}
  E1: {{kind: heater, rated: 230 V AC 500 W}}
wires:
  - {{wire: 1, from: X0:L, to: G1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: G1:N, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: X0:L, to: K1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: K1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: X0:N, to: E1:2, size: 2.5 mm2, length: 1 m}}
  - {{wire: 6, from: X0:PE, to: E1:PE, size: 2.5 mm2, length: 1 m}}
  - {{wire: 7, from: G1:V+, to: A1:24V, size: 1 mm2, length: 1 m}}
  - {{wire: 8, from: G1:V-, to: A1:0V, size: 1 mm2, length: 1 m}}
  - {{wire: 9, from: K1:A2, to: G1:V-, size: 1 mm2, length: 1 m}}
  - {{wire: 10, from: G1:V+, to: S1:11, size: 1 mm2, length: 1 m}}
{last}
"""


def test_a_contactor_whose_coil_the_stop_opens_removes_it() -> None:
    last = "  - {wire: 11, from: S1:12, to: K1:A1, size: 1 mm2, length: 1 m}"
    assert fired(SLUG, design(CONTACTOR.format(last=last))) == []


def test_a_stop_that_only_a_program_reads_removes_nothing() -> None:
    """IEC 60204-1:2016, 9.2.3.4.2: not by software alone; the output is taken as stuck on."""
    last = (
        "  - {wire: 11, from: S1:12, to: A1:I1, size: 1 mm2, length: 1 m}\n"
        "  - {wire: 12, from: A1:Q1, to: K1:A1, size: 1 mm2, length: 1 m}"
    )
    [finding] = fired(SLUG, design(CONTACTOR.format(last=last)))
    assert finding.subjects == ("E1", "S1")
    assert "K1:1-2" in finding.summary


def test_a_stop_in_the_feed_of_the_output_removes_it() -> None:
    """The contact lies between the program's output and the coil: the program has no say."""
    last = (
        "  - {wire: 11, from: A1:Q1, to: S1:11, size: 1 mm2, length: 1 m}\n"
        "  - {wire: 12, from: S1:12, to: K1:A1, size: 1 mm2, length: 1 m}"
    )
    text = CONTACTOR.format(last=last).replace("  - {wire: 10, from: G1:V+, to: S1:11, size: 1 mm2, length: 1 m}\n", "")
    assert fired(SLUG, design(text)) == []


@given(st.permutations(["S1", "S2"]), st.booleans())
def test_the_order_of_contacts_and_of_devices_changes_nothing(order: list[str], bridge: bool) -> None:
    first, second = order
    chain = ["X0:L", f"{first}:11", f"{first}:12", f"{second}:11", f"{second}:12", "E1:1"]
    extra = "  - {wire: B1, from: S2:11, to: S2:12, size: 2.5 mm2, length: 0.1 m}" if bridge else ""
    for devices in permutations(("S1", "S2")):
        found = fired(SLUG, design(heater(chain, devices=", ".join(devices), extra=extra)))
        assert [f.subjects for f in found] == ([("E1", "S2")] if bridge else [])


def test_what_it_says() -> None:
    """IEC 60204-1 9.2.3.4.2: S2 opens nothing, so that 1 load stays alive."""
    [finding] = fired(SLUG, design(heater(["X0:L", "S1:11", "S1:12", "E1:1"])))
    assert_says(finding, "DANGER", number=("left alive", 1.0, ""), mend="two contactors in series")


# ISO 13850:2015, 4.1 and ISO 12100: what moves, heats or lets go of something hurts in one machine and not in another;
# a lamp of 40 W dries or cures, one of 2 W signals (own choice of 10 W); a heater in the cabinet keeps it dry.
@pytest.mark.parametrize(
    ("part", "asks"),
    [
        ("{kind: valve, rated: 230 V AC 5 W", True),
        ("{kind: fan, rated: 230 V AC 50 W, at: machine", True),
        ("{kind: fan, rated: 230 V AC 20 W, at: cabinet", False),
        ("{kind: heater, rated: 230 V AC 50 W, at: cabinet", False),
        ("{kind: load, rated: 230 V AC 100 W", True),
        ("{kind: lamp, rated: 230 V AC 40 W", True),
        ("{kind: lamp, rated: 230 V AC 2 W", False),
    ],
)
@pytest.mark.parametrize("said", ["", ", hazardous: false", ", hazardous: true"])
def test_what_may_hurt_is_hazardous_or_said_not_to_be(part: str, asks: bool, said: str) -> None:
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
stops:
  emergency: {{devices: [S1], category: 0}}
states:
  on: {{E1: "on"}}
parts:
  X0: {{kind: inlet}}
  S1: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  E1: {part}{said}}}
"""
    ends = {"valve": "12", "fan": ("L", "N"), "heater": "12", "load": "12", "lamp": ("X1", "X2")}[
        part.split()[1].rstrip(",")
    ]
    text += (
        f"wires:\n  - {{wire: 1, from: X0:L, to: 'E1:{ends[0]}'}}\n  - {{wire: 2, from: 'X0:N', to: 'E1:{ends[1]}'}}\n"
    )
    found = design(text)
    asked = [one.subjects for one in open_questions(SLUG, found) if "hazardous" in one.missing]
    assert asked == ([("E1",)] if asks and not said else [])
    assert bool(fired(SLUG, found)) is (said == ", hazardous: true")


def test_what_stays_alive_without_any_fault_is_told_where_the_proof_takes_too_much() -> None:
    """The effect of a stop needs no proof of its faults: with no step of it left the hazard is told all the same."""
    machine = design(heater(["X0:L", "E1:1"]))
    machine.__dict__["effort"] = Effort(steps=0)
    report = judge(machine)
    assert [one.signal for one in report.standing if one.rule == SLUG] == [Signal.DANGER]
    assert SLUG in {one.rule for one in report.not_judged}
