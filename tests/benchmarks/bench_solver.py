"""One operating point: this solver against scipy's sparse LU and against ngspice, and how the time grows.

Run from the project's root: `python tests/benchmarks/bench_solver.py`. Imports of numpy and scipy are not counted;
ngspice is counted as its own process, reading the netlist included, and is given our answer as its first guess ("none":
absent, or over a minute). The best of several runs counts.
"""

import math
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

tests = Path(__file__).parents[1]
sys.path[:0] = [str(tests.parent), str(tests), str(tests / "solver")]

from random_networks import two_wire  # noqa: E402
from spice import Netlist  # noqa: E402

from wiring.solver.driving_point import driving_point  # noqa: E402
from wiring.solver.ldl import factor, pattern  # noqa: E402
from wiring.solver.solve import solve  # noqa: E402

SIZES = (359, 4_000, 41_000)
LONGEST_S = 60


def best(run, times):
    found = []
    for _ in range(times):
        begin = time.perf_counter()
        run()
        found.append(time.perf_counter() - begin)
    return 1000.0 * min(found)


def by_scipy(network):
    """The same operating point by vectors: sparse LU once, then the same fixed-point iteration on the loads."""
    source = network.sources[0]
    a = np.array([branch.a for branch in network.branches] + [source.plus]) - 1
    b = np.array([branch.b for branch in network.branches] + [source.minus]) - 1
    g = 1.0 / np.array([branch.ohm for branch in network.branches] + [source.ohm])
    rows, columns, values = np.r_[a, b, a, b], np.r_[a, b, b, a], np.r_[g, g, -g, -g]
    inside = (rows >= 0) & (columns >= 0)
    size = network.nodes - 1
    matrix = coo_matrix((values[inside], (rows[inside], columns[inside])), shape=(size, size)).tocsc()
    lu = splu(matrix)
    ends = np.array([(load.a - 1, load.b - 1) for load in network.powers])
    watts = np.array([load.watts for load in network.powers])
    base = np.zeros(size)
    base[source.plus - 1] = source.volts / source.ohm
    volts, amps = lu.solve(base), np.zeros(len(watts))
    for _ in range(60):
        wanted = watts / (volts[ends[:, 0]] - volts[ends[:, 1]])
        if np.max(np.abs(wanted - amps)) < 1e-13:
            break
        amps, right = wanted, base.copy()
        np.subtract.at(right, ends[:, 0], amps)
        np.add.at(right, ends[:, 1], amps)
        volts = lu.solve(right)
    return volts


def factor_times(network):
    ground = network.nodes - 1
    links = [(branch.a - 1, branch.b - 1, 1.0 / branch.ohm) for branch in network.branches]
    links.append((network.sources[0].plus - 1, -1, 1.0 / network.sources[0].ohm))
    links = [(a if a >= 0 else ground, b if b >= 0 else ground, g) for a, b, g in links]
    shape = pattern(ground, [(a, b) for a, b, _ in links])
    values = shape.blank()
    for a, b, g in links:
        shape.enter(values, a, b, g)
    solved = factor(shape, values)
    right = [1.0] * ground
    return (
        len(solved.lower),
        best(lambda: pattern(ground, [(a, b) for a, b, _ in links]), 5),
        best(lambda: factor(shape, values), 5),
        best(lambda: solved.solve(right), 5),
        best(solved.selected_inverse, 5),
    )


def ngspice_time(network):
    if not shutil.which("ngspice"):
        return None
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "network.cir"
        path.write_text(Netlist(network, solve(network), "r").text(), encoding="ascii")
        try:
            return best(
                lambda: subprocess.run(
                    ["ngspice", "-b", str(path)], capture_output=True, check=True, timeout=LONGEST_S
                ),
                3 if network.nodes < 10_000 else 1,
            )
        except subprocess.TimeoutExpired:
            return None


def main():
    print(f"{'nodes':>6} {'solver':>9} {'scipy':>9} {'ngspice':>9}  {'to scipy':>8} {'to ngspice':>10} {'gap':>8}")
    took = []
    for nodes in SIZES:
        network = two_wire(nodes, 5, reach=nodes)
        own = best(lambda network=network: solve(network), 7 if nodes < 10_000 else 3)
        scipy_ms = best(lambda network=network: by_scipy(network), 7 if nodes < 10_000 else 3)
        spice_ms = ngspice_time(network)
        solution = solve(network)
        gap = max(abs(v - w) for v, w in zip(solution.volts[1:], by_scipy(network), strict=True))
        took.append(own)
        spice = f"{spice_ms:9.1f}" if spice_ms else "     none"
        ratio = f"{own / spice_ms:10.2f}" if spice_ms else ""
        print(
            f"{nodes:6} {own:9.2f} {scipy_ms:9.2f} {spice}  {own / scipy_ms:8.2f} {ratio} {gap:8.0e} {solution.outcome}"
        )
    growth = math.log(took[-1] / took[0]) / math.log(SIZES[-1] / SIZES[0])
    print(f"growth of the solver's time: nodes to the power {growth:.2f}\n")
    print(
        f"{'nodes':>6} {'entries':>8} {'order':>8} {'factor':>8} {'solve':>8} {'inverse':>8} {'driving point':>14}  ms"
    )
    for nodes in SIZES:
        network = two_wire(nodes, 5, reach=nodes)
        entries, *times = factor_times(network)
        whole = best(lambda network=network: driving_point(network), 3)
        print(f"{nodes:6} {entries:8} " + " ".join(f"{ms:8.3f}" for ms in times) + f" {whole:14.2f}")


if __name__ == "__main__":
    main()
