"""Whole fault tables of further circuits, derived by hand with their reasons before the first run.

Kirchhoff's laws, and the fault models of ISO 13849-2 annex D (from memory). Letters: D dangerous, L dangerous but left
out by annex D, H hidden: it stays unseen, and a second fault defeats the stop, ? left open; every fault that is not named
is safe.
"""

# ruff: noqa: E501 - a circuit is a row of the table

from __future__ import annotations

from typing import NamedTuple

import pytest
from helpers import design
from operated import RELAY_PARTS, RELAY_WIRES, button, contactor, heater, machine, one_contactor, relay, stop_button
from test_categories import TWO_BY_HAND
from test_hand_tables import told

from wiring.design.stop.proof import full_proof


class Table(NamedTuple):
    """A plan, and by stop the faults that are not safe: "D: ... H: ... L: ..."."""

    plan: str
    faults: dict[str, str]


def copying(name: str, contacts: str = "13-14: NO", volts: str = "230 V AC 1 W") -> str:
    return f"{name}: {{kind: relay, coil: {volts}, contacts: {{{contacts}}}}}\n"


def alone(plan: str, faults: str) -> Table:
    return Table(plan, {"emergency": faults})


SUPPLY = "G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}\n"
LATCHED = "emergency: {devices: [S1], category: 0}"
GUARDED = "emergency: {devices: [S1], category: 0, reset: S2}, guard: {devices: [B7], category: 0, reset: S2}"
TWO_LOADS = "X0:L>K1:1 K1:2>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N"
#: What any one contactor with a coil at the line and a seal has beside it: L on the coil, and on either end of the seal.
TOUCHING = "bridge:K1:A1+1 bridge:K1:1+13 bridge:K1:2+14"
#: What any one contactor with a seal and a start beside it is left with.
SEALED = "weld:K1:1-2 held:K1:coil weld:K1:13-14 weld:S2:13-14 jammed:S2"

