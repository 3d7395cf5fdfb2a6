"""Law: a program does what a state says. No output is on there that does nothing but feed what the state turns off or
leaves standing still, and none is off whose being on would feed what the state runs.

Each output is turned round in numbers, one at a time, and the machine solved again: what goes dead or comes alive is
compared with the words of the state. Of stops the dangerous position counts: with a program that may do anything,
nothing that any setting of one output feeds may be alive in no point from which stops are proved.
"""

from __future__ import annotations

import os
from functools import cache
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from wiring.design.design import Design
from wiring.design.load import load
from wiring.design.stop.hazards import drives_of, is_live, run_inputs
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.motors import Shaft
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, program_outputs

ROOT = Path(__file__).parents[2]
#: Plans in which a program drives something by a contact; most of them were written by judges who saw no code.
PLANS = tuple(
    path
    for folder in ("specs", "tests/judging")
    for path in sorted((ROOT / folder).glob("*.yaml"))
    if not path.name.startswith(("ninth", "tenth"))
    and "mistakes" not in path.name
    and ("pnp" in (text := path.read_text("utf-8")) or "relay" in text)
)
SIZE = len(PLANS) if os.environ.get("WIRING_LAWS") == "all" else 3
#: Below this a signal input is off: 11 V of 24 V, type 3 of IEC 61131-2 (from memory).
OFF_V = 11.0


def drawn() -> list[Path]:
    seed = sha256("".join(path.read_text("utf-8") for path in PLANS).encode()).digest()
    return sorted(Random(seed).sample(PLANS, SIZE))


@cache
def design(path: Path) -> Design:
    found = load(path).design
    assert found is not None
    return found


def at_work(design: Design, point: OperatingPoint) -> frozenset[str]:
    """What is fed, and the motors that an inverter is told to run."""
    parts = (part for part in design.parts.values() if not isinstance(part.data, Coiled | SafetyRelay | Drive))
    return frozenset(part.name for part in parts if _works(design, point, part))


def _works(design: Design, point: OperatingPoint, part: Part) -> bool:
    told = [((drive.name, a), (drive.name, b)) for drive in drives_of(part, design.axes) for a, b in run_inputs(drive)]
    if told and isinstance(part.data, Shaft):
        return any(abs(point.between(a, b, "DC")) > OFF_V for a, b in told)
    return is_live(part, design.axes, point)


def turned(design: Design, state: str, output: Actuator) -> OperatingPoint:
    """A state with one output turned round."""
    point = design.states[state]
    held = point.position.moved - point.attracted
    position = point.position.__class__(held ^ {output}, frozenset(), point.position.off, point.position.demand)
    return operate(design.lowered, position, near=point)


@cache
def cases(path: Path) -> list[tuple[str, Actuator, frozenset[str], frozenset[str]]]:
    """Each state and output with what works in the state and what does with the output turned round."""
    plan = design(path)
    return [
        (state, output, at_work(plan, point), at_work(plan, turned(plan, state, output)))
        for state, point in plan.states.items()
        for output in sorted(program_outputs(plan.circuit))
    ]


def still(design: Design, state: str, name: str) -> bool:
    """Whether a state says that a part is off: it says so, or names no motion of a motor that a contact starts."""
    entry = design.state_entries[state].get(name)
    part = design.parts[name]
    told = any(run_inputs(drive) for drive in drives_of(part, design.axes))
    moves = isinstance(part.data, Shaft) and (told or not drives_of(part, design.axes))
    return (entry is None and moves) or (entry is not None and entry.mode in (("off", "hold") if moves else ("off",)))


@pytest.mark.parametrize("path", drawn(), ids=lambda path: path.stem)
def test_no_output_is_on_for_nothing_but_what_a_state_turns_off(path: Path) -> None:
    plan = design(path)
    for state, output, before, after in cases(path):
        on = output in plan.states[state].position.moved
        fed = (before - after) if on else (after - before)  # by the output being on
        if on and fed:
            assert not all(still(plan, state, name) for name in fed), (state, output, fed)
        if not on:
            wanted = {name for name in fed if plan.state_entries[state].get(name) and not still(plan, state, name)}
            assert not wanted, (state, output, wanted)


@pytest.mark.parametrize("path", drawn(), ids=lambda path: path.stem)
def test_what_an_output_can_feed_is_proved_by_the_stops(path: Path) -> None:
    plan = design(path)
    named = {name for entries in plan.state_entries.values() for name in entries}
    proved = frozenset[str]().union(*(at_work(plan, point) for point in plan.operation.proved.values()))
    for state, output, before, after in cases(path):
        weighs = {name for name in before | after if name in named or plan.parts[name].data.is_hazard()}
        assert weighs <= proved, (state, output, weighs - proved)
