"""The same bytes for any hash seed."""

import os
import subprocess
import sys
from pathlib import Path

SCRIPT = """
from msgspec.structs import replace
from random_networks import mesh, two_wire, with_taps
from wiring.solver.driving_point import driving_point
from wiring.solver.network import Diode, Overload, VoltageSource
from wiring.solver.solve import solve
for seed in range(6):
    network = with_taps(two_wire(150, seed), seed)
    extra = VoltageSource(1, 0, 23.0, 0.02, Overload.CONSTANT_CURRENT, 2.0)
    network = replace(network, sources=(*network.sources, extra), diodes=(Diode(0, 1, 0.7, 0.01),))
    print(solve(network))
    print(solve(mesh(80, seed)), driving_point(mesh(80, seed), [(3, 40)]))
"""


def answer(seed):
    root = Path(__file__).parents[2]
    paths = os.pathsep.join([str(root), str(Path(__file__).parent)])
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": paths}
    run = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, env=environment, timeout=120, check=True)
    return run.stdout


def test_any_hash_seed_gives_the_same_bytes():
    first = answer("1")
    assert len(first) > 10_000
    assert answer("4242") == first


def test_the_solver_needs_no_numeric_library():
    """Numpy and scipy cost more to import than a whole check; they serve as references in the tests only."""
    code = "import sys, wiring.solver.solve, wiring.solver.driving_point; print(sorted(sys.modules))"
    root = str(Path(__file__).parents[2])
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env={**os.environ, "PYTHONPATH": root}, check=True
    )
    assert "wiring.solver.ldl" in run.stdout
    assert "numpy" not in run.stdout
    assert "scipy" not in run.stdout