TABLES = {
    # One contact of S1 welded leaves the other. Pole and coil keep E1 on; the seal and the start feed the coil at the
    # release. L on coil or seal feeds them past S1.
    "two contacts of the stop in one line": alone(
        one_contactor(button("S2"), "X0:L>S1:11 S1:12>S1:21 S1:22>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1"),
        f"D: {SEALED} L: {TOUCHING}",
    ),
    # S9 closes the coil and opens the seal. Stuck, or its make contact welded, or its ends touching, it starts E1 at the
    # release; its break contact welded makes a start of it, which S1 stops and whose seal is open after it.
    "a jog button that opens the seal": alone(
        one_contactor(button("S2") + button("S9", "13-14: NO, 21-22: NC"), "X0:L>S1:11 S1:12>S2:13 S2:14>K1:A1 S1:12>S9:21 S9:22>K1:13 K1:14>K1:A1 S1:12>S9:13 S9:14>K1:A1"),
        f"D: {SEALED} weld:S9:13-14 jammed:S9 L: weld:S1:11-12 {TOUCHING} bridge:S9:14+21",
    ),
    # E1 between L1 and L2. One pole welded: the other one parts it, and nobody sees it. Wire 4 (E1:2) to earth while the
    # machine runs cuts L2; E1 runs on between L1 and earth until its pole on L1 welds. Wire 2 (E1:1) to earth cuts L1,
    # so that K1 lets go: seen, but over a welded pole on L2 it leaves E1 between L2 and earth. Wire 3 to earth is parted
    # from E1 by its pole. L1 on the coil holds K1 in; L2 on 13 feeds S2 while S1 is worked, so that S2 starts E1 past it.
    "a load between two lines": alone(
        machine(
            stop_button() + button("S2") + "E1: {kind: heater, rated: 400 V AC 500 W, metal: false}\n" + "K1: {kind: contactor, poles: 2, coil: 230 V AC 5 W, contacts: {13-14: NO}}\n",
            "X0:L1>K1:1 K1:2>E1:1 X0:L2>K1:3 K1:4>E1:2 X0:L1>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 K1:A2>X0:N",
        ).replace("system: single-phase, voltage: 230 V", "system: three-phase, voltage: 400 V").replace("X0: {kind: inlet}", "X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}"),
        "D: held:K1:coil weld:K1:13-14 weld:S2:13-14 jammed:S2 H: weld:K1:1-2 weld:K1:3-4 earth:4 L: weld:S1:11-12 bridge:K1:A1+1 bridge:K1:3+13",
    ),
    # The selector starts E1 at the release anyway, which is told without a fault; so its weld adds nothing. 13-14 is free.
    "a selector in place of a start": alone(
        one_contactor(button("S7", kind="selector"), "X0:L>S1:11 S1:12>S7:13 S7:14>K1:A1", states="hot: {S7: worked}", stops=LATCHED),
        "D: weld:K1:1-2 held:K1:coil L: weld:S1:11-12 bridge:K1:A1+1",
    ),
    # 24 V tied to nothing: one fault to earth shows nowhere. Of the nets before S1 (6), behind it (7, 8) and at the coil
    # (9, 10) any two at earth bridge S1 or S2. The return (11) at earth with any of them breaks G1 down instead.
    "control volts that are earthed nowhere": alone(
        machine(stop_button() + button("S2") + heater() + contactor("K1", volts="24 V DC 3 W") + SUPPLY, "X0:L>G1:L X0:N>G1:N X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 G1:V+>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 K1:A2>G1:V-"),
        f"D: {SEALED} H: earth:6 earth:7 earth:8 earth:9 earth:10 L: weld:S1:11-12",
    ),
    # B7 on the machine: its two wires touch, its contact welds. Its actuator lost is left out where it is fitted. What
    # bridges B7 leaves S1, and the other way round.
    "a guard and a stop in one line": Table(
        one_contactor(button("S2") + "B7: {kind: guard-switch, at: machine, contacts: {11-12: NC}}\n", "X0:L>S1:11 S1:12>B7:11 B7:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1", stops=GUARDED),
        {
            "emergency": f"D: {SEALED} L: weld:S1:11-12 {TOUCHING}",
            "guard": f"D: {SEALED} wires:6+7 weld:B7:11-12 L: unmoved:B7 {TOUCHING}",
        },
    ),
    # Both coils on one wire, the seal on K1. K1 held in seals both at the release. A welded pole, or K2 held in, is seen
    # by nobody until the other contactor fails too. The pole of K1 leads L to K2:1, and from there to both coils.
    "two contactors on one channel": alone(
        machine(stop_button() + button("S2") + heater() + contactor("K1") + contactor("K2"), f"{TWO_LOADS} X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 K1:A1>K2:A1"),
        f"D: held:K1:coil weld:K1:13-14 weld:S2:13-14 jammed:S2 H: weld:K1:1-2 weld:K2:1-2 held:K2:coil L: weld:S1:11-12 {TOUCHING} bridge:K2:A1+1",
    ),
    # The mirrors in the start: a pole that stays in bars it, so that nothing is hidden. K1 held in or its seal welded
    # needs no start; the start stuck meets closed mirrors at the release, and so does S1:12 on 21. Behind the poles L
    # reaches both coils by K2:1 on A1, and by K2:2 on 22.
    "mirror contacts in the start": alone(
        machine(stop_button() + button("S2") + heater() + contactor("K1", "13-14: NO, 21-22: NC mirror") + contactor("K2", "21-22: NC mirror"), f"{TWO_LOADS} X0:L>S1:11 S1:12>S2:13 S2:14>K1:21 K1:22>K2:21 K2:22>K1:A1 S1:12>K1:13 K1:14>K1:A1 K1:A1>K2:A1"),
        f"D: held:K1:coil weld:K1:13-14 weld:S2:13-14 jammed:S2 L: weld:S1:11-12 {TOUCHING} bridge:K1:13+21 bridge:K2:A1+1 bridge:K2:2+22",
    ),
    # A key that springs back beside the start: stuck or welded it is a start that stays.
    "a key that springs back beside the start": alone(
        one_contactor(button("S2") + button("S8", kind="key-switch", more=", action: spring-return"), "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 S2:13>S8:13 S8:14>K1:A1"),
        f"D: {SEALED} weld:S8:13-14 jammed:S8 L: weld:S1:11-12 {TOUCHING}",
    ),
    # B3 in the seal stops for the process alone: whatever becomes of it, S1 opens ahead of it.
    "a pressure switch in the seal": alone(
        one_contactor(button("S2") + "B3: {kind: pressure-switch, at: machine, contacts: {11-12: NC}}\n", "X0:L>S1:11 S1:12>S2:13 S2:14>K1:A1 S1:12>B3:11 B3:12>K1:13 K1:14>K1:A1"),
        f"D: {SEALED} L: weld:S1:11-12 {TOUCHING}",
    ),
    # One contactor more in the chain, one more that must let go. The release starts E1 anyway.
    "a relay that copies the stop": alone(
        one_contactor(copying("K3") + button("S7", kind="selector"), "X0:L>S1:11 S1:12>K3:A1 K3:A2>X0:N X0:L>K3:13 K3:14>S7:13 S7:14>K1:A1", states="hot: {S7: worked}", stops=LATCHED),
        "D: weld:K1:1-2 held:K1:coil weld:K3:13-14 held:K3:coil L: weld:S1:11-12 bridge:K1:A1+1",
    ),
    # S1 closes to stop: every wire, contact and coil on the way to K3 that is open leaves E1 on. Wire 6 at earth shorts
    # L as soon as S1 closes.
    "a stop that must attract a relay": alone(
        machine(stop_button("13-14: NO") + heater() + contactor("K1") + copying("K3", "21-22: NC"), "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:13 S1:14>K3:A1 K3:A2>X0:N X0:L>K3:21 K3:22>K1:A1", stops=LATCHED),
        "D: weld:K1:1-2 held:K1:coil weld:K3:21-22 dead:K3:coil stay:S1:13-14 open:5 open:6 open:7 L: bridge:K1:A1+1",
    ),
    # 13-14 feeds both coils: its weld, or 24 V at 23 on 14, keeps both in; both lie inside.
    "two contactors on one output of a unit": alone(
        relay().replace("from: 'K0:24', to: 'K2:A1'", "from: 'K0:14', to: 'K2:A1'"),
        "L: held:K0:outputs weld:K0:13-14 bridge:K0:14+23",
    ),
    # K2 is not in the loop: it stays in unseen, and K1 next. K1 that stays in first bars the reset.
    "one of two mirrors in the loop": alone(
        machine(RELAY_PARTS, RELAY_WIRES.replace("K1:22>K2:21 K2:22>K0:S34", "K1:22>K0:S34") + "K2:2>E1:1"),
        "H: weld:K2:1-2 held:K2:coil L: held:K0:outputs",
    ),
    # B7 on the machine behind S1 in both channels at one polarity. Opened, B7 leaves both channels to one bridge each:
    # a weld, wires past a contact (11+12, 14+15), from the other channel (11+15, 12+14), or joined behind it (12+15).
    # 11+14 joins what is joined while S1 is in. S1 opened, nothing reaches any of these wires.
    "a guard and a stop in both channels": Table(
        machine(
            RELAY_PARTS + "B7: {kind: guard-switch, at: machine, contacts: {11-12: NC, 21-22: NC}}\n",
            RELAY_WIRES.replace("S1:12>K0:S12", "S1:12>B7:11 B7:12>K0:S12").replace("S1:22>K0:S22", "S1:22>B7:21 B7:22>K0:S22") + "K2:2>E1:1",
            stops=GUARDED,
        ),
        {
            "emergency": "L: held:K0:outputs",
            "guard": "H: weld:B7:11-12 weld:B7:21-22 wires:11+12 wires:14+15 wires:11+15 wires:12+14 wires:12+15 L: held:K0:outputs unmoved:B7",
        },
    ),
    # K9 behind the unit is one relay for both contactors: held in it keeps both, one welded contact of it one, which the
    # mirrors see.
    "one relay more behind a unit": alone(
        machine(
            RELAY_PARTS + copying("K9", "13-14: NO, 23-24: NO", "24 V DC 1 W"),
            RELAY_WIRES.replace("K0:14>K1:A1", "K0:14>K9:A1 K9:A2>G1:V- G1:V+>K9:13 K9:14>K1:A1").replace("K0:24>K2:A1", "G1:V+>K9:23 K9:24>K2:A1").replace("G1:V+>K0:23 ", "") + "K2:2>E1:1",
        ),
        "D: held:K9:coil L: held:K0:outputs weld:K0:13-14",
    ),
    # Two sealed contactors feed E1, each barred by the other. Whatever starts either at the release is dangerous: so does
    # 13 on 21, past the other one's start. L on a coil, and on 13, which leads to S1:12, feeds it past S1. E1:1 on the 14
    # of the one that is in seals it; the one that is out is barred. 14 on 22 leaves both behind S1. Which of the two is in
    # changes nothing else: both feed E1 from one point, and each is barred and sealed as the other is. What may be left
    # out and is told once is not tried again.
    "two directions sealed": Table(
        machine(
            stop_button() + button("S3") + button("S4") + heater() + contactor("K1", "13-14: NO, 21-22: NC") + contactor("K2", "13-14: NO, 21-22: NC"),
            "X0:L>K1:1 K1:2>E1:1 X0:L>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N X0:L>S1:11 S1:12>S3:13 S1:12>K1:13 S3:14>K2:21 K1:14>K2:21 K2:22>K1:A1 S1:12>S4:13 S1:12>K2:13 S4:14>K1:21 K2:14>K1:21 K1:22>K2:A1",
            states="fwd: {E1: on, S3: worked}",
            stops=LATCHED,
        ),
        {
            "emergency": "D: weld:K1:1-2 held:K1:coil weld:K1:13-14 weld:K2:1-2 held:K2:coil weld:K2:13-14 weld:S3:13-14 jammed:S3 weld:S4:13-14 jammed:S4 L: weld:S1:11-12 bridge:K1:A1+1 bridge:K1:1+13 bridge:K1:13+21 bridge:K1:2+14 bridge:K2:A1+1 bridge:K2:1+13 bridge:K2:13+21",
            "emergency while `fwd with K1 out and K2 in` runs": "D: weld:K1:1-2 held:K1:coil weld:K1:13-14 weld:K2:1-2 held:K2:coil weld:K2:13-14 weld:S3:13-14 jammed:S3 weld:S4:13-14 jammed:S4 L: bridge:K2:2+14",
        },
    ),
    # The reset counts while it is closed: its two wires on the machine touch, or it sticks, and the release starts E1.
    "a manual reset on the machine": alone(
        relay(mode="manual").replace("S2: {kind: push-button,", "S2: {kind: push-button, at: machine,"),
        "D: weld:S2:13-14 jammed:S2 wires:14+15 L: held:K0:outputs bridge:K0:S33+S34 bridge:K0:S34+13",
    ),
    # It counts when it is let go, which it then never is.
    "a monitored reset on the machine": alone(
        relay().replace("S2: {kind: push-button,", "S2: {kind: push-button, at: machine,"),
        "L: held:K0:outputs",
    ),
    # S1 takes the supply of the unit, whose channels are bridged: not wired as its maker's level asks, so that its
    # outputs held in must be assumed. One of them welded leaves the other contactor, and the mirror bars the reset.
    "a stop in the supply of a unit": alone(
        machine(
            RELAY_PARTS.replace("11-12: NC, 21-22: NC", "11-12: NC"),
            RELAY_WIRES.replace("G1:V+>K0:A1", "G1:V+>S1:11 S1:12>K0:A1").replace("K0:S11>S1:11 S1:12>K0:S12 K0:S21>S1:21 S1:22>K0:S22", "K0:S11>K0:S12 K0:S21>K0:S22") + "K2:2>E1:1",
        ),
        "D: held:K0:outputs L: weld:S1:11-12",
    ),
    # S1 on the machine with L (7, 13), behind its first contact (8, 11) and its second (14, 17). L on either keeps one
    # contactor in, whose mirror bars the start of the other: seen. Those behind both contacts joined show nowhere, and L
    # on either next keeps both in. The start stuck feeds both at the release. Whatever touches inside keeps one of the two
    # in, for as long as the other is.
    "two contactors by hand, their stop on the machine": alone(
        TWO_BY_HAND.replace("S1: {kind: emergency-stop,", "S1: {kind: emergency-stop, at: machine,"),
        "D: jammed:S2 H: wires:14+8 wires:17+8 wires:11+14 wires:11+17",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_every_fault_by_hand(name: str) -> None:
    table = TABLES[name]
    results = full_proof(design(table.plan).stopping).results
    assert set(results) == set(table.faults)
    for stop, text in table.faults.items():
        expected, letter = {}, ""
        for word in text.split():
            if word in ("D:", "H:", "L:", "?:"):
                letter = word[0]
            else:
                expected[word] = letter
        found = {one.fault.id: told(one) for one in results[stop].verdicts}
        assert set(expected) <= set(found), stop
        assert {name: one for name, one in found.items() if one != "S"} == expected, stop
