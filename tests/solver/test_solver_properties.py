"""Laws that hold for every network, on random ones: Kirchhoff, power balance, reciprocity, superposition."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_networks import mesh, shuffled, two_wire, with_taps

from wiring.solver.driving_point import driving_point
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.solution import Outcome
from wiring.solver.solve import solve

SOLVED = (Outcome.SOLVED, Outcome.LOCKED_OUT, Outcome.OVERLOADED)
seeds = st.integers(0, 10**9)
sizes = st.integers(2, 60)


@st.composite
def machines(draw):
    """A tree with gaps and meshes, supplies of every kind, loads with lock-out, diodes; with or without reference."""
    nodes = draw(sizes)
    node = st.integers(0, nodes - 1)
    ohm = st.floats(1e-3, 10.0)
    branches = [
        Branch(draw(st.integers(max(0, k - 6), k - 1)), k, draw(ohm)) for k in range(1, nodes) if draw(st.booleans())
    ]
    branches += [Branch(draw(node), draw(node), draw(ohm)) for _ in range(draw(st.integers(0, 3)))]
    volts = st.floats(5.0, 60.0)
    sources = [
        VoltageSource(
            draw(node),
            draw(node),
            draw(volts),
            draw(st.floats(1e-3, 0.5)),
            draw(st.sampled_from(Overload)),
            draw(st.none() | st.floats(0.5, 20.0)),
        )
        for _ in range(draw(st.integers(1, 3)))
    ]
    powers = [
        PowerLoad(draw(node), draw(node), draw(st.floats(0.0, 60.0)), draw(st.sampled_from((0.0, 10.0, 20.0))))
        for _ in range(draw(st.integers(0, 4)))
    ]
    currents = [CurrentLoad(draw(node), draw(node), draw(st.floats(0.0, 3.0))) for _ in range(draw(st.integers(0, 3)))]
    diodes = [Diode(draw(node), draw(node), 0.7, draw(st.floats(1e-3, 0.1))) for _ in range(draw(st.integers(0, 2)))]
    references = (0,) if draw(st.booleans()) else ()
    return Network(nodes, references, tuple(branches), tuple(sources), tuple(powers), tuple(currents), tuple(diodes))


def node_currents(network, solution):
    """Current leaving every node, from the reported element currents alone."""
    out = [0.0] * network.nodes
    for group, amps in (
        (network.branches, solution.branch_a),
        (network.powers, solution.power_a),
        (network.currents, solution.current_a),
        (network.diodes, solution.diode_a),
    ):
        for item, value in zip(group, amps, strict=True):
            out[item.a] += value or 0.0
            out[item.b] -= value or 0.0
    for source, value in zip(network.sources, solution.source_a, strict=True):
        out[source.plus] -= value or 0.0
        out[source.minus] += value or 0.0
    return out


def power_gap(network, solution):
    """Power the sources deliver less everything taken, and the power delivered or taken back."""
    across = lambda item: solution.between(item.a, item.b)  # noqa: E731
    given_w = [
        (solution.between(s.plus, s.minus) * amps.conjugate()).real
        for s, amps in zip(network.sources, solution.source_a, strict=True)
        if amps is not None
    ]
    taken_w = [
        (across(item) * amps.conjugate()).real
        for group, values in (
            (network.branches, solution.branch_a),
            (network.powers, solution.power_a),
            (network.currents, solution.current_a),
            (network.diodes, solution.diode_a),
        )
        for item, amps in zip(group, values, strict=True)
        if amps is not None
    ]
    return sum(given_w) - sum(taken_w), sum(abs(watts) for watts in given_w)


@given(machines())
def test_kirchhoff_and_power_balance_in_every_solved_case(network):
    solution = solve(network)
    if solution.outcome in SOLVED:
        assert solution.residual_a <= 1e-9
        assert max(abs(amps) for amps in node_currents(network, solution)) <= 1e-9
        gap, total = power_gap(network, solution)
        assert abs(gap) <= 1e-9 * max(total, 1.0)


@given(machines())
def test_elements_obey_their_laws(network):
    """Every reported current lies on its element's characteristic at the reported voltage."""
    solution = solve(network)
    if solution.outcome not in SOLVED:
        return
    for source, amps in zip(network.sources, solution.source_a, strict=True):
        if source.overload is not Overload.STIFF:
            assert amps >= -1e-9
            over = 1.0 + 1e-8 + 1e-7 * (1.0 + abs(solution.between(source.plus, source.minus)) / source.volts)
            assert source.limit_a is None or amps <= source.limit_a * over
    for diode, amps in zip(network.diodes, solution.diode_a, strict=True):
        assert amps >= -1e-9
        assert amps > 0.0 or solution.between(diode.a, diode.b) <= diode.drop_v + 1e-6
    for load, amps in zip(network.powers, solution.power_a, strict=True):
        assert amps == 0.0 or amps * solution.between(load.a, load.b) == pytest.approx(load.watts, rel=1e-9)
        assert amps == 0.0 or solution.between(load.a, load.b) >= load.lockout_v * (1.0 - 1e-8)
    for draw, amps in zip(network.currents, solution.current_a, strict=True):
        assert -1e-9 <= amps <= draw.amps * (1.0 + 1e-5) + 1e-9


