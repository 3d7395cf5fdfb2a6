"""Operating points against ngspice on random networks of 10 to 400 nodes with constant-power loads."""

import os
import re
import shutil
import subprocess

import pytest
from random_networks import two_wire, with_taps

from wiring.solver.solution import Outcome
from wiring.solver.solve import solve

OPTIONS = ".options reltol=1e-12 abstol=1e-15 vntol=1e-13 gmin=1e-18 itl1=500 noacct"


def need_ngspice():
    if shutil.which("ngspice"):
        return
    if os.environ.get("CI") == "true":
        pytest.fail("ngspice is not installed, and CI must not pass without it: apt-get install ngspice")
    pytest.skip("ngspice is not installed: apt-get install ngspice")


def netlist(network):
    """Constant power as a behavioural source; the no-load voltage as first guess, so that it takes the upper branch."""
    lines = ["random network", OPTIONS]
    opened = network.sources[0].volts
    for index, branch in enumerate(network.branches):
        lines.append(f"R{index} {branch.a} {branch.b} {branch.ohm!r}")
    for index, source in enumerate(network.sources):
        lines.append(f"V{index} s{index} {source.minus} {source.volts!r}")
        lines.append(f"RS{index} s{index} {source.plus} {source.ohm!r}")
    for index, load in enumerate(network.powers):
        lines.append(f"B{index} {load.a} {load.b} I={load.watts!r}/max(V({load.a},{load.b}),1)")
    for index, draw in enumerate(network.currents):
        lines.append(f"I{index} {draw.a} {draw.b} {draw.amps!r}")
    half = max(2, network.nodes // 2)
    lines.append(".nodeset " + " ".join(f"v({node})={opened!r}" for node in range(1, half)))
    lines += [".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def spice_volts(network, folder):
    path = folder / "network.cir"
    path.write_text(netlist(network), encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False)
    found = {0: 0.0}
    for name, value in re.findall(r"^v?\(?(\d+)\)? = (\S+)$", run.stdout, flags=re.MULTILINE):
        found[int(name)] = float(value)
    assert len(found) == network.nodes, run.stdout[-2000:] + run.stderr[-2000:]
    return [found[node] for node in range(network.nodes)]


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", range(32))
def test_node_voltages_within_a_microvolt(seed, tmp_path):
    need_ngspice()
    network = two_wire(10 + (390 * seed) // 31, seed, share=0.1 + 0.02 * seed)
    if seed % 2:
        network = with_taps(network, seed)
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    theirs = spice_volts(network, tmp_path)
    load = network.powers[0]
    assert theirs[load.a] - theirs[load.b] > network.sources[0].volts / 2.0, "ngspice took the low-voltage branch"
    assert max(abs(a - b) for a, b in zip(solution.volts, theirs, strict=True)) <= 1e-6
