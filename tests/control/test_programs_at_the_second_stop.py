"""Outputs of programs at the second stop, and when the machine is put back as it stood before: nobody knows them then.

Derived by hand: a heater on the relay of an output alone is fed for certain while the machine runs, and once the stop
is worked the program may hold it or let it go, whatever was looked at before.
"""

from __future__ import annotations

from helpers import design

from wiring.control.condition import Condition
from wiring.control.inject import Case
from wiring.control.net import build_net
from wiring.control.numeric_simulation import run_script
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import Moment

PLAN = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}
stops: {emergency: {devices: [S1], category: 0}}
parts:
  X0: {kind: inlet}
  S1: {kind: emergency-stop, contacts: {11-12: NC}}
  H1: {kind: lamp, rated: 230 V AC 1 W}
  A1: {kind: io-card, outputs: {1-2: relay}}
  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
wires:
  - {wire: 1, from: X0:L, to: A1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: A1:2, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 3, from: E1:2, to: X0:N, size: 1.5 mm2, length: 1 m}
  - {wire: 4, from: X0:L, to: S1:11, size: 1.5 mm2, length: 1 m}
  - {wire: 5, from: S1:12, to: H1:X1, size: 1.5 mm2, length: 1 m}
  - {wire: 6, from: H1:X2, to: X0:N, size: 1.5 mm2, length: 1 m}
"""
#: When E1 is fed, surely and perhaps. On return of the mains counts what was dead without them.
WANTED = {
    Moment.RUN: (1, 1),
    Moment.STOP: (0, 1),
    Moment.RELEASE: (0, 1),
    Moment.AGAIN: (1, 1),
    Moment.DEMAND: (0, 1),
    Moment.MAINS_OFF: (0, 0),
    Moment.MAINS_ON: (0, 1),
}


def test_logic_knows_them_only_while_the_machine_runs() -> None:
    machine = design(PLAN)
    [use] = machine.stopping.uses
    assert [target.name for target in use.targets] == ["E1"]
    seen = ParallelSimulation(build_net(machine.lowered, use.targets), [Case("S1", ())], use).run().seen
    assert {moment: seen[moment].targets[0] for moment in WANTED} == WANTED


def test_numbers_leave_them_as_the_condition_says() -> None:
    machine = design(PLAN)
    [use] = machine.stopping.uses
    for on in (True, False):
        seen = run_script(machine.stop_proof.running, use, "S1", (), Condition(outputs_on=on))
        alive = {moment: int("E1" in seen[moment].alive) for moment in WANTED if moment in seen}
        assert alive == {moment: WANTED[moment][on] for moment in alive}
