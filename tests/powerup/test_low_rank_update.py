"""Changed branches of a factored network against the pseudo-inverse of the changed one's Laplacian.

The resistance between two nodes is (e_a - e_b)ᵀ L⁺ (e_a - e_b) (D. J. Klein and M. Randić, "Resistance distance",
Journal of Mathematical Chemistry 12 (1993) 81); what hangs together comes from networkx.
"""

import random

import networkx
import numpy as np
import pytest

from wiring.powerup.low_rank_update import BranchChange, FactoredNetwork

NODES = 14


def random_branches(chance):
    """A few trees with loops in them, some nodes alone."""
    pairs = {tuple(sorted(chance.sample(range(NODES), 2))) for _ in range(chance.randint(8, 20))}
    return [(a, b, 10.0 ** chance.uniform(-3, 3)) for a, b in sorted(pairs)]


def random_patches(chance, branches):
    """Branches opened, branches whose conductance changes, and new ones; each branch at most once."""
    chosen = chance.sample(branches, min(3, len(branches)))
    opened = [BranchChange(a, b, -g, True) for a, b, g in chosen[: chance.randint(0, 2)]]
    changed = [BranchChange(a, b, -0.5 * g) for a, b, g in chosen[2:]]
    added = [
        BranchChange(*chance.sample(range(NODES), 2), 10.0 ** chance.uniform(-3, 3))
        for _ in range(chance.randint(0, 2))
    ]
    return [*opened, *changed, *added]


def changed_branches(branches, changes):
    gone = {(change.a, change.b): change.siemens for change in changes if change.siemens < 0.0}
    left = [(a, b, g + gone.get((a, b), 0.0)) for a, b, g in branches]
    added = [(change.a, change.b, change.siemens) for change in changes if change.siemens > 0.0]
    return [branch for branch in [*left, *added] if branch[2] > 0.0]


def laplacian(branches):
    found = np.zeros((NODES, NODES))
    for a, b, siemens in branches:
        found[[a, b], [a, b]] += siemens
        found[[a, b], [b, a]] -= siemens
    return found


@pytest.mark.parametrize("seed", range(60))
def test_resistances_and_what_hangs_together(seed):
    chance = random.Random(seed)
    branches = random_branches(chance)
    changes = random_patches(chance, branches)
    work = FactoredNetwork(NODES, branches)
    changed = work.change(changes)
    assert changed is not None
    after = changed_branches(branches, changes)
    graph = networkx.Graph((a, b) for a, b, _ in after)
    graph.add_nodes_from(range(NODES))
    home = {node: n for n, part in enumerate(networkx.connected_components(graph)) for node in part}
    inverse = np.linalg.pinv(laplacian(after), rcond=1e-12, hermitian=True)
    for a in range(NODES):
        for b in range(a + 1, NODES):
            assert changed.joined(a, b) == (home[a] == home[b])
            if home[a] == home[b]:
                ohm = inverse[a, a] + inverse[b, b] - 2.0 * inverse[a, b]
                assert changed.across(work.reply(a, b), a, b) == pytest.approx(ohm, rel=1e-5)


@pytest.mark.parametrize("seed", range(20))
def test_voltages_follow_the_changes(seed):
    """1 A through a pair that stays joined: the voltages of the unchanged network, carried over to the changed one."""
    chance = random.Random(100 + seed)
    branches = random_branches(chance)
    changes = random_patches(chance, branches)
    work = FactoredNetwork(NODES, branches)
    changed = work.change(changes)
    after = laplacian(changed_branches(branches, changes))
    for a, b, _ in branches:
        if changed.joined(a, b):
            volts = changed.moved(work.reply(a, b))
            amps = after @ np.array(volts[:NODES])
            wanted = np.zeros(NODES)
            wanted[[a, b]] = 1.0, -1.0
            assert amps == pytest.approx(wanted, abs=1e-6)


def test_a_change_that_does_nothing_is_seen_at_once():
    work = FactoredNetwork(4, [(0, 1, 1.0), (1, 2, 1.0), (0, 2, 1.0), (2, 3, 1.0)])
    still = [0.0, 0.0, 0.0, 0.0]
    assert work.is_idle([BranchChange(0, 1, -1.0, True)], still)
    assert not work.is_idle([BranchChange(2, 3, -1.0, True)], still)  # 3 would hang on nothing
    assert not work.is_idle([BranchChange(0, 1, -1.0, True)], [1.0, 0.0, 0.0, 0.0])
