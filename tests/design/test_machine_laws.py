"""Laws that every solved machine obeys: power balance, more load never less current, the same answer for any order."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st

from wiring.design.design import Design
from wiring.design.load import load
from wiring.solver.operating import Layer
from wiring.solver.solution import SourceMode

SPECS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


def powers(layer: Layer) -> tuple[float, float]:
    """What the sources of a layer give, and what its resistances, loads and diodes take [W]."""
    network, solution = layer.assembled.network, layer.solution

    def across(a: int, b: int) -> complex:
        return complex(solution.between(a, b) or 0.0)

    given = taken = 0.0
    for source, amps, mode in zip(network.sources, solution.source_a, solution.source_mode, strict=True):
        if mode is SourceMode.CONSTANT_CURRENT:  # its voltage gives way, so it gives what stands at its terminals
            given += (across(source.plus, source.minus) * complex(amps or 0.0).conjugate()).real
            continue
        given += (complex(source.volts) * complex(amps or 0.0).conjugate()).real
        taken += abs(amps or 0.0) ** 2 * source.ohm.real
    for branch, amps in zip(network.branches, solution.branch_a, strict=True):
        taken += abs(amps or 0.0) ** 2 * branch.ohm.real
    for load_, amps in zip(network.powers, solution.power_a, strict=True):
        taken += (across(load_.a, load_.b) * complex(amps or 0.0).conjugate()).real
    for current, amps in zip(network.currents, solution.current_a, strict=True):
        taken += (across(current.a, current.b) * complex(amps or 0.0).conjugate()).real
    for diode, amps in zip(network.diodes, solution.diode_a, strict=True):
        taken += (across(diode.a, diode.b) * complex(amps or 0.0)).real
    return given, taken


@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_what_the_sources_give_is_what_the_rest_takes(path: Path) -> None:
    found = load(path).design
    assert found is not None
    for points in (found.states, found.averages, found.peaks):
        for point in points.values():
            for layer in (point.dc, point.ac):
                given, taken = powers(layer)
                assert given == pytest.approx(taken, rel=1e-9, abs=1e-7)


def test_a_converter_takes_what_it_gives_over_its_efficiency() -> None:
    """24 V to 5 V at 80 %: a load of 4 W takes 5 W and the standby of 0.5 W."""
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  G2: {kind: converter, input: 18..36 V DC, output: 5 V DC, rated: 2 A, efficiency: 80 %, standby: 0.5 W}
  E1: {kind: load, rated: 5 V DC 4 W}
wires:
  - {wire: 1, from: G1:V+, to: G2:IN+, size: 50 mm2, length: 1 mm}
  - {wire: 2, from: G1:V-, to: G2:IN-, size: 50 mm2, length: 1 mm}
  - {wire: 3, from: G2:V+, to: E1:1, size: 50 mm2, length: 1 mm}
  - {wire: 4, from: G2:V-, to: E1:2, size: 50 mm2, length: 1 mm}
"""
    rows = design(body).supplies
    assert rows["G1"]["work"].watts == pytest.approx(5.5, rel=1e-3)


def loads(watts: list[float]) -> str:
    parts = "".join(f"  E{n}: {{kind: load, rated: 24 V DC {value:.3f} W}}\n" for n, value in enumerate(watts))
    wires = "".join(
        f"  - {{wire: {n}P, from: G1:V+, to: E{n}:1, size: 1.5 mm2, length: {1 + n} m}}\n"
        f"  - {{wire: {n}M, from: G1:V-, to: E{n}:2, size: 1.5 mm2, length: {1 + n} m}}\n"
        for n in range(len(watts))
    )
    supply = "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 100 A}\n"
    return f"\nparts:\n{supply}{parts}wires:\n{wires}"


@given(st.lists(st.floats(0.1, 60.0), min_size=1, max_size=6), st.floats(0.1, 60.0))
def test_one_load_more_never_lowers_the_current_of_its_supply(watts: list[float], more: float) -> None:
    before = design(loads(watts)).supplies["G1"]["work"].current_a
    after = design(loads([*watts, more])).supplies["G1"]["work"].current_a
    assert after > before


def shuffled(path: Path, seed: int) -> str:
    """A plan with its wires in another order."""
    head, rest = path.read_text(encoding="utf-8").split("\nwires:\n")
    body, tail = rest.split("\ncables:\n")
    lines = [line for line in body.splitlines() if line.startswith("  - ")]
    random.Random(seed).shuffle(lines)
    return f"{head}\nwires:\n" + "\n".join(lines) + f"\n\ncables:\n{tail}"


def answers(found: Design) -> list[object]:
    """Currents of all conductors and supplies, and what all devices see, without places in the file."""
    faults = found.short_circuits.devices.values()
    return [
        {name: (row.current_a, row.drop_v) for name, row in found.conductors.items()},
        {name: {state: row.current_a for state, row in rows.items()} for name, rows in found.supplies.items()},
        [(row.part, row.farthest.node, row.farthest.lowest.initial_a, row.clearing) for row in faults],
    ]


@pytest.mark.parametrize("seed", [1, 2])
def test_the_order_of_the_wires_changes_nothing(seed: int, tmp_path: Path) -> None:
    path = next(path for path in SPECS if path.stem == "coil-winder")
    other = tmp_path / "plan.yaml"
    other.write_text(shuffled(path, seed), encoding="utf-8")
    first, second = load(path).design, load(other).design
    assert first is not None
    assert second is not None
    assert answers(first) == answers(second)


def test_the_report_is_the_same_for_any_hash_seed() -> None:
    path = next(path for path in SPECS if path.stem == "coil-winder")
    found = set()
    for seed in ("0", "1", "4711"):
        run = subprocess.run(
            [sys.executable, "-m", "wiring", "check", str(path), "--format", "json"],
            capture_output=True,
            check=False,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        assert run.stdout, run.stderr
        found.add(run.stdout)
    assert len(found) == 1
