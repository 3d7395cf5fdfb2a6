"""A chain of relays, each fed over the contact of the one before it, comes to rest however long it is.

When its first relay lets go, every other one does so once, in turn, and nothing feeds any of them again.
"""

from __future__ import annotations

from functools import cache

import pytest
from circuits import SEAL
from helpers import design, most_alive

from wiring.control.inject import Case
from wiring.control.net import build_net
from wiring.control.numeric_simulation import run_script
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import Moment
from wiring.design.design import Design
from wiring.solver.assembly import Position
from wiring.solver.settling import operate

#: More relays than any search has rounds for a few of them.
LENGTH = 70


def chain(first: str) -> str:
    """The sealed contactor with a chain of relays; the first of them hangs on a node of the plan."""
    parts = "".join(
        f"  R{n}: {{kind: relay, coil: 230 V AC 1 W, contacts: {{13-14: NO}}}}\n" for n in range(1, LENGTH + 1)
    )
    ends = [(first, "R1:A1"), *((f"R{n}:14", f"R{n + 1}:A1") for n in range(1, LENGTH))]
    ends += [(f"R{n}:{a}", f"X0:{b}") for n in range(1, LENGTH + 1) for a, b in (("A2", "N"), ("13", "L"))]
    wires = "".join(
        f"  - {{wire: {100 + n}, from: {a}, to: {b}, size: 1.5 mm2, length: 1 m}}\n" for n, (a, b) in enumerate(ends)
    )
    return SEAL.replace("  E1:", parts + "  E1:") + wires


@cache
def chained() -> Design:
    return design(chain("S1:12"))


def test_it_comes_to_rest_in_a_state() -> None:
    """Nothing feeds the first relay, since nobody presses S2 and the contactor is not held: all have let go."""
    lines = chain("K1:A1").splitlines(keepends=True)
    unsealed = design("".join(line for line in lines if "{wire: 8," not in line))
    point = operate(unsealed.lowered, Position())
    assert point.settled
    assert not point.attracted


@pytest.mark.parametrize("moment", [Moment.STOP, Moment.RELEASE])
def test_numbers_come_to_rest(moment: Moment) -> None:
    machine = chained()
    [use] = machine.stopping.uses
    seen = run_script(most_alive(machine, use.targets), use, "S1", ())
    attracted = {name for name, _ in seen[moment].point.attracted if name.startswith("R")}
    assert seen[moment].settled
    assert attracted == (set() if moment is Moment.STOP else {f"R{n}" for n in range(1, LENGTH + 1)})


def test_logic_comes_to_rest() -> None:
    machine = chained()
    [use] = machine.stopping.uses
    result = ParallelSimulation(build_net(machine.lowered, use.targets), [Case("S1", ())], use).run()
    assert not result.unstable
