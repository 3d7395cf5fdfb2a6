"""Faults beyond the wires and contacts of the cabinet, derived by hand before the first run.

Fault models: ISO 13849-2 annex D, tables D.4 and D.8 (from memory).
"""

from __future__ import annotations

from circuits import two_channels
from helpers import design
from operated import RELAY_PARTS, RELAY_WIRES, button, machine, one_contactor, relay

from wiring.control.faults import single_faults
from wiring.control.verdicts import Verdict
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult


def proved(text: str) -> StopResult:
    return full_proof(design(text).stopping).results["emergency"]


def words(result: StopResult, verdict: Verdict) -> set[str]:
    return {one.fault.id for one in result.verdicts if one.verdict is verdict}


SEALED = "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1"


def outside(text: str) -> str:
    """The same with the stop device on the machine."""
    return text.replace("S1: {kind: emergency-stop,", "S1: {kind: emergency-stop, at: machine,")


def test_two_single_wires_to_a_stop_device_outside_touch() -> None:
    """Wires 5 and 6 lead to S1 and back: touching they bridge its contact. Inside the cabinet that is not assumed."""
    assert "wires:5+6" in {one.fault.id for one in proved(outside(one_contactor(button("S2"), SEALED))).dangerous}
    faults = single_faults(design(one_contactor(button("S2"), SEALED)).circuit)
    assert "wires:5+6" not in {fault.id for fault in faults}


def test_wires_of_one_loom_touch_and_those_of_two_do_not() -> None:
    """A loom outside the cabinet, by its route: the wire to S1 and the one back lie in it, or in two."""
    text = outside(one_contactor(button("S2"), SEALED))
    routes = "routes: {a: {kind: loom, at: machine}, b: {kind: loom, at: machine}}\n"
    for first, second, together in (("a", "a", True), ("a", "b", False)):
        routed = text.replace("{wire: 5,", f"{{wire: 5, route: {first},").replace(
            "{wire: 6,", f"{{wire: 6, route: {second},"
        )
        found = {fault.id for fault in single_faults(design(routed + routes).circuit)}
        assert ("wires:5+6" in found) is together


def test_single_wires_short_the_channels_as_the_cores_of_a_cable_do() -> None:
    """The five cross shorts of `test_fault_tables` between four single wires to S1."""
    machine_ = design(two_channels(cable=False))
    result = full_proof(machine_.stopping).results["emergency"]
    ends = [("K0", "S11"), ("K0", "S12"), ("K0", "S21"), ("K0", "S22")]
    to_stop = [wire for wire in machine_.circuit.conductors if any(end[0] == "S1" for end in wire.ends)]
    name = {n: next(w.id for w in to_stop if ends[n] in w.ends) for n in range(4)}
    crossed = {frozenset((name[a], name[b])) for a, b in ((0, 1), (2, 3), (0, 3), (1, 2), (1, 3))}
    touching = {
        one.fault.id: one
        for one in result.verdicts
        if one.fault.kind == "wires" and set(one.fault.subjects) <= set(name.values())
    }
    assert len(touching) == 6
    for one in touching.values():
        hidden = frozenset(one.fault.subjects) in crossed
        assert one.verdict is (Verdict.HIDDEN if hidden else Verdict.SAFE), one.fault.id


def test_an_actuator_that_is_lost_does_not_open_its_switch() -> None:
    """Both channels hang on the guard switch B7: its actuator lost, opening the guard moves no contact. Left out where
    it is fitted and fixed as its maker says. A pressure switch that sticks is not left out: here it starts nothing."""
    text = relay(button("B7", "11-12: NC, 21-22: NC", "guard-switch")).replace("S1:", "B7:").replace("[S1]", "[B7]")
    text = text.replace("  B7: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}\n", "", 1)
    result = proved(text)
    [lost] = [one for one in result.verdicts if one.fault.id == "unmoved:B7"]
    assert lost.verdict is Verdict.DANGEROUS
    assert "D.8" in lost.fault.excluded


def test_a_selector_that_springs_back_may_stick() -> None:
    """It stands beside the start: stuck, the coil is fed as soon as S1 is released."""
    text = one_contactor(
        button("S2") + button("S7", kind="selector", more=", action: spring-return"),
        SEALED + " S2:13>S7:13 S7:14>S2:14",
    )
    assert "jammed:S7" in {one.fault.id for one in proved(text).dangerous}


def test_the_inside_of_a_unit_is_left_out_only_where_its_channels_are_apart() -> None:
    """Both channels over S1:11-12, or one of them bridged at its terminals: what a maker's level says does not hold,
    and outputs that stay closed are a dangerous fault to assume."""
    apart = proved(relay())
    assert "held:K0:outputs" not in {one.fault.id for one in apart.dangerous}
    for wires in (
        RELAY_WIRES.replace("S1:22>K0:S22", "S1:12>K0:S22"),
        RELAY_WIRES.replace("K0:S21>S1:21 S1:22>K0:S22", "K0:S21>K0:S22"),
    ):
        result = proved(machine(RELAY_PARTS, wires + "K2:2>E1:1"))
        assert "held:K0:outputs" in {one.fault.id for one in result.dangerous}


def test_a_pair_that_only_numbers_settle() -> None:
    """H1 burns on 24 V and H2 beside the coil of K1 on one common return. When that breaks, 24 V feed H1, H2 and the
    coil in series: 24 V x 192 / (192 + 600 + 600) = 3.31 V, above the 2.4 V at which K1 lets go. K1 stays in, K2
    parts E1, and with nothing in the reset loop nobody sees it. K2 welded next: E1 stays on.
    """
    lamps = "".join(f"{name}: {{kind: lamp, rated: 24 V DC 0.96 W}}\n" for name in ("H1", "H2"))
    wires = RELAY_WIRES.replace("S2:14>K1:21 K1:22>K2:21 K2:22>K0:S34", "S2:14>K0:S34")
    text = machine(RELAY_PARTS + lamps, wires + "K2:2>E1:1 G1:V+>H1:X1 K1:A1>H2:X1 H1:X2>H2:X2 H2:X2>G1:V-")
    last = max(int(wire.id) for wire in design(text).circuit.conductors)
    [broken] = [one for one in proved(text).verdicts if one.fault.id == f"open:{last}"]
    assert broken.verdict is Verdict.HIDDEN
    assert {"weld:K2:1-2", "held:K2:coil"} <= set(broken.next)


def test_the_same_lamps_with_a_coil_that_lets_go_earlier() -> None:
    """Lamps of 0.24 W leave 24 V x 192 / (192 + 2400 + 2400) = 0.92 V: K1 lets go, and no pair is dangerous."""
    lamps = "".join(f"{name}: {{kind: lamp, rated: 24 V DC 0.24 W}}\n" for name in ("H1", "H2"))
    wires = RELAY_WIRES.replace("S2:14>K1:21 K1:22>K2:21 K2:22>K0:S34", "S2:14>K0:S34")
    text = machine(RELAY_PARTS + lamps, wires + "K2:2>E1:1 G1:V+>H1:X1 K1:A1>H2:X1 H1:X2>H2:X2 H2:X2>G1:V-")
    last = max(int(wire.id) for wire in design(text).circuit.conductors)
    [broken] = [one for one in proved(text).verdicts if one.fault.id == f"open:{last}"]
    assert broken.verdict is Verdict.SAFE
