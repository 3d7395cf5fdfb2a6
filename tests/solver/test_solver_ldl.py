"""The sparse factor against numpy and scipy."""

import numpy as np
import pytest
from random_networks import mesh, two_wire
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from wiring.solver.ldl import NotPositive, Patched, factor, pattern


def entries(network, admittance=lambda ohm: 1.0 / ohm):
    """Edges (ground is the highest index) with their admittances; node 0 of the network is ground."""
    ground = network.nodes - 1
    links = [(branch.a, branch.b, branch.ohm) for branch in network.branches]
    links += [(source.plus, source.minus, source.ohm) for source in network.sources]
    return ground, [((a - 1) % network.nodes, (b - 1) % network.nodes, admittance(ohm)) for a, b, ohm in links]


def ours(size, edges):
    shape = pattern(size, [(a, b) for a, b, _ in edges])
    values = shape.blank()
    for a, b, g in edges:
        shape.enter(values, a, b, g)
    return shape, factor(shape, values)


def reference(size, edges, kind=float):
    rows, columns, values = [], [], []
    for a, b, g in edges:
        for i, j, value in ((a, a, g), (b, b, g), (a, b, -g), (b, a, -g)):
            if i < size and j < size:
                rows.append(i)
                columns.append(j)
                values.append(value)
    return coo_matrix((np.array(values, dtype=kind), (rows, columns)), shape=(size, size)).tocsc()


def right(size, seed=7):
    return list(np.random.default_rng(seed).normal(size=size))


@pytest.mark.parametrize("seed", range(5))
def test_4000_nodes_agree_with_splu(seed):
    size, edges = entries(two_wire(4000, seed))
    b = right(size)
    _, solved = ours(size, edges)
    expected = splu(reference(size, edges)).solve(np.array(b))
    assert np.max(np.abs(np.array(solved.solve(b)[:size]) - expected)) <= 1e-9 * np.max(np.abs(expected))


@pytest.mark.parametrize("seed", range(8))
def test_meshes_over_six_decades_agree_with_numpy(seed):
    size, edges = entries(mesh(120, seed))
    b = right(size, seed)
    expected = np.linalg.solve(reference(size, edges).toarray(), b)
    assert ours(size, edges)[1].solve(b)[:size] == pytest.approx(expected, rel=1e-9, abs=1e-9 * np.abs(expected).max())


def test_complex_symmetric_agrees_with_numpy():
    size, edges = entries(mesh(90, 3), lambda ohm: 1.0 / complex(ohm, 0.7 * ohm))
    b = right(size)
    expected = np.linalg.solve(reference(size, edges, complex).toarray(), b)
    got = np.array(ours(size, edges)[1].solve(b)[:size])
    assert np.max(np.abs(got - expected)) <= 1e-9 * np.max(np.abs(expected))


@pytest.mark.parametrize("kind", [float, complex])
def test_selected_inverse_agrees_with_numpy(kind):
    admittance = (lambda ohm: 1.0 / ohm) if kind is float else (lambda ohm: 1.0 / complex(ohm, ohm / 3))
    size, edges = entries(mesh(80, 11), admittance)
    shape, solved = ours(size, edges)
    inverse = solved.selected_inverse()
    expected = np.linalg.inv(reference(size, edges, kind).toarray())
    pairs = [(node, node) for node in range(size)]
    pairs += [(a, b) for a, b, _ in edges if a < size and b < size]
    scale = np.max(np.abs(expected))
    for a, b in pairs:
        assert abs(inverse[shape.place(a, b)] - expected[a, b]) <= 1e-9 * scale


@pytest.mark.parametrize("seed", range(6))
def test_patched_solve_agrees_with_factoring_the_changed_matrix(seed):
    size, edges = entries(mesh(60, seed))
    b = right(size, seed)
    extra = [(3, 41, 12.5), (17, size, 0.25), (8, 9, 4.0)]
    patched = Patched(ours(size, edges)[1])
    for change in extra:
        patched = patched.change(*change)
    closed = patched.solve(b)[:size]
    expected = np.linalg.solve(reference(size, edges + extra).toarray(), b)
    scale = np.abs(expected).max()
    assert closed == pytest.approx(expected, rel=1e-9, abs=1e-9 * scale)
    for a, c, g in reversed(extra):
        patched = patched.change(a, c, -g)
    expected = np.linalg.solve(reference(size, edges).toarray(), b)
    assert patched.solve(b)[:size] == pytest.approx(expected, rel=1e-8, abs=1e-8 * np.abs(expected).max())


def test_opening_the_only_path_is_refused():
    _, solved = ours(3, [(0, 3, 10.0), (0, 1, 5.0), (1, 2, 5.0)])
    with pytest.raises(NotPositive) as failure:
        Patched(solved).change(0, 1, -5.0)
    assert failure.value.node == 0


def test_not_positive_names_the_node():
    """Node 2 has no conductance at all, so its pivot must fail; nodes 0 and 1 are in order."""
    with pytest.raises(NotPositive) as failure:
        ours(3, [(0, 3, 1.0), (0, 1, 1.0)])
    assert failure.value.node == 2


def test_part_without_ground_is_not_positive():
    """The Laplacian of a part without ground is singular (any textbook on graph Laplacians)."""
    with pytest.raises(NotPositive):
        ours(4, [(0, 4, 1.0), (1, 2, 0.3), (2, 3, 0.7), (1, 3, 0.1)])


def test_resistances_thirty_decades_apart():
    """1 milliohm wires earthed through 1e27 ohm: one ampere into the far end lifts them by 1e27 V, in every digit
    (Ohm's law); a factor that subtracts loses this below 1e-16 of the largest conductance."""
    _, solved = ours(50, [(0, 50, 1e-27)] + [(k, k + 1, 1e3) for k in range(49)])
    volts = solved.solve([0.0] * 49 + [1.0])
    assert volts[:50] == pytest.approx([1e27] * 50, rel=1e-12)


def test_a_tree_has_no_fill():
    """Minimum degree eliminates leaves first, so the factor of a tree has one entry an edge (George and Liu 1989)."""
    edges = [(k // 3, k, 1.0) for k in range(1, 500)] + [(0, 500, 1.0)]
    shape, _ = ours(500, edges)
    assert len(shape.flat_rows) == 499


def test_a_conductance_between_two_grounded_nodes_changes_nothing():
    """An index of the size or above is ground, so that this one lies across no voltage."""
    shape = pattern(2, [(0, 1), (1, 2)])
    values = shape.blank()
    shape.enter(values, 2, 3, 1.0)
    assert values[: shape.spare] == [0.0] * shape.spare
