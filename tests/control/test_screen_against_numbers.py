"""The screen against the machine solved in numbers, fault by fault and moment by moment: no danger may be missed.

WIRING_RANDOM_CIRCUITS sets how many random circuits are played (40 without it), WIRING_EVERY_FAULT plays every fault
of the specs instead of one in a few.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import pytest
from circuits import two_channels
from helpers import design, most_alive
from random_controls import random_control

from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.faults import single_faults
from wiring.control.numeric_simulation import run_either_way, run_script
from wiring.control.operator_halves import AT_REST, Trials
from wiring.control.screening import Screening, screen_faults
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse
from wiring.design.design import Design
from wiring.design.load import load
from wiring.solver.operating import OperatingPoint

COUNT = int(os.environ.get("WIRING_RANDOM_CIRCUITS", "40"))
SPECS = Path(__file__).parents[2] / "specs"
AFTER_THE_FAULT = tuple(moment for moment in Moment if moment is not Moment.RUN)
STRIDE = {"coil-winder": 23, "bench-press-feeder": 23, "foam-gantry": 149, "stone-engraver": 199}


@pytest.mark.parametrize("seed", range(COUNT // 4))
def test_random_circuits_with_locks_delays_and_a_button_that_is_held(seed: int) -> None:
    """Both stops, that by the button let go too; in the order of coils in which all move at once."""
    machine = design(random_control(seed, more=True))
    assert "S2" in machine.circuit.hold_to_run
    assert machine.circuit.mechanical_locks
    every = 1 if "WIRING_RANDOM_CIRCUITS" in os.environ else 11
    for one in machine.stopping.from_states:
        for use in one.uses:
            assert disagreements(machine, every, use, running=one.running) == []


def screenings_of(machine: Design, use: StopUse) -> tuple[Screening, ...]:
    """Every single fault of a machine screened."""
    return screen_faults(machine.lowered, use, single_faults(machine.circuit))


def disagreements(
    machine: Design,
    stride: int,
    use: StopUse | None = None,
    screenings: Sequence[Screening] = (),
    running: OperatingPoint | None = None,
) -> list[str]:
    """Where the numbers say alive and the screen says dead, or the screen is certain and the numbers say otherwise."""
    found = []
    use = use or machine.stopping.uses[0]
    running = running or most_alive(machine, use.targets)
    for screening in screenings or screenings_of(machine, use):
        screened = screening.screened[0]
        for n, device, fault in _tried(screening, use.devices, stride):
            ways = run_either_way(running, use, device, (fault,), Condition())
            for moment, shot in ((moment, seen[moment]) for _, seen in ways for moment in AFTER_THE_FAULT):
                for target, (sure, perhaps) in zip(screening.net.targets, screened.seen[moment].targets, strict=True):
                    alive = target.name in shot.alive
                    told = f"{device} {fault.id} {moment} {target.name}"
                    if alive and not perhaps >> n & 1:
                        found.append(f"missed: {told}")
                    if sure >> n & 1 and not alive:
                        found.append(f"false: {told} {shot.reason}")
    return found


def missed_in_positions(machine: Design, stride: int, screenings: Sequence[Screening]) -> list[str]:
    """Where the numbers say alive with one other operator worked, and the screen with all of them free says dead."""
    found = []
    use = machine.stopping.uses[0]
    running = most_alive(machine, use.targets)
    for screening in screenings:
        screened = screening.screened[0]
        for n, device, fault in _tried(screening, use.devices, stride):
            others = Trials(screening.net, use, {}, ()).others(device)
            for changed in (AT_REST, *(frozenset({actuator}) for actuator in sorted(others))):
                seen = run_script(running, use, device, (fault,), Condition(changed=changed))
                for moment in MUST_BE_DEAD:
                    for target, (_, perhaps) in zip(screening.net.targets, screened.seen[moment].targets, strict=True):
                        if target.name in seen[moment].alive and not perhaps >> n & 1:
                            found.append(f"{device} {sorted(changed)} {fault.id} {moment} {target.name}")
    return found


def _tried(screening: Screening, devices: Sequence[str], stride: int) -> list[tuple[int, str, Fault]]:
    """Every so many cases of a screening, each with one of the faults that share it."""
    unlike = {screening.place(device, fault.id): (device, fault) for fault in screening.faults for device in devices}
    return [(n, *pair) for n, pair in unlike.items()][::stride]


@pytest.mark.parametrize("name", sorted(STRIDE))
def test_specs(name: str) -> None:
    """With nobody at the other operators, and with each of them worked."""
    machine = load(SPECS / f"{name}.yaml").design
    assert machine is not None
    screenings = screenings_of(machine, machine.stopping.uses[0])
    every = 1 if os.environ.get("WIRING_EVERY_FAULT") else STRIDE[name]
    assert disagreements(machine, every, screenings=screenings) == []
    assert missed_in_positions(machine, 7 * STRIDE[name], screenings) == []


@pytest.mark.parametrize("cross_fault", [False, True])
@pytest.mark.parametrize("reset", ["monitored", "manual", "automatic"])
def test_two_channels(reset: str, cross_fault: bool) -> None:
    assert disagreements(design(two_channels(reset=reset, cross_fault=cross_fault)), 3) == []


@pytest.mark.parametrize("seed", range(COUNT))
def test_random_control_circuits(seed: int) -> None:
    """In the first quarter of them with each of the other operators worked as well."""
    machine, many = design(random_control(seed)), "WIRING_RANDOM_CIRCUITS" in os.environ
    screenings = screenings_of(machine, machine.stopping.uses[0])
    assert disagreements(machine, 1 if many else 5, screenings=screenings) == []
    if seed < COUNT // 4:
        assert missed_in_positions(machine, 3 if many else 11, screenings) == []
