"""A law: the screen and the numbers put every operator and output alike, one after the other, in the same order.

Both play one person, so that who presses what, and which hands are let go before it, is the same in both; only what
contacts and coils answer may be told otherwise (the definition of the sequence, `Moment`). Programs let their outputs
go at the stop here, so that each change of them shows in both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import pytest
from helpers import design
from msgspec.structs import replace
from operated import button, relay
from random_controls import random_control

from wiring.control.condition import Condition
from wiring.control.inject import Case
from wiring.control.layers import solved_from
from wiring.control.net import build_net
from wiring.control.numeric_simulation import ControlSimulator, Snapshot
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import Moment, StopUse, is_program, other_operators, springing_back
from wiring.design.design import Design
from wiring.design.load import load
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint

SPECS = Path(__file__).parents[2] / "specs"
Frame = dict[Actuator, tuple[bool, bool]]
T = TypeVar("T")


class _Screen(ParallelSimulation):
    """The screen with one case, that notes how everything stands that a hand or a program moves."""

    frames: list[Frame]

    def _press(self, operators: Mapping[Actuator, tuple[int, int]]) -> None:
        super()._press(operators)
        on = {name: self.field.on.get(name, (0, 0)) for name in self.field.movers if _is_put(name)}
        self.frames.append({name: (bool(sure & 1), bool(perhaps & 1)) for name, (sure, perhaps) in on.items()})


class _Numbers(ControlSimulator):
    """The same in numbers."""

    put: list[frozenset[Actuator]]

    def rest(self, *, at_once: bool = False) -> Snapshot:
        found = super().rest(at_once=at_once)
        self.put.append(self.operated | self.programs)
        return found


def _is_put(actuator: Actuator) -> bool:
    return actuator[1] in ("operator", "handle") or is_program(actuator[1])


def assert_alike(running: OperatingPoint, use: StopUse, device: str, condition: Condition) -> int:
    """The length of the sequence, which both go through step by step."""
    net = build_net(running.lowered, use.targets)
    case = Case(device, (), changed=condition.changed, held=condition.held)
    screen = _Screen(net, [case], use)
    screen.frames = []
    screen.run()
    numbers = _Numbers(running, use, device, (), replace(condition, outputs_on=False), solved_from(running))
    numbers.put = []
    numbers.run_script()
    names = [name for name in screen.field.movers if _is_put(name)]
    mine = _without_repeats([{name: frame[name] for name in names} for frame in screen.frames])
    theirs = _without_repeats([{name: name in put for name in names} for put in numbers.put])[1:]
    told = f"{use.called} {device} {condition}"
    assert len(mine) == len(theirs), told
    for n, (frame, put) in enumerate(zip(mine, theirs, strict=True)):
        unlike = [name for name in names if not frame[name][0] <= put[name] <= frame[name][1]]
        assert unlike == [], f"{told} step {n}"
    return len(mine)


def _without_repeats(frames: Sequence[T]) -> list[T]:
    return [frame for n, frame in enumerate(frames) if n == 0 or frame != frames[n - 1]]


def conditions(use: StopUse, device: str) -> list[Condition]:
    """Every other operator at rest, and each of them worked; what springs back held across the release too."""
    others = [frozenset({one}) for one in other_operators(use, device)]
    held = [one for one in others if one <= springing_back(use.operators)]
    return [
        Condition(),
        *(Condition(changed=one) for one in others),
        *(Condition(changed=one, held=True) for one in held),
    ]


def assert_all_alike(machine: Design, most: int = 99) -> int:
    steps = 0
    for one in machine.stopping.from_states:
        for use in one.uses:
            for device in use.devices:
                for condition in conditions(use, device)[:most]:
                    steps = max(steps, assert_alike(one.running, use, device, condition))
    return steps


@pytest.mark.parametrize("name", ["coil-winder", "stone-engraver"])
def test_specs(name: str) -> None:
    """Both press a stop, a reset and a start, and let go of each."""
    machine = load(SPECS / f"{name}.yaml").design
    assert machine is not None
    assert assert_all_alike(machine, 4) > 6


@pytest.mark.parametrize("more", [False, True])
def test_random_circuits(more: bool) -> None:
    for seed in range(4):
        assert_all_alike(design(random_control(seed, more=more)))


def test_a_reset_and_a_start_behind_it() -> None:
    """A pedal is held while the machine runs: the foot leaves it for the reset, and is on it for the start S5."""
    text = relay(
        button("S5", "13-14: NO") + button("S7", kind="foot-switch"),
        "K2:2>S7:13 S7:14>E1:1",
        states="hot: {E1: on, S7: worked}",
    ).replace("from: 'K0:24', to: 'K2:A1'", "from: 'K0:24', to: 'S5:13'")
    text = text.replace("{21-22: NC mirror}", "{21-22: NC mirror, 13-14: NO}").replace(
        "wires:\n",
        "wires:\n"
        + "".join(
            f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1.5 mm2, length: 1 m}}\n"
            for n, a, b in ((91, "S5:14", "K2:A1"), (92, "K0:24", "K2:13"), (93, "K2:14", "K2:A1"))
        ),
    )
    machine = design(text)
    [one] = machine.stopping.from_states
    [use] = one.uses
    assert use.starts == ("S2", "S5")
    assert assert_alike(one.running, use, "S1", Condition()) >= 10


def test_what_a_case_shows_does_not_hang_on_the_cases_beside_it() -> None:
    """A start of which the first case needs none: alone it is pressed as it is beside a case that needs it."""
    text = relay(button("S5"), "K2:2>E1:1 X0:L>S5:13")
    machine = design(text)
    use = replace(machine.stopping.uses[0], starts=("S2", "S5"))
    net = build_net(machine.lowered, use.targets)
    alone = ParallelSimulation(net, [Case("S1", ())], use).run()
    assert alone.presses == 2
    assert ParallelSimulation(net, [Case("S1", ())], use).run(until_running=True).presses == 1
    assert set(alone.seen) == set(Moment)
