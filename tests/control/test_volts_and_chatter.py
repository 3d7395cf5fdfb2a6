"""What volts decide wherever contacts stand, the first fault to earth of an IT system, and coils that chatter.

Expected by hand before the first run, by Kirchhoff's laws. IEC 60364-1, 312.2.3 (from memory): in an IT system no live
part is earthed but through an impedance, so that a single fault to earth closes no circuit.
"""

from __future__ import annotations

import pytest
from circuits import SEAL, two_channels
from helpers import design, most_alive

from wiring.control.condition import Condition
from wiring.control.net import build_net
from wiring.control.numeric_simulation import run_script
from wiring.control.script import Moment
from wiring.control.verdicts import Verdict
from wiring.control.without_volts import WithoutVolts
from wiring.design.stop.proof import full_proof

#: Earthing, the first fault, and the faults among `THEN` after which E1 is alive with S1 worked. E1 hangs between L1
#: and L2 over the poles 1-2 and 3-4 of K1; wire 3 leads from 1-2 to E1, wires 1 to 6 belong to the lines.
THEN = ("earth:1", "earth:3", "weld:K1:1-2")
TWO_POLES = (
    ("TN-S", "weld:K1:3-4", {"earth:3", "weld:K1:1-2"}),  # L2 over 3-4 and E1 to earth and the star: 133 V
    ("IT", "weld:K1:3-4", {"weld:K1:1-2"}),  # no way from earth to the star
    ("IT", "earth:1", set()),  # past 1-2 by way of earth, and 3-4 opens
)


def two_poles(earthing: str) -> str:
    """A heater between two lines over two poles, its contactor on an isolated control voltage with one side earthed."""
    pairs: str = (
        "X0:L1>K1:1 X0:L2>K1:3 K1:2>E1:1 K1:4>E1:2 X0:L1>T1:1.1 X0:L2>T1:1.2 T1:2.2>X0:PE T1:2.1>S1:11 S1:12>S2:13 "
        "S2:14>K1:A1 S1:12>K1:13 K1:14>K1:A1 K1:A2>T1:2.2"
    )
    wires = [
        f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1.5 mm2, length: 1 m}}"
        for n, (a, b) in enumerate((pair.split(">") for pair in pairs.split()), 1)
    ]
    return "\n".join([
        f"mains: {{inlet: X0, system: three-phase, voltage: 230 V, earthing: {earthing}, fault_current: 1 kA}}",
        "stops: {emergency: {devices: [S1], category: 0, reset: S2}}",
        "parts:",
        "  X0: {kind: inlet, poles: [L1, L2, L3, PE]}",
        "  T1: {kind: transformer, primary: 230 V AC, secondary: 110 V AC, rated: 100 VA}",
        "  S1: {kind: emergency-stop, contacts: {11-12: NC}}",
        "  S2: {kind: push-button, contacts: {13-14: NO}}",
        "  K1: {kind: contactor, poles: 2, coil: 110 V AC 5 W, contacts: {13-14: NO}}",
        "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}",
        "wires:",
        *wires,
    ])  # fmt: skip


@pytest.mark.parametrize(("earthing", "first", "then"), TWO_POLES)
def test_a_fault_to_earth_feeds_something_only_where_the_star_is_earthed(
    earthing: str, first: str, then: set[str]
) -> None:
    result = full_proof(design(two_poles(earthing)).stopping).results["emergency"]
    [one] = [one for one in result.verdicts if one.fault.id == first]
    assert set(THEN) & set(one.next) == then
    assert not result.undecided
    assert not result.open_pairs
    assert {one.verdict for one in result.verdicts if one.fault.kind == "earth"} <= {Verdict.SAFE, Verdict.HIDDEN}


def test_logic_alone_knows_the_first_fault_to_earth_of_an_it_system() -> None:
    result = design(two_poles("IT")).stopping.proof_by_logic().results["emergency"]
    lines = {f"earth:{n}" for n in range(1, 7)}
    assert {one.verdict for one in result.verdicts if one.fault.id in lines} <= {Verdict.SAFE, Verdict.UNSEEN}


def test_a_coil_that_chatters_holds_no_other_one_up() -> None:
    """K8 hangs on its own break contact and never rests, the fastest of all: K1 lets go all the same when S1 opens."""
    text = SEAL.replace("  E1:", "  K8: {kind: relay, coil: 230 V AC 1 W, contacts: {21-22: NC}}\n  E1:")
    for n, (a, b) in enumerate((("X0:L", "K8:21"), ("K8:22", "K8:A1"), ("K8:A2", "X0:N")), 20):
        text += f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1 mm2, length: 1 m}}\n"
    machine = design(text)
    use = machine.stopping.uses[0]
    running = most_alive(machine, use.targets)
    seen = run_script(running, use, "S1", (), Condition(order=("K8", "coil")))
    assert "K8" in seen[Moment.STOP].reason
    assert (seen[Moment.FAULT].alive, seen[Moment.STOP].alive) == (("E1",), ())


@pytest.mark.parametrize(
    ("fault", "coils"),
    [
        # S12 with S22: from 24 V through channel 2 and channel 1 to 0 V, 12 V each, and S1 open beside them.
        ("cores:C1.2+C1.4", {"channel1", "channel2"}),
        # Past S1:11-12: channel 1 keeps its 24 V.
        ("cores:C1.1+C1.2", set()),
        # S11, at 24 V, on S22: channel 2 has 24 V at both ends, and channel 1 hangs on the open S1 alone.
        ("cores:C1.1+C1.4", {"channel1", "channel2"}),
    ],
)
def test_channels_that_share_their_volts_let_go_wherever_contacts_stand(fault: str, coils: set[str]) -> None:
    machine = design(two_channels(cross_fault=True))
    use, known = machine.stopping.uses[0], {one.id: one for one in machine.stopping.proof.faults}
    net = build_net(machine.lowered, use.targets, known.values())
    found = WithoutVolts(net, machine.lowered, use, most_alive(machine, use.targets)).of("S1", known[fault])
    assert found == {("K0", name) for name in coils}
