"""Operating points against ngspice on random networks of 10 to 400 nodes with every kind of element."""

import os
from collections import Counter

import pytest
from random_machines import direct, phasors
from random_networks import two_wire, with_taps
from spice import need_ngspice, spice_volts

from wiring.solver.solution import Outcome, PowerState, SourceMode
from wiring.solver.solve import solve

ALL = 200
#: How many of the 200 are compared in a usual run, spread evenly over the sizes.
SAMPLE = int(os.environ.get("WIRING_RANDOM_NETWORKS", "40"))
SEEDS = [n * ALL // SAMPLE for n in range(SAMPLE)]


def network_of(seed):
    """Network `seed` of the 200: every fourth at mains frequency; from 10 to 400 nodes."""
    nodes = 10 + 390 * seed // (ALL - 1)
    return ("AC", phasors(nodes, seed)) if seed % 4 == 3 else ("DC", direct(nodes, seed))


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", SEEDS)
def test_node_voltages_within_a_microvolt(seed, tmp_path):
    need_ngspice()
    kind, network = network_of(seed)
    solution = solve(network)
    assert solution.outcome in (Outcome.SOLVED, Outcome.LOCKED_OUT)
    theirs = spice_volts(network, solution, kind, tmp_path, limits=True)
    assert max(abs(theirs[n] - volts) for n, volts in enumerate(solution.volts)) <= 1e-6


def test_the_networks_hold_every_kind_of_element_in_every_mode():
    """What is compared is worth comparing: 10 to 400 nodes, and every mode with a steady state many times."""
    seen = Counter()
    sizes = []
    for seed in range(ALL):
        kind, network = network_of(seed)
        solution = solve(network)
        sizes.append(network.nodes)
        seen.update((kind, mode) for mode in (*solution.source_mode, *solution.power_state))
        seen.update(("diode", bool(amps)) for amps in solution.diode_a)
        seen.update(("current", kind, bool(amps)) for amps in solution.current_a)
        seen.update(("impedance", kind) for branch in network.branches if isinstance(branch.ohm, complex))
    assert (min(sizes), max(sizes)) == (10, 400)
    modes = SourceMode.CONSTANT_VOLTAGE, SourceMode.CONSTANT_CURRENT, SourceMode.BLOCKED
    wanted = [("DC", mode) for mode in (*modes, PowerState.RUNNING, PowerState.LOCKED_OUT)]
    wanted += [("AC", SourceMode.CONSTANT_VOLTAGE), ("AC", PowerState.RUNNING), ("impedance", "AC")]
    wanted += [("diode", True), ("diode", False), ("current", "DC", True), ("current", "DC", False)]
    wanted += [("current", "AC", True)]
    assert {item: seen[item] for item in wanted if seen[item] < 20} == {}


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", range(4))
def test_heavily_loaded_long_chains_within_a_microvolt(seed, tmp_path):
    """One supply, long chains of conductors, constant power close to what the supply can carry."""
    need_ngspice()
    network = two_wire(130 * seed + 10, seed, share=0.7)
    if seed % 2:
        network = with_taps(network, seed)
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    theirs = spice_volts(network, solution, "DC", tmp_path)
    load = network.powers[0]
    across = theirs[load.a] - theirs[load.b]
    assert across.real > network.sources[0].volts / 2.0, "ngspice took the low-voltage branch"
    assert max(abs(theirs[n] - volts) for n, volts in enumerate(solution.volts)) <= 1e-6
