"""The wire that makes a single fault dangerous is named; derived by hand before the first run."""

from __future__ import annotations

import pytest
from circuits import SEAL, two_channels
from helpers import design

from wiring.control.blame import conductors_to_blame
from wiring.findings import Finding
from wiring.rules import stop_fault_dangerous, stop_single_channel
from wiring.rules.rule import Item

_MORE = "  - {{wire: 99, from: '{0}', to: '{1}', size: 1.5 mm2, length: 1 m}}\n"


def mistaken(start: str, end: str) -> str:
    """The two channels with one wire too many."""
    return two_channels(cable=False, cross_fault=True) + _MORE.format(start, end)


def blamed(text: str) -> list[Finding]:
    machine = design(text)
    said = [*stop_single_channel.check(machine), *stop_fault_dangerous.check(machine)]
    told = [item.tell([item.detail]) if isinstance(item, Item) else item for item in said]
    return [one for one in told if isinstance(one, Finding)]


@pytest.mark.parametrize(
    ("start", "end", "part"),
    [
        # Past the pole of K2: K1 alone parts E1, and its weld leaves E1 on.
        ("K2:1", "K2:2", "K1"),
        # 24 V on the coil of K2 for ever: the same.
        ("G1:V+", "K2:A1", "K1"),
        # Past the pole of K1: K2 alone.
        ("K1:1", "K1:2", "K2"),
    ],
)
def test_a_wire_that_takes_a_contactor_away_is_named(start: str, end: str, part: str) -> None:
    """Without wire 99 the machine is the two channels of `test_hand_tables`, where no weld is dangerous."""
    [found] = [one for one in blamed(mistaken(start, end)) if one.subjects[0] == part]
    assert found.summary.endswith("; conductor 99 makes it so")
    assert "99" in found.subjects
    assert any("to blame" in cause.remark for cause in found.because)


def test_where_no_wire_is_too_many_none_is_blamed() -> None:
    """One contactor alone carries the stop: that is how it is built, and no wire to take away mends it."""
    for text in (SEAL, two_channels(poles=1)):
        assert blamed(text)
        assert not [one for one in blamed(text) if "makes it so" in one.summary]


def test_a_wire_too_many_is_named_before_those_that_it_stands_beside() -> None:
    """24 V on the coil of K2 past the relay: with wire 99 the machine runs without the relay's own wire to that coil,
    or those that feed that output, but each of them would leave a terminal bare."""
    [found] = [one for one in blamed(mistaken("G1:V+", "K2:A1")) if one.subjects[0] == "K1"]
    assert [one for one in found.subjects if one.isdigit()] == ["99"]
    assert not [one for one in blamed(two_channels(poles=1)) if any(name.isdigit() for name in one.subjects)]


#: The stop contact stands in the return of the coil, and the bond of the return closes the circuit past it.
RETURN_SIDE = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}
stops: {emergency: {devices: [S1], category: 0, reset: S2}}
parts:
  X0: {kind: inlet}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  S1: {kind: emergency-stop, at: machine, contacts: {11-12: NC}}
  S2: {kind: push-button, contacts: {13-14: NO}}
  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {13-14: NO}}
  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
wires:
  - {wire: 1, from: X0:L, to: G1:L, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: X0:N, to: G1:N, size: 1.5 mm2, length: 1 m}
  - {wire: 3, from: X0:PE, to: G1:PE, size: 1.5 mm2, length: 1 m}
  - {wire: BOND, from: X0:PE, to: G1:V-, size: 1.5 mm2, length: 1 m}
  - {wire: 5, from: G1:V+, to: S2:13, size: 1.5 mm2, length: 1 m}
  - {wire: 6, from: S2:14, to: K1:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 7, from: S2:13, to: K1:13, size: 1.5 mm2, length: 1 m}
  - {wire: 8, from: K1:14, to: K1:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 9, from: K1:A2, to: S1:11, size: 1.5 mm2, length: 1 m}
  - {wire: 10, from: S1:12, to: G1:V-, size: 1.5 mm2, length: 1 m}
  - {wire: 11, from: X0:L, to: K1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 12, from: K1:2, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 13, from: X0:N, to: E1:2, size: 1.5 mm2, length: 1 m}
"""


def test_what_earths_is_never_to_blame() -> None:
    """Wire 9 touching earth holds K1 in. Without the bond it would not, but nobody may be told to take that off."""
    machine = design(RETURN_SIDE)
    for result in machine.stopping.proof.results.values():
        for sound in result.sound:
            earthed = [one.fault for one in result.dangerous if one.fault.id == "earth:9"]
            assert earthed
            assert conductors_to_blame(machine.machine.lowered, result.use, sound, earthed) == {}