@given(sizes, seeds, seeds)
def test_order_of_nodes_and_elements_does_not_matter(nodes, seed, order):
    network = with_taps(two_wire(nodes + 4, seed), seed)
    other, new = shuffled(network, order)
    first, second = solve(network), solve(other)
    assert first.outcome is second.outcome
    if first.outcome is Outcome.SOLVED:
        moved = [second.volts[new[node]] for node in range(network.nodes)]
        assert moved == pytest.approx(first.volts, rel=1e-9, abs=1e-9)


@given(machines(), seeds)
def test_order_does_not_matter_with_modes(network, order):
    """Islands without reference are compared by differences; what rests on leakage alone is left out."""
    other, new = shuffled(network, order)
    first, second = solve(network), solve(other)
    if Outcome.UNDECIDED in (first.outcome, second.outcome):
        return
    assert first.outcome is second.outcome
    loose = {node for node in range(network.nodes) if node in first.adrift or new[node] in second.adrift}
    for node in range(network.nodes):
        if node in loose or first.volts[node] is None:
            continue
        assert second.volts[new[node]] == pytest.approx(first.volts[node], rel=1e-7, abs=1e-6)


@given(st.integers(3, 60), seeds, st.data())
def test_transfer_impedance_is_reciprocal(nodes, seed, data):
    """Reciprocity theorem: a source at one place drives the same current at another as the other way round."""
    passive = replace(mesh(nodes, seed), sources=())
    a = data.draw(st.integers(1, nodes - 1))
    b = data.draw(st.integers(1, nodes - 1))

    def seen(feed, meter):
        branches = (*passive.branches, Branch(meter, 0, 0.5))
        return solve(replace(passive, branches=branches, sources=(VoltageSource(feed, 0, 1e3, 0.5),))).branch_a[-1]

    assert seen(a, b) == pytest.approx(seen(b, a), rel=1e-9, abs=1e-9)


@given(st.integers(3, 60), seeds, st.data())
def test_driving_point_is_what_a_test_source_meets(nodes, seed, data):
    """Thevenin's theorem: E over its current, less its own resistance, with the other sources at 0 V."""
    network = mesh(nodes, seed)
    a = data.draw(st.integers(1, nodes - 1))
    dead = [replace(source, volts=0.0) for source in network.sources]
    tested = replace(network, sources=(*dead, VoltageSource(a, 0, 100.0, 1e-3)))
    met = 100.0 / solve(tested).source_a[-1] - 1e-3
    assert driving_point(network).node_ohm[a] == pytest.approx(met, rel=1e-9, abs=1e-12)


@given(sizes, seeds, st.floats(0.1, 20.0), st.data())
def test_another_load_never_lowers_the_supply_current(nodes, seed, watts, data):
    network = two_wire(nodes + 4, seed)
    half = network.nodes // 2
    extra = PowerLoad(data.draw(st.integers(1, half - 1)), data.draw(st.integers(half, network.nodes - 1)), watts)
    before = solve(network)
    after = solve(replace(network, powers=(*network.powers, extra)))
    if before.outcome is after.outcome is Outcome.SOLVED:
        assert after.source_a[0] >= before.source_a[0] * (1.0 - 1e-12)


@given(sizes, seeds)
def test_superposition_on_linear_networks(nodes, seed):
    network = mesh(nodes, seed)
    whole = solve(network).volts
    parts = [0.0] * nodes
    for chosen in range(len(network.sources)):
        alone = tuple(
            source if index == chosen else replace(source, volts=0.0) for index, source in enumerate(network.sources)
        )
        parts = [sum(pair) for pair in zip(parts, solve(replace(network, sources=alone)).volts, strict=True)]
    assert parts == pytest.approx(whole, rel=1e-9, abs=1e-9)


@given(sizes, seeds, st.floats(0.5, 1.0))
def test_phasor_networks_balance(nodes, seed, power_factor):
    plain = two_wire(nodes + 4, seed)
    network = Network(
        plain.nodes,
        (0,),
        tuple(replace(branch, ohm=complex(branch.ohm, 0.3 * branch.ohm)) for branch in plain.branches),
        (replace(plain.sources[0], volts=230.0 + 0j),),
        tuple(replace(load, power_factor=power_factor) for load in plain.powers),
        (CurrentLoad(1, plain.nodes - 1, 2.0, power_factor),),
    )
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    assert max(abs(amps) for amps in node_currents(network, solution)) <= 1e-9
    gap, total = power_gap(network, solution)
    assert abs(gap) <= 1e-9 * total
    for load, amps in zip(network.powers, solution.power_a, strict=True):
        apparent = solution.between(load.a, load.b) * amps.conjugate()
        assert apparent.real == pytest.approx(load.watts, rel=1e-9)
        assert apparent.real / abs(apparent) == pytest.approx(power_factor, rel=1e-9)
