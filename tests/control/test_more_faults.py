"""Change-overs, pulled plugs and brakes among the single faults, derived by hand.

Fault models: ISO 13849-2 annex D, tables D.7, D.9 and D.11 (from memory).
"""

from __future__ import annotations

from pathlib import Path

from circuits import SEAL, two_channels
from helpers import design, most_alive

from wiring.control.faults import single_faults
from wiring.control.verdicts import Verdict
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult
from wiring.design.stop.uses import FromRunning, results_of, together

SPEC = Path(__file__).parents[2] / "specs/stone-engraver.yaml"


def verdict(text: str, fault: str) -> Verdict:
    result = full_proof(design(text).stopping, fault=fault).results["emergency"]
    [one] = {one.verdict for one in result.verdicts if one.fault.id == fault}
    return one


#: The seal of K1 through a relay K2 that copies K1: its make contact seals, its break contact lights a lamp.
COPIED = (
    SEAL.replace("from: S2:13, to: K1:13", "from: S2:13, to: K2:11")
    .replace("from: K1:14, to: K1:A1", "from: K2:14, to: K1:A1")
    .replace("  E1:", "  K2: {kind: relay, coil: 230 V AC 2 W, contacts: {11-14: NO, 11-12: NC}}\n  E1:")
    + "  - {wire: 20, from: K1:A1, to: K2:A1, size: 1 mm2, length: 1 m}\n"
    + "  - {wire: 21, from: K1:A2, to: K2:A2, size: 1 mm2, length: 1 m}\n"
)


def test_a_change_over_shorted_across_closes_its_make_contact() -> None:
    """11, 12 and 14 in one: 14 is fed from 11 whether K2 attracts or not, so that K1 starts when S1 is released."""
    assert verdict(COPIED, "change-over:K2:11-14+11-12") is Verdict.DANGEROUS


def test_contacts_without_a_common_end_are_no_change_over() -> None:
    faults = design(two_channels()).stop_proof.faults
    assert [fault.id for fault in faults if fault.kind == "change-over"] == []


PLUGGED = (
    two_channels()
    .replace("  E1:", "  X5: {kind: connector, contacts: ['1', '2', '3', '4']}\n  E1:")
    .replace("['K0:S11', 'S1:11']", "['X5:1', 'S1:11']")
    .replace("['S1:12', 'K0:S12']", "['S1:12', 'X5:2']")
    .replace("['K0:S21', 'S1:21']", "['X5:3', 'S1:21']")
    .replace("['S1:22', 'K0:S22']", "['S1:22', 'X5:4']")
    .replace(
        "cables:",
        "".join(
            f"  - {{wire: 8{n}, from: 'K0:{end}', to: 'X5:{n}', size: 1 mm2, length: 1 m}}\n"
            for n, end in enumerate(("S11", "S12", "S21", "S22"), 1)
        )
        + "cables:",
    )
)


def test_a_pulled_plug_of_the_stop_device_stops_the_machine() -> None:
    """Both channels open: K0 lets go at once, and no reset counts while they are open."""
    proof = full_proof(design(PLUGGED).stopping, fault="unplugged:X5:C1").results["emergency"]
    [one] = [one for one in proof.verdicts if one.fault.id == "unplugged:X5:C1"]
    assert one.fault.opened == ("C1.1", "C1.2", "C1.3", "C1.4")
    assert (one.verdict, one.runs) == (Verdict.SAFE, False)


def without_a_fault(machine: Design) -> list[StopResult]:
    """The stops of the sound machine, no fault tried."""
    found = machine.stopping.uses
    running = most_alive(machine, together(found).targets)
    return list(results_of([FromRunning(found, (), running)], machine.lowered, machine.operation)[0].values())


def test_the_brake_of_a_falling_axis_must_fall_in_at_a_stop() -> None:
    """K0:43-44 cuts the feed of K4, whose contact releases the brake Y1 of the vertical axis. Fed past K0, from X1:6,
    the brake hangs on the output of a program alone, which no stop may rest on: Y1 stays released."""
    text = SPEC.read_text(encoding="utf-8")
    sound = load_text(text, "spec.yaml").design
    assert sound is not None
    for result in without_a_fault(sound):
        assert {target.name for target in result.use.targets} >= {"M3", "Y1"}
        assert all("Y1" in one.running and "Y1" not in one.left for one in result.sound)
    assert text.count("through: [K0:44, K3:11, K4:11]") == 1
    moved = text.replace("through: [K0:44, K3:11, K4:11]", "through: [K0:44, K3:11]")
    moved = moved.replace(
        "  - {wire: 357, from: K4:14",
        "  - {wire: 999, from: K0:43, to: K4:11, type: control}\n  - {wire: 357, from: K4:14",
    )
    past = load_text(moved, "spec.yaml").design
    assert past is not None
    assert all("Y1" in one.left for result in without_a_fault(past) for one in result.sound)


def test_a_welded_contact_holds_those_apart_that_are_built_so() -> None:
    """Mirror contacts of a contactor (IEC 60947-4-1, annex F) and the linked contacts of a relay (IEC 60947-5-1, annex
    L) cannot close while a make contact is welded; any other break contact may. Both annexes from memory."""
    machine = design("""
parts:
  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC, 31-32: NC mirror}}
  K2: {kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 21-22: NC}}
  K3: {kind: relay, coil: 24 V DC 1 W, forced: true, contacts: {13-14: NO, 21-22: NC}}
wires: []
""")
    held = {fault.id: fault.opened for fault in single_faults(machine.circuit) if fault.kind == "weld"}
    assert held["weld:K1:13-14"] == held["weld:K1:1-2"] == ("K1:31-32",)
    assert held["weld:K2:13-14"] == ()
    assert held["weld:K3:13-14"] == ("K3:21-22",)
