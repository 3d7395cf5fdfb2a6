"""The elimination of the equations of a few loads: solution and sign of the determinant against numpy."""

from __future__ import annotations

import numpy as np
import pytest

from wiring.solver.ports import Ports, _dense, _eliminate


@pytest.mark.parametrize("count", [1, 2, 3, 5])
@pytest.mark.parametrize("seed", range(4))
def test_solution_and_sign_agree_with_numpy(count: int, seed: int) -> None:
    random = np.random.default_rng(seed)
    matrix, right = random.normal(size=(count, count)), random.normal(size=count)
    sign, answer = _eliminate([[*row, value] for row, value in zip(matrix.tolist(), right.tolist(), strict=True)])
    assert answer == pytest.approx(np.linalg.solve(matrix, right).tolist(), rel=1e-9)
    assert sign == np.sign(np.linalg.det(matrix))


def test_a_singular_matrix_has_sign_0() -> None:
    assert _eliminate([[1.0, 2.0, 1.0], [2.0, 4.0, 1.0]]) == (0.0, [0.0, 0.0])


@pytest.mark.parametrize("seed", range(3))
def test_the_step_of_phasors_closes_the_gap_to_first_order(seed: int) -> None:
    """A load's current changes by p dv + q dv* (Wirtinger). The step solves dv + Z (p dv + q dv*) = gap, and the sign
    is that of the same map in real and imaginary parts, whose determinant numpy works out."""
    random = np.random.default_rng(seed)

    def some(*shape: int) -> np.ndarray:
        return random.normal(size=shape) + 1j * random.normal(size=shape)

    ohm, plain, mirrored, gap = some(3, 3), some(3), some(3), some(3)

    def change(step: np.ndarray) -> np.ndarray:
        return step + ohm @ (plain * step + mirrored * step.conjugate())

    seen = Ports((1 + 0j,) * 3, tuple(map(tuple, ohm.tolist())), (0j,) * 3, (0j,) * 3, phasors=True)
    sign, step = _dense(seen, list(zip(plain.tolist(), mirrored.tolist(), strict=True)), gap.tolist())
    assert change(np.array(step)) == pytest.approx(gap, rel=1e-9)
    units = [unit for k in range(3) for unit in (np.eye(3)[k] + 0j, 1j * np.eye(3)[k])]
    columns = [np.array([part for value in change(unit) for part in (value.real, value.imag)]) for unit in units]
    assert sign == np.sign(np.linalg.det(np.array(columns).T))
